// The kept photos and the names their files have among the pages.

package render

import (
	"errors"
	"io/fs"
	"os"

	"rakelight/journal"
)

// originals are the photos of a journal, and how the files made of each are
// called.
type originals struct {
	photos []*journal.Photo
	stem   map[string]string // photo hash → name of its sizes, without width
}

// originalsOf gives each photo the first eight digits of its hash as name, and
// twice as many to those that share them.
func originalsOf(s *journal.State) originals {
	shared := map[string]int{}
	for _, p := range s.Photos {
		shared[p.Short()]++
	}
	o := originals{s.Photos, make(map[string]string, len(s.Photos))}
	for _, p := range s.Photos {
		o.stem[p.Hash] = stemOf(p, shared[p.Short()] > 1)
	}
	return o
}

// stemOf is the name of a photo's files; shared says that another photo has the
// same first digits.
func stemOf(p *journal.Photo, shared bool) string {
	if shared {
		return p.Hash[:min(16, len(p.Hash))]
	}
	return p.Short()
}

// sizeFiles are the web sizes of all photos that have a picture to show, but of
// those that unshown tells of.
func (o originals) sizeFiles(unshown map[string]noShow) []string {
	var names []string
	for _, p := range o.photos {
		if hasPicture(p) && !unshown[p.Hash].any() {
			names = append(names, o.sizeNames(p)...)
		}
	}
	return names
}

func (o originals) sizeNames(p *journal.Photo) []string {
	var names []string
	for _, w := range fileWidths(p.Width) {
		names = append(names, sizeName(o.stem[p.Hash], w))
	}
	return names
}

// hasPicture reports whether the photo's file holds a picture of any size.
func hasPicture(p *journal.Photo) bool { return p.Width > 0 && p.Height > 0 }

// goneAsides are the paths of copies that were set aside and are no longer there.
func goneAsides(j *journal.Journal, s *journal.State) map[string]bool {
	gone := map[string]bool{}
	for _, a := range s.Asides {
		if _, err := os.Lstat(j.Path(a.Path)); errors.Is(err, fs.ErrNotExist) {
			gone[a.Path] = true
		}
	}
	return gone
}
