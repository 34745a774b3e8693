// Tests that the cards the story shows can be read from the pictures drawn.

package demo

import (
	"bytes"
	"image/jpeg"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/scene"
)

// TestCardsOfTheStory holds that pictures of one to six cards, and cards beside
// the work, say to the program what the story says: a card that is not read
// would change hours and parts without any other sign.
func TestCardsOfTheStory(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	if err := journal.Create(dir, "Demo", zoneName, Today); err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(stories, func(p story) bool { return p.cards })
	p := stories[i]
	if err := writeProse(dir, p); err != nil {
		t.Fatal(err)
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	records, shots, err := p.tell(j)
	if err != nil {
		t.Fatal(err)
	}
	if len(records) > 0 {
		t.Errorf("%d records are written for the build kept by cards alone", len(records))
	}
	seen := map[int]int{} // cards in the picture → pictures looked at
	for _, s := range shots {
		var want []string
		kind := 0
		if s.cards != nil {
			kind = len(s.cards.Cards)
			for _, c := range s.cards.Cards {
				want = append(want, textOf(t, c.Face.Card))
			}
		} else if s.scene.Beside.Image != nil {
			kind = -1
			want = []string{textOf(t, journal.Card{Says: journal.RoleCard, Word: s.role})}
		}
		if seen[kind]++; kind == 0 || seen[kind] > 2 && kind < 4 {
			continue // two of the easy ones are enough
		}
		var b bytes.Buffer
		if s.cards != nil {
			img, err := s.cards.Draw()
			if err != nil {
				t.Fatal(err)
			}
			err = scene.WriteJPEG(&b, img, s.exif)
			if err != nil {
				t.Fatal(err)
			}
		} else if err := scene.WriteJPEG(&b, scene.Draw(s.scene), s.exif); err != nil {
			t.Fatal(err)
		}
		img, err := jpeg.Decode(&b)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, f := range card.Find(card.PlaneOf(img)) {
			got = append(got, f.Text)
		}
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("at %s: read %v of %v", s.taken.Format(time.DateTime), got, want)
		}
	}
	if len(seen) < 6 {
		t.Errorf("only %d kinds of pictures: %v", len(seen), seen)
	}
}

func textOf(t *testing.T, c journal.Card) string {
	t.Helper()
	text, err := c.Text()
	if err != nil {
		t.Fatal(err)
	}
	return text
}
