// Package inbox takes dropped files into the journal: from a file in the inbox
// to a photo kept, recorded and tagged. Start with New, then TakeAll for what
// lies there now or Watch for what will come. It decides where a photo belongs
// (Tag) and when a file is finished (settle); when it was taken is media.Choose.
package inbox

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"rakelight/journal"
	"rakelight/media"
)

// What became of a file.
const (
	Taken     = "taken"
	Duplicate = "duplicate" // its bytes are kept already
	SetAside  = "set-aside" // damaged, empty or unreadable; left where it is
	NotYet    = "not-yet"   // whole, but of a kind that is not read; left where it is
)

// Outcome is what became of one file. Photo is set when it was taken or is a
// duplicate of a photo kept before.
type Outcome struct {
	Path   string
	Status string
	Why    string
	Photo  *journal.Photo
	cut    bool // it ends too soon: perhaps it is still being copied
}

// Summary counts outcomes. Left lists every file that was not taken.
type Summary struct {
	Taken, Duplicate int
	Left             []Outcome
}

func (s *Summary) add(o Outcome) {
	switch o.Status {
	case Taken:
		s.Taken++
	case Duplicate:
		s.Duplicate++
	default:
		s.Left = append(s.Left, o)
	}
}

// Options are what tests change. The zero value is right for use.
type Options struct {
	Settle   time.Duration // how long a file must stand still; 2 s
	Poll     time.Duration // how often to look without events; 5 s
	NoEvents bool          // do not ask the system for events
	After    func()        // called after each look of Watch, if set
}

// Inbox takes files into one journal.
type Inbox struct {
	j    *journal.Journal
	opts Options
}

// New makes the inbox of a journal.
func New(j *journal.Journal, opts Options) *Inbox {
	if opts.Settle == 0 {
		opts.Settle = 2 * time.Second
	}
	if opts.Poll == 0 {
		opts.Poll = 5 * time.Second
	}
	return &Inbox{j: j, opts: opts}
}

// fact is a file as it was read.
type fact struct {
	path  string
	facts media.Facts
	err   error
}

// TakeIn takes one file in. It never fails as a whole: what became of the file
// is in the outcome, and a file that was not taken was not touched.
func (in *Inbox) TakeIn(path string) Outcome {
	facts, err := media.Read(path)
	return in.keep(fact{path, facts, err})
}

// keep does the steps after reading, in the order that a crash between any two
// of them leaves nothing lost: bytes, record, inbox copy.
func (in *Inbox) keep(f fact) Outcome {
	o := Outcome{Path: f.path}
	if f.err != nil {
		return refused(o, f.err)
	}
	if kept := in.kept(f.facts.Hash); kept != nil {
		o.Status, o.Photo, o.Why = Duplicate, kept, "the same photo is kept already, as "+kept.Path
		if info, err := os.Stat(in.j.Path(kept.Path)); err != nil || info.Size() != kept.Size {
			o.Status, o.Photo, o.Why = SetAside, nil, "it is the photo "+kept.Path+", whose original is missing or changed; left as your only whole copy"
			return o
		}
		in.remove(&o)
		return o
	}
	state := in.j.State
	at := media.Choose(f.facts.Claims, f.facts.Camera, state.Config.Clocks, state.Zone)
	folder := in.folder(f.path)
	tags, why, guess := Tag(f.facts, at, folder, state)
	rel, err := in.j.Place(f.path, f.facts.Hash, at.At, ending[f.facts.Kind])
	if err != nil {
		o.Status, o.Why = SetAside, "not kept: "+err.Error()
		return o
	}
	_, err = in.j.Append("photo", journal.PhotoBody{
		Hash: f.facts.Hash, Path: rel, Name: filepath.Base(f.path), Folder: folder, Size: f.facts.Size,
		Format: f.facts.Kind, Width: f.facts.Width, Height: f.facts.Height, Turn: f.facts.Turn,
		Camera: f.facts.Camera, Instant: at, Tags: tags, Why: why, Guess: guess,
	})
	if err != nil {
		o.Status, o.Why = SetAside, "kept, but not recorded: "+err.Error()+"; the next take finishes it"
		return o
	}
	o.Status, o.Photo = Taken, in.kept(f.facts.Hash)
	in.remove(&o)
	return o
}

var ending = map[string]string{"jpeg": ".jpg", "png": ".png", "tiff": ".tif"}

// refused words the reasons for which a file is left.
func refused(o Outcome, err error) Outcome {
	var broken *media.BrokenError
	var unsupported *media.UnsupportedError
	switch {
	case errors.As(err, &broken):
		o.Status, o.Why, o.cut = SetAside, broken.Why+"; left where it is", broken.Cut
	case errors.As(err, &unsupported):
		o.Status, o.Why = NotYet, unsupported.Kind+"; left where it is"
	default:
		o.Status, o.Why = SetAside, "not read: "+err.Error()
	}
	return o
}

// kept is the photo of that hash, or nil.
func (in *Inbox) kept(hash string) *journal.Photo {
	for _, p := range in.j.State.Photos {
		if p.Hash == hash {
			return p
		}
	}
	return nil
}

// remove deletes the inbox copy of a photo that is safely kept. Files from
// elsewhere stay. A copy that cannot be deleted is harmless: it is a duplicate.
func (in *Inbox) remove(o *Outcome) {
	if !in.inside(o.Path) {
		return
	}
	if err := os.Remove(o.Path); err != nil {
		o.Why = strings.TrimPrefix(o.Why+"; its inbox copy could not be removed: "+err.Error(), "; ")
	}
}

func (in *Inbox) inside(path string) bool {
	rel, err := filepath.Rel(in.j.InboxDir(), path)
	return err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator))
}

// folder is the sub-folder of the inbox a file lies in, with slashes; of a file
// from elsewhere, nothing.
func (in *Inbox) folder(path string) string {
	rel, err := filepath.Rel(in.j.InboxDir(), filepath.Dir(path))
	if err != nil || rel == "." || !in.inside(path) {
		return ""
	}
	return filepath.ToSlash(rel)
}

// TakeAll takes in all that lies in the inbox now.
func (in *Inbox) TakeAll(ctx context.Context, report func(done, total int, o Outcome)) (Summary, error) {
	return in.Take(ctx, []string{in.j.InboxDir()}, report)
}

// Take takes in files, and folders with all below them. Those outside the inbox
// are copied and stay where they are. The error is ctx's or that of a path
// that is not there; files that were not taken are in the summary.
func (in *Inbox) Take(ctx context.Context, paths []string, report func(done, total int, o Outcome)) (Summary, error) {
	var files []string
	var sum Summary
	for _, p := range paths {
		full, err := filepath.Abs(p)
		if err != nil {
			return sum, err
		}
		found, err := list(full)
		if err != nil {
			return sum, err
		}
		files = append(files, found...)
	}
	// Reading goes on several cores, keeping in the files' order on one, so
	// that the journal comes out the same each time.
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	done := 0
	for f := range readAhead(ctx, files) {
		o := in.keep(f)
		sum.add(o)
		done++
		report(done, len(files), o)
		if ctx.Err() != nil {
			break
		}
	}
	return sum, ctx.Err()
}

// readAhead reads the files on several cores and yields them in their order.
func readAhead(ctx context.Context, files []string) <-chan fact {
	workers := max(1, min(4, runtime.GOMAXPROCS(0)))
	slots := make(chan chan fact, workers)
	out := make(chan fact)
	var wg sync.WaitGroup
	go func() {
		defer close(slots)
		for _, path := range files {
			slot := make(chan fact, 1)
			select {
			case slots <- slot:
			case <-ctx.Done():
				return
			}
			wg.Go(func() {
				facts, err := media.Read(path)
				slot <- fact{path, facts, err}
			})
		}
	}()
	go func() {
		defer close(out)
		for slot := range slots {
			select {
			case out <- <-slot:
			case <-ctx.Done():
				return
			}
		}
	}()
	return out
}

// maxDepth is how deep folders in the inbox are followed: build, stage, role,
// view, light and some to spare.
const maxDepth = 8

// list is the files at a path, in order, without those that are no photos by
// their name: hidden ones, and the names copying programs use on the way.
func list(root string) ([]string, error) {
	var files []string
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil && path == root:
			return err
		case err != nil:
			return nil // vanished or closed to us: the next look decides
		case path != root && ignored(d.Name()):
			if d.IsDir() {
				return filepath.SkipDir
			}
			return nil
		case d.IsDir() && strings.Count(strings.TrimPrefix(path, root), string(filepath.Separator)) > maxDepth:
			return filepath.SkipDir
		case d.Type().IsRegular():
			files = append(files, path)
		}
		return nil
	})
	slices.Sort(files)
	return files, err
}

func ignored(name string) bool {
	if strings.HasPrefix(name, ".") || strings.HasPrefix(name, "~") {
		return true
	}
	switch strings.ToLower(filepath.Ext(name)) {
	case ".tmp", ".part", ".crdownload", ".partial":
		return true
	}
	return strings.EqualFold(name, "thumbs.db") || strings.EqualFold(name, "desktop.ini")
}

// String is the outcome in one line.
func (o Outcome) String() string { return fmt.Sprintf("%s: %s %s", o.Path, o.Status, o.Why) }
