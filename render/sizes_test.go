// Which web sizes of photos are looked for.

package render

import (
	"fmt"
	"os"
	"slices"
	"testing"

	"rakelight/journal"
)

// Of a photo that came, its sizes are looked for and those of no other; where none
// came, those of all.
func TestSizesOfNewPhotosAreLookedFor(t *testing.T) {
	j := newJournal(t)
	o, made := output{dir: j.Path("pages")}, sizesMade{}
	if err := os.MkdirAll(o.path("photos"), 0o755); err != nil {
		t.Fatal(err)
	}
	var photos []*journal.Photo
	come := func(sizes bool) *journal.Photo {
		p := &journal.Photo{Hash: fmt.Sprintf("%064d", len(photos))}
		p.Hash = p.Hash[56:] + p.Hash[:56]
		p.Width, p.Height = 4000, 3000
		photos = append(photos, p)
		for _, name := range (originals{photos, originalsOf(&journal.State{Photos: photos}).stem}).sizeNames(p) {
			if sizes {
				if err := os.WriteFile(o.path(name), []byte{0}, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
		return p
	}
	missing := func() []*journal.Photo { return o.missing(originalsOf(&journal.State{Photos: photos}), made) }
	for range 20 {
		come(true)
	}
	if got := missing(); len(got) > 0 {
		t.Fatalf("%d photos without sizes", len(got))
	}
	all := originalsOf(&journal.State{Photos: photos})
	if err := os.Remove(o.path(all.sizeNames(photos[3])[0])); err != nil {
		t.Fatal(err)
	}
	come(true)
	if got := missing(); len(got) > 0 {
		t.Errorf("%d photos are looked for beside the new one", len(got))
	}
	if got := missing(); !slices.Equal(got, photos[3:4]) {
		t.Errorf("without a new photo %d lack a size", len(got))
	}
	made[all.stem[photos[3].Hash]] = true
	fresh := come(false)
	if got := missing(); !slices.Equal(got, []*journal.Photo{fresh}) {
		t.Errorf("%d lack a size, with a new one that does", len(got))
	}
}
