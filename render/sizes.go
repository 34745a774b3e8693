// The web sizes of the photos: made once, two photos at a time.

package render

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/media"
)

// workers decode at the same time. A large photo takes some 200 MB while it is
// open, so more would not suit a small computer.
const workers = 2

// sizesMade are the photos, by the stems of their files, of which all sizes were
// looked at and are whole: files that only we write, so that their being there is
// enough from then on.
type sizesMade map[string]bool

// missing are the photos of which a size is not there. Where few photos came, only
// theirs are looked for: listing all takes long, and a size that somebody removed
// meanwhile is made again by the next writing to which no photo came.
func (o *output) missing(all originals, made sizesMade) []*journal.Photo {
	var fresh, out []*journal.Photo
	for _, p := range all.photos {
		if hasPicture(p) && !made[all.stem[p.Hash]] {
			fresh = append(fresh, p)
		}
	}
	if len(fresh) > 0 && len(fresh) < len(all.photos)/10 {
		for _, p := range fresh {
			if stem := all.stem[p.Hash]; o.haveAll(all.sizeNames(p)) {
				made[stem] = true
			} else {
				out = append(out, p)
			}
		}
		return out
	}
	there := o.sizesThere()
	for _, p := range all.photos {
		if !hasPicture(p) {
			continue
		}
		stem := all.stem[p.Hash]
		wants := 1<<len(fileWidths(p.Width)) - 1
		listed := there[stem]&wants == wants
		if made[stem] != listed {
			made[stem] = listed && o.haveAll(all.sizeNames(p))
		}
		if !made[stem] {
			out = append(out, p)
		}
	}
	return out
}

// sizesThere are the sizes that have a file, by stem: a bit for each of widths.
func (o *output) sizesThere() map[string]int {
	there := map[string]int{}
	dir, err := os.Open(o.path("photos"))
	if err != nil {
		return there
	}
	defer dir.Close()
	names, _ := dir.Readdirnames(-1) // what cannot be listed is made again
	for _, name := range names {
		stem, rest, _ := strings.Cut(name, "-")
		width, ok := strings.CutSuffix(rest, ".jpg")
		if n, err := strconv.Atoi(width); ok && err == nil && slices.Contains(widths, n) {
			there[stem] |= 1 << slices.Index(widths, n)
		}
	}
	return there
}

// sizes makes the sizes that do not exist yet. Photos that cannot be read come
// back with the reason; an error means that nothing can be written, or that
// ctx ended.
func (o *output) sizes(ctx context.Context, j *journal.Journal, all originals, made sizesMade) (Report,
	map[string]noShow, error) {
	var report Report
	unshown := map[string]noShow{}
	missing := o.missing(all, made)
	if len(missing) == 0 {
		return report, unshown, nil
	}
	// A list of the names beforehand, so that a crash forgets no file.
	if err := disk.MkdirAll(o.path("photos"), 0o755); err != nil {
		return report, nil, err
	}
	names := all.sizeFiles(nil)
	foreign := o.foreign(names)
	if err := o.enlist(without(names, foreign)); err != nil {
		return report, nil, err
	}
	var (
		lock  sync.Mutex
		group sync.WaitGroup
		done  int
		fatal error
	)
	todo := make(chan *journal.Photo)
	for range workers {
		group.Go(func() {
			for p := range todo {
				dst := func(width int) string { return o.path(sizeName(all.stem[p.Hash], width)) }
				made, err := makeSizes(j, p, dst, o.notReady(p, all.stem[p.Hash], fileWidths(p.Width), foreign))
				lock.Lock()
				done++
				report.Photos += len(made)
				if err != nil {
					if why, ok := cannotShow(err); ok {
						unshown[p.Hash] = why
					} else if fatal == nil {
						fatal = err
					}
				}
				o.tell(done, len(missing), "photos")
				lock.Unlock()
			}
		})
	}
	stopped := func() bool {
		lock.Lock()
		defer lock.Unlock()
		return fatal != nil || ctx.Err() != nil
	}
	for _, p := range missing {
		if stopped() {
			break
		}
		todo <- p
	}
	close(todo)
	group.Wait()
	if fatal == nil {
		fatal = ctx.Err()
	}
	return report, unshown, fatal
}

// ours are the widths whose files are not somebody else's.
func ours(stem string, widths []int, foreign map[string]bool) []int {
	return slices.DeleteFunc(slices.Clone(widths), func(w int) bool { return foreign[sizeName(stem, w)] })
}

// notReady are those of the widths that have to be made.
func (o *output) notReady(p *journal.Photo, stem string, widths []int, foreign map[string]bool) []int {
	return slices.DeleteFunc(ours(stem, widths, foreign), func(w int) bool {
		return o.ready != nil && o.ready(p, sizeName(stem, w))
	})
}

func (o *output) haveAll(names []string) bool {
	for _, name := range names {
		if info, err := os.Stat(o.path(name)); err != nil || info.Size() == 0 {
			return false
		}
	}
	return true
}

// makeSizes makes web sizes of a photo from its original.
func makeSizes(j *journal.Journal, p *journal.Photo, dst func(width int) string, widths []int) ([]media.Size, error) {
	if len(widths) == 0 {
		return nil, nil
	}
	file, err := j.Original(p.Path)
	if err != nil {
		return nil, err
	}
	return media.Sizes(file, p.Turn, dst, widths)
}

// cannotShow tells a photo that has no picture to show from trouble that
// concerns all of them, such as a full disk. The reason names no path: it
// stands on a page.
func cannotShow(err error) (noShow, bool) {
	var broken *media.BrokenError
	var unsupported *media.UnsupportedError
	var none *media.NoPictureError
	var busy *media.BusyError
	switch {
	case errors.As(err, &none):
		return noPicture, true
	case errors.As(err, &busy):
		return noShow{words: busy.Error()}, true
	case errors.As(err, &broken):
		return noShow{words: broken.Error()}, true
	case errors.As(err, &unsupported):
		return noShow{words: unsupported.Error()}, true
	case errors.Is(err, journal.ErrOutside):
		return noShow{words: "its path leads out of the photos folder"}, true
	case errors.Is(err, fs.ErrNotExist):
		return noShow{words: "the original is missing from the photos folder"}, true
	}
	return noShow{}, false
}
