// Test in a real browser of photos that look alike, by real pictures: what is asked
// beside the mat, answered by keys and by a finger, and taken back.

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"rakelight/journal"
	"rakelight/media/scene"
)

// alikeServed serves a journal of an old build whose photos have neither view nor light,
// and a later one of the same model that has them, and returns its folder and address.
func alikeServed(t *testing.T) (dir, at string) {
	t.Helper()
	dir, at, _, _ = benchServed(t)
	n := 0
	put := func(folder string, shot scene.Shot) {
		n++
		shot.Model, shot.Kind, shot.Step, shot.Seed, shot.Width, shot.Height = "lorry", "paint", 1, uint64(n), 240, 180
		dir := filepath.Join(dir, "inbox", filepath.FromSlash(folder))
		if err := os.MkdirAll(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		f, err := os.Create(filepath.Join(dir, fmt.Sprintf("p%03d.jpg", n)))
		if err == nil {
			err = scene.WriteJPEG(f, scene.Draw(shot), scene.Exif{Make: "Tarrow", Model: "T-24", At: time.Date(2024, 3, 1+n, 19, 0, 0, 0, time.UTC)})
			_ = f.Close()
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, view := range []string{"left", "top"} {
		put("lorry/clean", scene.Shot{View: view, Light: "diffuse"})
	}
	for _, view := range []string{"left", "top", "rear"} {
		for _, light := range journal.Lights {
			for range 4 {
				put("pilot-boat/clean/"+view+"/"+light, scene.Shot{View: view, Light: light})
			}
		}
	}
	var out, errs strings.Builder
	for _, command := range []string{"take", "write"} {
		if code := run(t.Context(), []string{"--journal", dir, command}, &out, &errs, time.Now); code != exitDone {
			t.Fatal(out.String(), errs.String())
		}
	}
	return dir, at
}

func TestAlikeBesideTheMat(t *testing.T) {
	dir, at := alikeServed(t)
	said := func() (yes, no int, views []string) {
		j, err := journal.Open(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, one := range j.State.Alikes {
			if one.Not {
				no++
			} else {
				yes++
			}
		}
		for _, p := range j.State.Photos {
			if p.Tags.Build == "lorry" && p.Tags.View != "" {
				views = append(views, p.Tags.View)
			}
		}
		return yes, no, views
	}
	p := newPhone(t, at+"bench/more")
	p.tap("Photos that look alike")
	p.see("Cleanup: the same view and light?")
	p.see("By its looks, a guess")
	p.shot("alike")

	// Nothing was said yet, so nothing stands beside anything.
	if yes, no, views := said(); yes+no+len(views) > 0 {
		t.Errorf("before an answer: %d, %d, %v", yes, no, views)
	}
	p.tap("Not now")
	p.see("Those that are left were put off.")
	p.tap("From the beginning")
	p.see("the same view and light?")

	// A key answers; Undo takes the answer and the tags back.
	p.do(chromedp.KeyEvent("1"))
	p.see("side by side from now on")
	if yes, no, views := said(); yes != 1 || no != 0 || len(views) != 1 || !slices.Contains([]string{"left", "top"}, views[0]) {
		t.Errorf("after a yes: %d, %d, %v", yes, no, views)
	}
	p.see("No photo without view or light could stand beside one of the same stage")
	p.tap("Undo")
	p.see("the same view and light?")
	if yes, no, views := said(); yes+no+len(views) > 0 {
		t.Errorf("taken back: %d, %d, %v", yes, no, views)
	}

	// After a no the next is asked about, and in the end nothing.
	p.tap("No, never ask again")
	p.see("not alike")
	if _, no, views := said(); no != 1 || len(views) > 0 {
		t.Errorf("after a no: %d, %v", no, views)
	}
	p.see("the same view and light?")
	p.tap("No, never ask again")
	p.see("No photo looks enough like one of another build.")
}
