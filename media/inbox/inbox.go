// Package inbox takes a dropped file to a recorded, tagged photo.
//
// Start with New; TakeAll takes what lies in the inbox now, Watch goes on for
// ever. Tag decides where a photo belongs, Story tells it afterwards. The package reads
// no pixels (media does), writes no file itself but through the journal, and
// removes only inbox copies of photos that are kept and recorded.
//
// The order of every photo: bytes placed durably under photos/, then the
// record, then the inbox copy leaves: it is renamed into inbox/.leaving, and goes
// for good when it is looked at again and nothing came to it. A crash between any
// two steps is finished by the next run, since the hash decides and each step is
// safe to repeat.
package inbox

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"rakelight/journal"
	"rakelight/media"
)

// Options may be left zero: each field then has the value named.
type Options struct {
	Settle   time.Duration    // a file must stay the same this long; 2 s
	Coalesce time.Duration    // events this near are one; 200 ms
	Rescan   time.Duration    // a look in any case, with events; 30 s
	Poll     time.Duration    // a look where there are no events; 5 s
	GiveUp   time.Duration    // a cut-off file is set aside after this; 10 min
	Leave    time.Duration    // an inbox copy may go for good after this; 5 min, below 0 = at once
	Retry    time.Duration    // the first pause before a file that could not be kept just now is tried again; 5 s
	Workers  int              // pictures read at once; 2
	Batch    int              // most photos in one append; 32
	Fill     bool             // appends wait until a batch is full: fewer of them, and after a crash more is read again
	NoEvents bool             // poll only
	Now      func() time.Time // the clock between looks; time.Now

	// SizePath, if set, has the web sizes of each photo written while its pixels
	// are at hand, to the path it gives for each of Widths: decoding once instead
	// of twice. Sizes that cannot be written are made again by whoever needs them.
	SizePath func(f media.Facts, width int) string
	Widths   []int

	// AfterLook is called after each look of Watch, on the goroutine that takes
	// photos in: what it does to the journal cannot meet a photo half taken in.
	AfterLook func()
}

// Inbox takes photos into one journal. One run at a time: TakeAll, Take
// and Watch wait for each other.
type Inbox struct {
	j    *journal.Journal
	opts Options
	mu   sync.Mutex
}

// New returns the inbox of a journal.
func New(j *journal.Journal, opts Options) *Inbox {
	or := func(d *time.Duration, otherwise time.Duration) {
		if *d <= 0 {
			*d = otherwise
		}
	}
	or(&opts.Settle, 2*time.Second)
	or(&opts.Coalesce, 200*time.Millisecond)
	or(&opts.Rescan, 30*time.Second)
	or(&opts.Poll, 5*time.Second)
	or(&opts.GiveUp, 10*time.Minute)
	or(&opts.Retry, 5*time.Second)
	if opts.Leave == 0 {
		opts.Leave = 5 * time.Minute
	}
	if opts.Workers <= 0 {
		opts.Workers = 2
	}
	if opts.Batch <= 0 {
		opts.Batch = 32
	}
	if opts.Now == nil {
		opts.Now = time.Now
	}
	if opts.AfterLook == nil {
		opts.AfterLook = func() {}
	}
	return &Inbox{j: j, opts: opts}
}

// Dropped is a file to be taken in.
type Dropped struct {
	Path   string // on this computer
	Shown  string // as it is told of
	Folder string // folders it lay in, slashes, "" = none
	Inside bool   // in the inbox: the copy goes once the photo is kept
	Meant  bool   // a person named this very file, or it was set aside: it is taken in, whatever it looks like

	leaving bool   // it left the inbox and is looked at again
	part    string // hash of the kept file it was when it left, "" = not known
}

// read is a dropped file that was read: facts, or the outcome that ends its way.
type read struct {
	Dropped
	facts   media.Facts
	instant journal.Instant
	end     *Outcome
}

// TakeAll takes in everything that lies in the inbox now, in the order of the
// names. A file that cannot be taken stays and is listed in Left; only a
// journal that cannot be written, or ctx, ends the run early with an error.
func (in *Inbox) TakeAll(ctx context.Context, report func(done, total int, o Outcome)) (Summary, error) {
	in.mu.Lock()
	defer in.mu.Unlock()
	inbox, err := in.walk(in.j.InboxDir(), nil)
	if err != nil {
		return Summary{}, fmt.Errorf("the inbox cannot be read: %w", err)
	}
	var list []Dropped
	for _, f := range inbox.files {
		list = append(list, in.drop(f.path, ""))
	}
	return in.take(ctx, list, inbox.passed.outcomes("inbox", nil), report)
}

// Take takes in files and folders from elsewhere. They are copied and stay
// untouched; a folder's own name and those within tell of build and stage as
// those of the inbox do. Files of the inbox are treated as by TakeAll, but a
// file that is named itself, or lies in inbox/aside, is taken in even if it
// looks like a copy.
func (in *Inbox) Take(ctx context.Context, paths []string, report func(done, total int, o Outcome)) (Summary, error) {
	in.mu.Lock()
	defer in.mu.Unlock()
	var list []Dropped
	var over []Outcome
	for _, p := range paths {
		files, passed, err := in.named(p)
		if err != nil {
			return Summary{}, err
		}
		list, over = append(list, files...), append(over, passed...)
	}
	return in.take(ctx, list, over, report)
}

// named lists what a person named: a file, or the files of a folder.
func (in *Inbox) named(p string) ([]Dropped, []Outcome, error) {
	info, err := os.Stat(p)
	if errors.Is(err, fs.ErrNotExist) && !filepath.IsAbs(p) {
		// As lists name files: below the journal, wherever the command is typed.
		if below, belowErr := os.Stat(in.j.Path(filepath.ToSlash(p))); belowErr == nil {
			p, info, err = in.j.Path(filepath.ToSlash(p)), below, nil
		}
	}
	switch {
	case err != nil:
		return nil, nil, fmt.Errorf("%s cannot be read; nothing was taken in: %w", p, err)
	case info.Mode().IsRegular():
		d := in.drop(p, "")
		d.Meant = true
		return []Dropped{d}, nil, nil
	case !info.IsDir():
		return nil, nil, fmt.Errorf("%s is %s, not a file; nothing was taken in", p, special(info.Mode()))
	}
	folder, err := in.walk(p, nil)
	if err != nil {
		return nil, nil, fmt.Errorf("%s cannot be read; nothing was taken in: %w", p, err)
	}
	full, err := filepath.Abs(p)
	if err != nil {
		return nil, nil, err
	}
	var list []Dropped
	for _, f := range folder.files {
		list = append(list, in.drop(f.path, filepath.Join(filepath.Base(full), f.folder)))
	}
	return list, folder.passed.outcomes(p, nil), nil
}

// special names what is neither a file nor a folder.
func special(m fs.FileMode) string {
	switch {
	case m&fs.ModeNamedPipe != 0:
		return "a pipe"
	case m&fs.ModeSocket != 0:
		return "a socket"
	case m&fs.ModeDevice != 0:
		return "a device"
	}
	return "something else"
}

// take is one run: what is leaving the inbox is looked at again, the files are
// taken in, and what an earlier run left behind is cleared.
func (in *Inbox) take(ctx context.Context, list []Dropped, over []Outcome,
	report func(done, total int, o Outcome)) (Summary, error) {
	again := in.lookAgain(in.opts.Now(), func(changed []found) []found { return changed })
	sum, err := in.run(ctx, append(again, list...), report)
	sum.Passed = over
	if err != nil {
		return sum, err
	}
	lost, err := in.clearLeft(ctx)
	if err != nil {
		return sum, err
	}
	for _, file := range sum.alone {
		lost = append(lost, in.drop(file, ""))
	}
	if len(lost) == 0 {
		return sum, nil
	}
	more, err := in.run(ctx, lost, report)
	sum.and(more)
	return sum, err
}

// drop says what is known of a file by where it lies. A file elsewhere lay in
// the folder given.
func (in *Inbox) drop(file, folder string) Dropped {
	d := Dropped{Path: file, Shown: file, Folder: filepath.ToSlash(folder)}
	full, err := filepath.Abs(file)
	if err != nil {
		return d
	}
	if rel, err := filepath.Rel(in.j.InboxDir(), full); err == nil && rel != ".." &&
		!strings.HasPrefix(rel, ".."+string(filepath.Separator)) {
		d.Inside, d.Folder = true, ""
		d.Shown = "inbox/" + filepath.ToSlash(rel)
		if dir := filepath.ToSlash(filepath.Dir(rel)); dir != "." {
			d.Folder = dir
		}
		// What was set aside keeps the folders it lay in before.
		switch first, rest, _ := strings.Cut(d.Folder, "/"); first {
		case journal.AsideDir:
			d.Folder, d.Meant = rest, true
		case leavingDir:
			_, d.Folder, _ = strings.Cut(rest, "/")
			d.Shown = "inbox/" + path.Join(d.Folder, filepath.Base(rel))
			d.Meant, d.leaving = true, true
		}
	}
	return d
}

// look reads one file. Nothing a file holds may end the run: a panic becomes a
// finding with the file's name.
func (in *Inbox) look(d Dropped, s *journal.State) (r read) {
	r.Dropped = d
	defer func() {
		if p := recover(); p != nil {
			r.end = d.ended(SetAside, fmt.Sprintf("reading it failed inside (%v); left untouched", p))
		}
	}()
	if isXMP(d.Path) {
		return in.lookXMP(r, s)
	}
	facts, err := in.facts(d.Path)
	if err != nil {
		r.end = d.refused(err)
		return r
	}
	r.facts = facts
	r.instant = media.Choose(facts.Claims, facts.Camera, s.Clocks, s.ZoneAt)
	return r
}

// facts reads a file, and writes its sizes on the way where that is asked for.
func (in *Inbox) facts(path string) (media.Facts, error) {
	if in.opts.SizePath == nil {
		return media.Read(path)
	}
	facts, _, err := media.ReadSizes(path, in.opts.SizePath, in.opts.Widths)
	if err != nil && facts.Hash != "" {
		return facts, nil // the photo is well; its sizes can be made later
	}
	return facts, err
}

func (d Dropped) ended(status, why string) *Outcome {
	return &Outcome{Path: d.Shown, Status: status, Why: why}
}

// refused says why a file stays.
func (d Dropped) refused(err error) *Outcome {
	left := "; left untouched"
	if d.Inside {
		left = "; left in the inbox"
	}
	var broken *media.BrokenError
	var unsupported *media.UnsupportedError
	var busy *media.BusyError
	switch {
	case errors.As(err, &broken):
		o := d.ended(SetAside, broken.Error()+left)
		if o.cut = broken.Cut; o.cut && isEmpty(d.Path) {
			o.Status = Waiting
		}
		return o
	case errors.As(err, &busy):
		return d.ended(Waiting, busy.Error()+left).again(nil)
	case errors.As(err, &unsupported) && unsupported.Kind != "":
		return d.ended(NotYet, unsupported.Say(strings.TrimPrefix(left, "; ")))
	case errors.As(err, &unsupported):
		return d.ended(SetAside, "this is not a picture"+left)
	case errors.Is(err, fs.ErrNotExist):
		return d.ended(Gone, "it is gone: another rakelight took it in, or it was moved away")
	case errors.Is(err, fs.ErrPermission):
		o := d.ended(SetAside, "it may not be read (permission denied)"+left).again(err)
		o.Denied = true
		return o
	}
	return d.ended(SetAside, fmt.Sprintf("it cannot be read (%v)%s", cause(err), left)).again(err)
}

// again marks an outcome as one that may pass; err is what the disk said, nil if
// it is not the reason.
func (o *Outcome) again(err error) *Outcome {
	o.retry, o.Err = later, err
	return o
}

// cause is an error of the file system without the path, which is told already.
func cause(err error) error {
	var at *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &at):
		return at.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

func isEmpty(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Size() == 0
}
