// The flick-through in a real browser: moved by the range, by keys from anywhere on the
// page, and by nothing else.

package main

import (
	"context"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

func testFlickThrough(t *testing.T, ctx context.Context, pages string) {
	type shown struct {
		Value, Said, Spoken string
		Strip, Same, Loaded bool
		Frames              int
	}
	const look = `document.getElementById("flick-picture").decode().then(() => 1, () => 0).then(loaded => ({
	Value: document.getElementById("flick-at").value, Said: document.querySelector("#flick-says .count").textContent,
	Spoken: document.getElementById("flick-at").getAttribute("aria-valuetext"),
	Strip: getComputedStyle(document.getElementById("flick-strip")).display !== "none",
	Same: document.getElementById("flick-picture").getAttribute("src") === document.querySelectorAll("#flick-strip img")[document.getElementById("flick-at").value - 1].getAttribute("src"),
	Loaded: loaded === 1, Frames: document.querySelectorAll("#flick-strip img").length}))`
	do := func(actions ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, actions...); err != nil {
			t.Fatal(err)
		}
	}
	at := func(want, after string) {
		t.Helper()
		got, err := chromedp.Run(ctx, chromedp.Evaluate[shown](look, chromedp.EvalAwaitPromise))
		if err != nil || got.Value != want || got.Said != want+" of 27" || got.Strip || !got.Same || !got.Loaded || got.Frames != 27 || got.Spoken == "" {
			t.Errorf("after %s: %+v, %v; want picture %s", after, got, err, want)
		}
	}
	do(chromedp.EmulateViewport(1280, 800), open(pages, "builds/pilot-boat/flick.html"), chromedp.WaitVisible(chromedp.CSS("#flick-at")))
	at("1", "opening")
	do(chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight))
	at("4", "three arrow keys on the page")
	do(chromedp.KeyEvent(kb.ArrowLeft))
	at("3", "an arrow key back")
	do(chromedp.KeyEvent(kb.End))
	at("27", "End")
	do(chromedp.KeyEvent(kb.ArrowRight))
	at("27", "an arrow key beyond the last")
	do(chromedp.Focus(chromedp.CSS("#flick-at")), chromedp.KeyEvent(kb.ArrowLeft))
	at("26", "an arrow key on the range") // moved once, not twice
	do(chromedp.KeyEvent(kb.Home))
	at("1", "Home on the range")
}
