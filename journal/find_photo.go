// This file finds the photos a person may mean by a name.

package journal

import (
	"path"
	"slices"
	"sort"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// FindPhoto returns the photos a person may mean: by the first digits of the
// hash (at least four), by path, or by file name, of the one shown or of a file
// beside it.
func (s *State) FindPhoto(name string) []*Photo {
	name = askedName(name)
	is := func(hash, file, own string) bool {
		return len(name) >= 4 && strings.HasPrefix(hash, strings.ToLower(name)) || file == name ||
			norm.NFC.String(own) == name || path.Base(file) == name
	}
	words := []string{name, strings.ToLower(name)}
	if strings.ContainsFunc(name, func(r rune) bool { return r >= utf8.RuneSelf }) {
		words = []string{""} // it may stand there in other letters
	}
	return keep(s.photosNaming(words...), func(p *Photo) bool {
		return is(p.Hash, p.Path, p.Name) || slices.ContainsFunc(p.Beside,
			func(o Original) bool { return is(o.Hash, o.Path, o.Name) })
	})
}

// askedName is a name as names are compared: with slashes, and with composed letters
// (NFC, Unicode Standard Annex 15), since macOS hands out "ü" as two and Linux as typed.
// Names in photos/ are ours, of ASCII.
func askedName(name string) string { return norm.NFC.String(strings.ReplaceAll(name, `\`, "/")) }

// PhotoFinder answers FindPhoto for who asks often: making one looks at all
// photos, asking it at few.
type PhotoFinder struct {
	photos []*Photo
	named  map[string][]int // by path and by file name → places among the photos
	hashes []hashed         // by hash
}

type hashed struct {
	hash string
	at   int
}

// PhotoFinder makes a finder of the state's photos.
func (s *State) PhotoFinder() *PhotoFinder {
	photos := s.photos()
	f := &PhotoFinder{photos: photos, named: make(map[string][]int, 3*len(photos))}
	for i, p := range photos {
		f.add(i, p.Hash, p.Path, p.Name)
		for _, o := range p.Beside {
			f.add(i, o.Hash, o.Path, o.Name)
		}
	}
	slices.SortFunc(f.hashes, func(a, b hashed) int { return strings.Compare(a.hash, b.hash) })
	return f
}

func (f *PhotoFinder) add(i int, hash, file, own string) {
	for _, name := range []string{file, norm.NFC.String(own), path.Base(file)} {
		f.named[name] = append(f.named[name], i)
	}
	f.hashes = append(f.hashes, hashed{hash, i})
}

// Find returns what FindPhoto does.
func (f *PhotoFinder) Find(name string) []*Photo {
	name = askedName(name)
	found := slices.Clone(f.named[name])
	if digits := strings.ToLower(name); len(digits) >= 4 {
		from := sort.Search(len(f.hashes), func(i int) bool { return f.hashes[i].hash >= digits })
		for _, h := range f.hashes[from:] {
			if !strings.HasPrefix(h.hash, digits) {
				break
			}
			found = append(found, h.at)
		}
	}
	slices.Sort(found)
	var out []*Photo
	for _, i := range slices.Compact(found) {
		out = append(out, f.photos[i])
	}
	return out
}
