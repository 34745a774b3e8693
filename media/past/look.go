// Reading pictures where they lie: a walk, the files that are not known yet read by a
// few workers, what was read put into the cache as it comes.

package past

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"rakelight/journal"
	"rakelight/journal/record"
	"rakelight/media"
	"rakelight/media/inbox"
)

// ThumbSide is the longer side of the small pictures, pixels.
const ThumbSide = 240

const (
	workers = 2               // pictures read at once, as the inbox reads
	batch   = 32              // files in one addition to the cache
	pause   = 2 * time.Second // at the latest between two additions: what is read is not lost
)

// ErrBusy says that another process reads old pictures for this journal.
var ErrBusy = errors.New("another rakelight is looking through old pictures for this journal")

// Open is the survey of what was read so far; no folder is touched.
func Open(j *journal.Journal) (*Survey, error) {
	s, err := openSeen(j)
	if err != nil {
		return nil, fmt.Errorf("what was read of old pictures cannot be read: %w", err)
	}
	return survey(j.State, j.Now(), roots(j), s.files), nil
}

// Look reads the pictures of folders, and of those below them, where they lie: nothing
// is moved, and nothing is written there. What was read before and did not change is
// not read again, so a look that was interrupted is gone on with. report, which may be
// nil, is told of each file that is read, on the goroutine of the caller.
//
// The survey holds the pictures of these folders and of all that were looked through
// before. Where none of the files of a folder is there any more, as where a disk is not
// plugged in, what was read of them stays, and Survey.Missing names the folder. With a
// survey, an error is that of ctx; without one, a folder that cannot be read or a cache
// that cannot be written.
func Look(ctx context.Context, j *journal.Journal, folders []string,
	report func(done, total int, path string)) (*Survey, error) {
	if doubt := j.State.ZoneDoubt(); doubt != "" {
		return nil, fmt.Errorf("%s; pictures are not dated until it does", doubt)
	}
	full, err := absolute(j, folders)
	if err != nil {
		return nil, err
	}
	unlock, err := record.Lock(j.Path(lockFile), 0)
	if errors.Is(err, record.ErrHeld) {
		return nil, ErrBusy
	}
	if err != nil {
		return nil, err
	}
	defer unlock()
	l, err := newLooking(j, full)
	if err != nil {
		return nil, err
	}
	read := l.read(ctx, report)
	if read != nil && ctx.Err() == nil {
		return nil, read
	}
	s := survey(j.State, j.Now(), l.roots, l.seen.files)
	s.Left, s.Missing = append(l.passed, s.Left...), l.missing
	return s, ctx.Err()
}

// absolute are the folders by their whole paths; each is one, and none of the journal's
// own.
func absolute(j *journal.Journal, folders []string) ([]string, error) {
	var list []string
	for _, f := range folders {
		full, err := filepath.Abs(f)
		if err != nil {
			return nil, err
		}
		info, err := os.Stat(full)
		switch {
		case err != nil:
			return nil, fmt.Errorf("%s cannot be read; nothing was looked at: %w", f, err)
		case !info.IsDir():
			return nil, fmt.Errorf("%s is no folder; nothing was looked at", f)
		case full == j.Dir || below(full, j.Dir) || below(j.Dir, full):
			return nil, fmt.Errorf("%s is the journal's own folder, or one around or in it; name the folders of the old pictures",
				f)
		}
		if !slices.Contains(list, full) {
			list = append(list, full)
		}
	}
	return list, nil
}

// looking is one look.
type looking struct {
	j      *journal.Journal
	seen   *seen
	roots  []string
	todo   []inbox.File
	passed []Left

	missing []string           // folders of which no file is there any more
	lost    map[string][]*file // their files, by hash
}

// newLooking walks the folders and finds what has to be read.
func newLooking(j *journal.Journal, folders []string) (*looking, error) {
	l := &looking{j: j, lost: map[string][]*file{}}
	var err error
	if l.seen, err = openSeen(j); err != nil {
		return nil, err
	}
	before := roots(j)
	if l.roots, err = addRoots(j, folders); err != nil {
		return nil, err
	}
	in := inbox.New(j, inbox.Options{})
	here := map[string]bool{}
	for _, dir := range folders {
		files, passed, err := in.Files(dir)
		if err != nil {
			return nil, err
		}
		for _, o := range passed {
			l.passed = append(l.passed, leftOf(o))
		}
		for _, f := range files {
			if !here[f.Path] && !l.seen.knows(f.Path, f.Size, f.Time) {
				l.todo = append(l.todo, f)
			}
			here[f.Path] = true
		}
	}
	if gone := l.gone(folders, before, here); len(gone) > 0 {
		return l, l.seen.add(gone)
	}
	return l, nil
}

// gone are the files of the folders that are not there any more. Where that are all of
// a folder that was looked through before, nobody took them one by one: its disk is not
// plugged in, or another is, and what was read of them stays.
func (l *looking) gone(folders, before []string, here map[string]bool) (list []*file) {
	known, found := map[string][]*file{}, map[string]bool{}
	for name, f := range l.seen.files {
		if root := rootOf(folders, name); root != "" && here[name] {
			found[root] = true
		} else if root != "" {
			known[root] = append(known[root], f)
		}
	}
	for root, files := range known {
		if !found[root] && slices.Contains(before, root) {
			l.missing = append(l.missing, root)
			for _, f := range files {
				l.lost[f.Hash] = append(l.lost[f.Hash], f)
			}
			continue
		}
		for _, f := range files {
			list = append(list, f.goneNow())
		}
	}
	slices.Sort(l.missing)
	return list
}

// goneNow is the file as one that is not there any more.
func (f *file) goneNow() *file { return &file{path: f.path, Size: f.Size, Time: f.Time, Gone: true} }

// moved are the files thought lost that have the bytes of one that was read: all were
// put into another folder, or the folder has another name.
func (l *looking) moved(read *file) (list []*file) {
	for _, f := range l.lost[read.Hash] {
		if read.Hash != "" {
			list = append(list, f.goneNow())
		}
	}
	delete(l.lost, read.Hash)
	return list
}

// read reads what has to be, and keeps it in the cache. When it returns, nothing reads or
// writes any more, also after an interruption: whoever asked may go on to move or remove
// the folders, and the lock of the look is given back by then.
func (l *looking) read(ctx context.Context, report func(done, total int, path string)) error {
	stop, cancel := context.WithCancel(ctx)
	var readers sync.WaitGroup
	defer readers.Wait()
	defer cancel()
	next, got := make(chan inbox.File), make(chan *file, batch)
	readers.Go(func() {
		defer close(next)
		for _, f := range l.todo {
			select {
			case next <- f:
			case <-stop.Done():
				return
			}
		}
	})
	for range workers {
		readers.Go(func() {
			for f := range next {
				select {
				case got <- l.one(f):
				case <-stop.Done():
					return
				}
			}
		})
	}
	var some []*file
	last := time.Now()
	keep := func() error {
		if len(some) == 0 {
			return nil
		}
		err := l.seen.add(some)
		some, last = nil, time.Now()
		return err
	}
	for done := 0; done < len(l.todo); {
		select {
		case f := <-got:
			done++
			some = append(append(some, f), l.moved(f)...)
			if report != nil {
				report(done, len(l.todo), f.path)
			}
		case <-ctx.Done():
			return errors.Join(keep(), ctx.Err())
		}
		if len(some) >= batch || time.Since(last) > pause {
			if err := keep(); err != nil {
				return err
			}
		}
	}
	return errors.Join(keep(), l.seen.compact())
}

// one reads one file. Nothing a file holds may end the look.
func (l *looking) one(f inbox.File) (out *file) {
	out = &file{path: f.Path, Size: f.Size, Time: f.Time.UnixNano()}
	defer func() {
		if p := recover(); p != nil {
			out.Why, out.Again, out.As = fmt.Sprintf("reading it failed inside (%v)", p), true, Unreadable
		}
	}()
	facts, err := media.ReadSmall(f.Path, func(f media.Facts) string { return thumbPath(l.j, f.Hash) }, ThumbSide)
	if err != nil && facts.Hash == "" {
		o, again := inbox.Refused(f.Path, err)
		out.Why, out.Again, out.As = o.Why, again, Unreadable
		var unsupported *media.UnsupportedError
		if errors.As(err, &unsupported) {
			if out.As = OtherKind; unsupported.Kind == "" {
				out.As = NoPicture
			}
		}
		return out
	}
	out.Size, out.Time = facts.Size, facts.Claims.FileTime.UnixNano() // as it was when it was read
	out.Hash, out.Kind, out.Width, out.Height, out.Turn = facts.Hash, facts.Kind, facts.Width, facts.Height, facts.Turn
	out.Camera, out.Claims, out.Length = facts.Camera, facts.Claims, facts.Length
	out.Print, out.Sharp, out.Cells = facts.Look.Fingerprint, facts.Look.Sharp, facts.Look.Cells()
	// Without its small picture it tells no colors.
	if small, err := media.Decode(thumbPath(l.j, facts.Hash), media.DefaultLimits); err == nil {
		out.Colors = colorsOf(small)
	}
	return out
}
