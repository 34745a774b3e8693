// The comparison in a real browser: both pictures are zoomed and moved alike, and one
// takes the other's place when somebody asks for it.

package main

import (
	"context"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// zoomed is what the comparison shows of its pictures.
type zoomed struct {
	Same   bool    // all pictures bear one transform
	Zoom   float64 // as large as this
	X, Y   float64 // how far they lie to the left and above, in their box
	Cut    string
	Shows  string // "then", "now", "both"
	Says   string // in the live region
	Joined bool
}

const lookAtZoom = `(() => {
	const all = Array.from(document.querySelectorAll(".frame img, .half a img"));
	const of = i => getComputedStyle(i).transform, shown = all.filter(i => i.getClientRects().length);
	const m = new DOMMatrix(of(shown[0])), box = shown[0].parentElement;
	const share = i => { const m = new DOMMatrix(of(i)); return [m.a, m.d, m.e / i.parentElement.clientWidth, m.f / i.parentElement.clientHeight].map(n => n.toFixed(2)).join(" "); };
	return {Same: shown.length === 2 && shown.every(i => share(i) === share(shown[0])), Zoom: m.a, X: Math.round(-100 * m.e / box.clientWidth) / 100, Y: Math.round(-100 * m.f / box.clientHeight) / 100,
		Cut: document.getElementById("cut").value, Shows: document.querySelector(".frame").dataset.shows,
		Says: document.getElementById("shown").textContent, Joined: document.querySelector(".compare").classList.contains("joined")};
})()`

func testZoom(t *testing.T, ctx context.Context, pages string) {
	do := func(actions ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, actions...); err != nil {
			t.Fatal(err)
		}
	}
	look := func(after string) zoomed {
		t.Helper()
		got, err := chromedp.Run(ctx, chromedp.Evaluate[zoomed](lookAtZoom))
		if err != nil || !got.Same {
			t.Errorf("after %s the pictures are not zoomed alike: %+v, %v", after, got, err)
		}
		return got
	}
	do(chromedp.EmulateViewport(1280, 800), open(pages, comparison), chromedp.WaitVisible(chromedp.CSS("#cut")))
	if got := look("opening"); got.Zoom != 1 || got.X != 0 || got.Shows != "both" || !got.Joined {
		t.Errorf("it opens with %+v", got)
	}
	do(chromedp.Click(chromedp.CSS(`[data-zoom="closer"]`)))
	if got := look("the button"); got.Zoom != 1.5 || got.X < 0.24 || got.X > 0.26 || got.Cut != "50" || got.Says != "Zoomed to 150 %." {
		t.Errorf("the button zooms to %+v", got)
	}
	// Keys of the frame: as large as there is, its corner, and no farther.
	do(chromedp.Focus(chromedp.CSS(".frame")))
	for range 7 {
		do(chromedp.KeyEvent("+"))
	}
	for range 80 {
		do(chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowDown))
	}
	if got := look("keys"); got.Zoom != 8 || got.X != 7 || got.Y != 7 {
		t.Errorf("keys lead to %+v", got)
	}
	do(chromedp.KeyEvent("-"))
	if got := look("a key"); got.Zoom > 5.4 || got.X > got.Zoom-0.99 {
		t.Errorf("out again: %+v", got)
	}
	// Side by side they stay alike.
	do(chromedp.Click(chromedp.CSS("#apart")))
	if got := look("side by side"); got.Joined || got.Zoom < 5 {
		t.Errorf("side by side: %+v", got)
	}
	do(chromedp.Click(chromedp.CSS("#apart")))

	// A drag moves what is zoomed; the wheel zooms it, and lets the page scroll else.
	drag := `(() => { const f = document.querySelector(".frame"), b = f.getBoundingClientRect();
		const at = (type, x, y, id) => f.dispatchEvent(new PointerEvent(type, {bubbles: true, cancelable: true, pointerId: id || 1, button: 0, pointerType: "touch", clientX: b.x + x * b.width, clientY: b.y + y * b.height}));
		f.setPointerCapture = () => {};
		%s })()`
	with := func(script string) string { return drag[:len(drag)-len("%s })()")] + script + " })()" }
	run := func(script string) bool {
		t.Helper()
		got, err := chromedp.Run(ctx, chromedp.Evaluate[bool](with(script)))
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	before := look("apart and back")
	run(`at("pointerdown", .2, .5); at("pointermove", .3, .6); at("pointerup", .3, .6); return true`)
	if got := look("a drag"); got.X > before.X-0.09 || got.Y > before.Y-0.09 || got.Cut != "50" {
		t.Errorf("a drag by a tenth led from %+v to %+v", before, got)
	}
	if scrolls := run(`return f.dispatchEvent(new WheelEvent("wheel", {deltaY: 5000, bubbles: true, cancelable: true}))`); scrolls || look("the wheel").Zoom != 1 {
		t.Errorf("the wheel over what is zoomed: page scrolls %v, %+v", scrolls, look("the wheel"))
	}
	if scrolls := run(`return f.dispatchEvent(new WheelEvent("wheel", {deltaY: -200, bubbles: true, cancelable: true}))`); !scrolls || look("the wheel").Zoom != 1 {
		t.Errorf("the wheel over the whole picture: page scrolls %v, %+v", scrolls, look("the wheel"))
	}
	// Two fingers, from a fifth to two fifths apart.
	run(`at("pointerdown", .4, .5, 1); at("pointerdown", .6, .5, 2); at("pointermove", .3, .5, 1); at("pointermove", .7, .5, 2); at("pointerup", .3, .5, 1); at("pointerup", .7, .5, 2); return true`)
	if got := look("two fingers"); got.Zoom < 1.99 || got.Zoom > 2.01 || got.X < 0.49 || got.X > 0.51 {
		t.Errorf("two fingers zoom to %+v", got)
	}
	do(chromedp.Focus(chromedp.CSS(".frame")), chromedp.KeyEvent("0"))
	if got := look("the key for all of it"); got.Zoom != 1 || got.X != 0 || got.Y != 0 || got.Says != "The whole picture." {
		t.Errorf("the key for all of it: %+v", got)
	}

	// One, then the other, in one place.
	do(chromedp.Click(chromedp.CSS("#flick")))
	if got := look("flick"); got.Cut != "100" || got.Shows != "then" || got.Says != "Shown: 2023." {
		t.Errorf("flick shows %+v", got)
	}
	do(chromedp.Focus(chromedp.CSS(".frame")), chromedp.KeyEvent("f"))
	if got := look("flick again"); got.Cut != "0" || got.Shows != "now" || got.Says != "Shown: 2025." {
		t.Errorf("its key shows %+v", got)
	}
	do(chromedp.KeyEvent(kb.ArrowRight))
	if got := look("an arrow key"); got.Cut != "1" || got.Shows != "both" {
		t.Errorf("an arrow key on the frame: %+v", got)
	}
}
