// How many cards are read in photos with everything that goes wrong, beside an
// independent reader on the same files. RAKELIGHT_CARD_PHOTOS=n draws n photos
// of 4000 by 3000 pixels for each condition, RAKELIGHT_CARD_DIR says where to
// keep them; one of half the size for each is drawn otherwise.

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

	"rakelight/media/card"
	"rakelight/media/card/shot"
)

func TestRecall(t *testing.T) {
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
	t.Logf("%-18s %5s  %5s %8s  %5s %8s", "condition", "cards", "ours", "ms", "zbar", "ms")
	var cards, ours, theirs int
	var allTime, theirTime time.Duration
	steps := map[string]int{}
	for i, c := range shot.Conditions {
		var want, here, there, spent, spentThere = 0, 0, 0, time.Duration(0), time.Duration(0)
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
			found, step := card.FindStep(card.PlaneOf(img))
			spent += time.Since(start)
			steps[step]++
			var texts []string
			for _, one := range found {
				texts = append(texts, one.Text)
			}
			var seen []string
			if other != "" {
				start := time.Now()
				out, _ := exec.Command(other, "-q", "--raw", path).Output() // no code found is an exit code
				spentThere += time.Since(start)
				seen = strings.Fields(string(out))
			}
			for _, p := range s.Cards {
				text, err := p.Print.Card.Text()
				if err != nil {
					t.Fatal(err)
				}
				want++
				if at := slices.Index(texts, text); at >= 0 {
					here++
					texts = slices.Delete(texts, at, at+1)
				}
				if slices.Contains(seen, text) {
					there++
				}
			}
			if len(texts) > 0 {
				t.Errorf("%s: read %q, which is not there", path, texts)
			}
		}
		t.Logf("%-18s %5d  %5d %8d  %5d %8d", c.Name, want, here, spent.Milliseconds()/int64(n), there, spentThere.Milliseconds()/int64(n))
		cards, ours, theirs = cards+want, ours+here, theirs+there
		allTime, theirTime = allTime+spent, theirTime+spentThere
	}
	photos := int64(n * len(shot.Conditions))
	t.Logf("%-18s %5d  %5d %8d  %5d %8d", "all", cards, ours, allTime.Milliseconds()/photos, theirs, theirTime.Milliseconds()/photos)
	t.Logf("found by step: %v", steps)
	if other != "" && ours < theirs {
		t.Errorf("read %d cards of %d, the other reader %d", ours, cards, theirs)
	}
	if ours*10 < cards*8 {
		t.Errorf("read %d cards of %d: fewer than eight in ten", ours, cards)
	}
}
