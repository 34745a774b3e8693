// Tests in a real browser of photos laid over each other: the switch to as taken
// on their comparison, with scripts and without, and the page on which the same
// spots are pointed at.

package main

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/shot"
	"rakelight/media/scene"
	"rakelight/render/align"
	"rakelight/render/headless"
)

// twoBuilds is a journal with a photo of cleaning of two builds, each of which
// shows a bench card, as the commands make it.
func twoBuilds(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "bench")
	do := func(args ...string) {
		t.Helper()
		var out, errs strings.Builder
		if code := run(t.Context(), append([]string{"--journal", dir}, args...), &out, &errs, time.Now); code != exitDone {
			t.Fatalf("%v: %s", args, errs.String())
		}
	}
	do("new", dir, "--zone", "UTC")
	for i, build := range []string{"pilot-boat", "lorry"} {
		if err := journal.WriteFile(filepath.Join(dir, "builds", build, "build.md"), []byte("---\ntitle: "+[]string{"Pilot boat", "Field-kitchen lorry"}[i]+"\nstages: [clean]\n---\n")); err != nil {
			t.Fatal(err)
		}
		placed := shot.Placed{Face: card.Face{Card: journal.Card{Says: journal.CountCard, Count: 5}, Words: "5 parts"}, Share: 0.3, X: 0.5, Y: 0.5, Turn: 0.3 * float64(i), Tilt: 0.2 * float64(i)}
		img, err := shot.Shot{Width: 1000, Height: 750, Seed: 3, Cards: []shot.Placed{placed}, Noise: 1, Tint: [3]float64{1, 0.95, 0.7 + 0.2*float64(i)}}.Draw()
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, "inbox", build+".jpg")
		f, err := os.Create(path)
		if err != nil {
			t.Fatal(err)
		}
		at := time.Date(2024+i, 3, 14, 19, 0, 0, 0, time.UTC)
		if err := errors.Join(scene.WriteJPEG(f, img, scene.Exif{Make: "Tarrow", Model: "T-24", At: at}), f.Close()); err != nil {
			t.Fatal(err)
		}
	}
	do("take")
	for _, build := range []string{"pilot-boat", "lorry"} {
		do("tag", build+".jpg", build, "clean", "--role", "after", "--view", "left", "--light", "diffuse")
	}
	do("write")
	return dir
}

const laidComparison = "compare/clean-pilot-boat-lorry.html"

func TestLaidInBrowser(t *testing.T) {
	pages := filepath.Join(twoBuilds(t), "pages")
	ctx := headless.Tab(t)
	var l listener
	if err := chromedp.Do(ctx, enable); err != nil {
		t.Fatal(err)
	}
	if err := l.listen(ctx); err != nil {
		t.Fatal(err)
	}
	scripts := func(off bool) {
		t.Helper()
		if err := chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: off})
			return err
		})); err != nil {
			t.Fatal(err)
		}
	}
	type seen struct{ Laid, Taken, Note, Frame bool }
	is := func(after string, want seen) {
		t.Helper()
		got, err := chromedp.Run(ctx, chromedp.Evaluate[seen](`(() => { const on = e => !!e && e.getClientRects().length > 0; return {
			Laid: on(document.querySelector(".compare.laid")), Taken: on(document.querySelector(".compare.taken")),
			Note: on(document.getElementById("done")), Frame: on(document.querySelector(".frame"))} })()`))
		if err != nil || got != want {
			t.Errorf("after %s: %+v, %v; want %+v", after, got, err, want)
		}
	}
	do := func(actions ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, actions...); err != nil {
			t.Fatal(err)
		}
	}
	for _, width := range []int64{1280, 320} {
		do(chromedp.EmulateViewport(width, 800), open(pages, laidComparison), chromedp.WaitVisible(chromedp.CSS("#cut")))
		got, err := chromedp.Run(ctx, chromedp.Evaluate[facts](measure, chromedp.EvalAwaitPromise))
		if err != nil || got.Scroll > got.Inner || len(got.Broken) > 0 {
			t.Errorf("%d px: %+v, %v", width, got, err)
		}
		is("opening", seen{Laid: true, Note: true, Frame: true})
		do(chromedp.Click(chromedp.CSS("#as-taken")))
		is("as taken", seen{Taken: true})
		do(chromedp.Focus(chromedp.CSS("#as-taken")), chromedp.KeyEvent(kb.ArrowLeft))
		is("an arrow key back", seen{Laid: true, Note: true, Frame: true})
	}
	// One divider moves both frames.
	do(chromedp.Focus(chromedp.CSS("#cut")), chromedp.KeyEvent(kb.ArrowRight), chromedp.Click(chromedp.CSS("#as-taken")))
	cuts, err := chromedp.Run(ctx, chromedp.Evaluate[string](`Array.from(document.querySelectorAll(".frame"), f => getComputedStyle(f).getPropertyValue("--cut").trim()).join(" ")`))
	if err != nil || cuts != "51% 51%" {
		t.Errorf("the dividers are at %q, %v", cuts, err)
	}
	if bad := l.take(); len(bad) > 0 {
		t.Error(strings.Join(bad, "; "))
	}

	// Without scripts the switch works too.
	scripts(true)
	defer scripts(false)
	do(open(pages, laidComparison), chromedp.WaitVisible(chromedp.CSS("#compare figure:nth-of-type(1) img")), chromedp.WaitVisible(chromedp.CSS("#compare figure:nth-of-type(2) img")))
	do(chromedp.Click(chromedp.CSS("#as-taken")), chromedp.WaitVisible(chromedp.CSS("#taken figure:nth-of-type(1) img")), chromedp.WaitNotVisible(chromedp.CSS("#compare")))
}

// Spots tapped with the mouse and set by the keyboard are saved as a record.
func TestAlignPage(t *testing.T) {
	j, err := journal.Open(twoBuilds(t))
	if err != nil {
		t.Fatal(err)
	}
	a, b := j.State.Photos[0], j.State.Photos[1]
	s, err := align.Serve(t.Context(), j, a, b)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	ctx := headless.Tab(t)
	do := func(actions ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, actions...); err != nil {
			t.Fatal(err)
		}
	}
	tap := func(id string, x, y float64) { t.Helper(); tapSpot(t, ctx, id, x, y) }
	said := func(want string) {
		t.Helper()
		got, err := chromedp.Run(ctx, chromedp.Text(chromedp.CSS("#say")))
		if err != nil || !strings.Contains(got, want) {
			t.Errorf("the page says %q, %v; want %q", got, err, want)
		}
	}
	do(chromedp.EmulateViewport(1280, 900), chromedp.Navigate(s.URL), chromedp.WaitVisible(chromedp.CSS("#right img")))
	if _, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`Promise.all(Array.from(document.images, i => i.decode())).then(() => true)`, chromedp.EvalAwaitPromise)); err != nil {
		t.Fatal(err)
	}
	said("Spot 1: tap it in either picture")
	tap("left", 0.25, 0.25)
	said("now the same in the right picture")
	tap("right", 0.30, 0.25)
	said("Spot 2")
	tap("right", 0.9, 0.9)
	do(chromedp.Click(chromedp.CSS("#undo")))
	said("Spot 2: tap it")
	tap("left", 0.75, 0.75)
	// The second place by the keyboard: from the middle, by 2 % a step.
	do(chromedp.Focus(chromedp.CSS("#right")))
	for range 10 {
		do(chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowDown))
	}
	do(chromedp.KeyEvent(kb.Enter), chromedp.WaitEnabled(chromedp.CSS("#save")))
	said("2 spots: scaled")
	do(chromedp.Click(chromedp.CSS("#save")), chromedp.WaitVisible(chromedp.CSS("#saved")))
	<-s.Saved
	pairs, record := j.State.PointsOf(a, b)
	want := []journal.PointPair{{0.25, 0.25, 0.30, 0.25}, {0.75, 0.75, 0.70, 0.70}}
	if said := s.Said(); len(pairs) != 2 || record != said.Records[0].ID() {
		t.Fatalf("%v, %s", pairs, record)
	}
	for i, p := range pairs {
		for k, v := range p {
			if math.Abs(v-want[i][k]) > 0.004 { // two pixels of the page
				t.Errorf("spot %d: %v, want %v", i+1, p, want[i])
				break
			}
		}
	}
}

// tapSpot clicks into the picture of a side, at shares of its width and height.
func tapSpot(t *testing.T, ctx context.Context, id string, x, y float64) {
	t.Helper()
	type box struct{ X, Y, Width, Height float64 }
	at, err := chromedp.Run(ctx, chromedp.Evaluate[box](`(() => { const b = document.querySelector("#`+id+` img").getBoundingClientRect(); return {X: b.x, Y: b.y, Width: b.width, Height: b.height} })()`))
	if err != nil || at.Width < 100 {
		t.Fatalf("%s is %+v, %v", id, at, err)
	}
	if err := chromedp.Do(ctx, chromedp.MouseClickXY(at.X+x*at.Width, at.Y+y*at.Height)); err != nil {
		t.Fatal(err)
	}
}

// Spots that are hardly the same cannot be saved until the person says that they
// are meant.
func TestAlignPageAsksWhetherSpotsAreMeant(t *testing.T) {
	j, err := journal.Open(twoBuilds(t))
	if err != nil {
		t.Fatal(err)
	}
	s, err := align.Serve(t.Context(), j, j.State.Photos[0], j.State.Photos[1])
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	ctx := headless.Tab(t)
	do := func(actions ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, actions...); err != nil {
			t.Fatal(err)
		}
	}
	do(chromedp.EmulateViewport(1280, 900), chromedp.Navigate(s.URL), chromedp.WaitVisible(chromedp.CSS("#right img")))
	if _, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`Promise.all(Array.from(document.images, i => i.decode())).then(() => true)`, chromedp.EvalAwaitPromise)); err != nil {
		t.Fatal(err)
	}
	for _, spot := range []float64{0.2, 0.8} {
		tapSpot(t, ctx, "left", spot, spot)
		tapSpot(t, ctx, "right", 1-spot, 1-spot)
	}
	do(chromedp.WaitVisible(chromedp.CSS("#anyway")))
	said, err := chromedp.Run(ctx, chromedp.Evaluate[string](`document.getElementById("say").textContent + document.getElementById("save").disabled`))
	if err != nil || !strings.Contains(said, "the spots turn the photo by") || !strings.HasSuffix(said, "true") {
		t.Errorf("%q, %v", said, err)
	}
	do(chromedp.Click(chromedp.CSS("#anyway")), chromedp.WaitEnabled(chromedp.CSS("#save")), chromedp.Click(chromedp.CSS("#save")), chromedp.WaitVisible(chromedp.CSS("#saved")))
	<-s.Saved
	if len(j.State.Points) != 1 {
		t.Errorf("%v", j.State.Points)
	}
}
