// How many cards are read in photos with everything that goes wrong, beside an
// independent reader on the same files and on copies of half the size, made by
// what makes the web sizes. RAKELIGHT_CARD_PHOTOS=n draws n photos of 4000 by
// 3000 pixels for each condition, RAKELIGHT_CARD_SEED others than the first,
// RAKELIGHT_CARD_DIR says where to keep them, RAKELIGHT_CARD_ONLY=words takes the
// conditions alone whose names hold them; one of half the size for each is drawn
// otherwise.

package card_test

import (
	"fmt"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"rakelight/media"
	"rakelight/media/card"
	"rakelight/media/card/shot"
)

func TestRecall(t *testing.T) {
	t.Parallel()
	n, _ := strconv.Atoi(os.Getenv("RAKELIGHT_CARD_PHOTOS"))
	width, height := 4000, 3000
	if n < 1 {
		n, width, height = 1, 2000, 1500
	}
	dir := os.Getenv("RAKELIGHT_CARD_DIR")
	if dir == "" {
		dir = t.TempDir()
	}
	seed, _ := strconv.ParseUint(os.Getenv("RAKELIGHT_CARD_SEED"), 10, 64)
	other, _ := exec.LookPath("zbarimg")
	t.Logf("seed %d; our ms are the search alone, the other reader's its whole run; half = on copies of half the size", seed)
	t.Logf("%-18s %5s  %5s %6s  %5s %6s  %5s %6s", "condition", "cards", "ours", "ms", "zbar", "ms", "half", "ms")
	var all tally
	steps := map[string]int{}
	for i, c := range shot.Conditions {
		if !strings.Contains(c.Name, os.Getenv("RAKELIGHT_CARD_ONLY")) {
			continue
		}
		sum := tally{photos: n}
		for k := range n {
			s := c.Of(k, width, height, 1000*uint64(i)+100000*seed)
			path := filepath.Join(dir, fmt.Sprintf("%d-%02d-%03d.jpg", seed, i, k))
			if _, err := os.Stat(path); err != nil {
				img, err := s.Draw()
				if err != nil {
					t.Fatal(err)
				}
				f, err := os.Create(path)
				if err != nil {
					t.Fatal(err)
				}
				if err := jpeg.Encode(f, img, &jpeg.Options{Quality: 90}); err != nil {
					t.Fatal(err)
				}
				if err := f.Close(); err != nil {
					t.Fatal(err)
				}
			}
			f, err := os.Open(path)
			if err != nil {
				t.Fatal(err)
			}
			img, err := jpeg.Decode(f)
			f.Close()
			if err != nil {
				t.Fatal(err)
			}
			start := time.Now()
			found, by := card.FindStep(card.PlaneOf(img))
			sum.took[0] += time.Since(start)
			for step, n := range by {
				steps[step] += n
			}
			var texts []string
			for _, one := range found {
				texts = append(texts, one.Text)
			}
			small := filepath.Join(dir, "half.jpg")
			if _, err := media.Sizes(path, 1, func(int) string { return small }, []int{width / 2}); err != nil {
				t.Fatal(err)
			}
			var seen [2][]string
			for i, file := range []string{path, small} {
				if other == "" {
					break
				}
				start := time.Now()
				out, _ := exec.Command(other, "-q", "--raw", file).Output() // no code found is an exit code
				sum.took[1+i] += time.Since(start)
				seen[i] = strings.Fields(string(out))
			}
			for _, p := range s.Cards {
				text, err := p.Face.Card.Text()
				if err != nil {
					t.Fatal(err)
				}
				sum.cards++
				if at := slices.Index(texts, text); at >= 0 {
					sum.read[0]++
					texts = slices.Delete(texts, at, at+1)
				}
				for i := range seen {
					if slices.Contains(seen[i], text) {
						sum.read[1+i]++
					}
				}
			}
			if len(texts) > 0 {
				t.Errorf("%s: read %q, which is not there", path, texts)
			}
		}
		t.Log(sum.row(c.Name))
		all.add(sum)
	}
	t.Log(all.row("all"))
	t.Logf("found by step: %v", steps)
	for i, name := range []string{"", "the other reader", "the other reader at half the size"} {
		if other != "" && all.read[0] < all.read[i] {
			t.Errorf("read %d cards of %d, %s %d", all.read[0], all.cards, name, all.read[i])
		}
	}
	if all.read[0]*10 < all.cards*8 {
		t.Errorf("read %d cards of %d: fewer than eight in ten", all.read[0], all.cards)
	}
}

// tally counts cards read in photos, and the time it took: ours, the other
// reader's, the other's at half the size.
type tally struct {
	photos, cards int
	read          [3]int
	took          [3]time.Duration
}

func (a *tally) add(b tally) {
	a.photos, a.cards = a.photos+b.photos, a.cards+b.cards
	for i := range a.read {
		a.read[i], a.took[i] = a.read[i]+b.read[i], a.took[i]+b.took[i]
	}
}

// row is a line of the table; times are by photo.
func (a tally) row(name string) string {
	s := fmt.Sprintf("%-18s %5d", name, a.cards)
	for i := range a.read {
		s += fmt.Sprintf("  %5d %6d", a.read[i], a.took[i].Milliseconds()/int64(a.photos))
	}
	return s
}
