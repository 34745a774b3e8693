// Pages walked by keys: each thing that can be acted on is come to once, in the order of
// the page, is seen when it is come to, and is left again.

package main

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rakelight/render/headless"
)

// watchKeys notes where the keys lead. A stop is seen if focusing changed its outline or
// shadow, and some of it lies open in the window.
const watchKeys = `(() => {
	const acts = "a[href], area[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex], audio[controls], video[controls], iframe";
	const seen = e => e.checkVisibility({visibilityProperty: true}) && !e.closest("details:not([open]) > :not(summary)");
	const stops = Array.from(document.querySelectorAll(acts)).filter(e => e.tabIndex >= 0 && !e.disabled && seen(e))
		.filter(e => e.type !== "radio" || e.checked || !document.querySelector('input[type=radio][name="' + e.name + '"]:checked') &&
			e === document.querySelector('input[type=radio][name="' + e.name + '"]'));
	const walk = window.walk = {want: stops.length, met: [], faults: []};
	const told = e => e.outerHTML.slice(0, 120);
	const look = e => { const s = getComputedStyle(e); return s.outlineStyle + s.outlineWidth + s.outlineColor + s.boxShadow; };
	const before = new Map(stops.map(e => [e, look(e)]));
	const ring = e => before.has(e) ? look(e) !== before.get(e) : getComputedStyle(e).outlineStyle !== "none";
	const open = e => Array.from(e.getClientRects()).some(r => {
		for (const [fx, fy] of [[.5, .5], [.1, .1], [.9, .1], [.1, .9], [.9, .9]]) {
			const hit = document.elementFromPoint(r.left + r.width * fx, r.top + r.height * fy);
			if (hit && (e.contains(hit) || hit.contains(e) && e.tagName === "A")) { return true; }
		}
		return false;
	});
	let last = null;
	document.addEventListener("focusin", event => {
		const e = event.target;
		if (walk.met.length > stops.length + 50) { return; }
		if (last && !(last.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING)) { walk.faults.push("goes back to " + told(e)); }
		if (!ring(e)) { walk.faults.push("not seen to be come to: " + told(e)); }
		if (!open(e)) { walk.faults.push("hidden when come to: " + told(e)); }
		if (e.tabIndex > 0) { walk.faults.push("has an order of its own: " + told(e)); }
		walk.met.push(e);
		last = e;
	});
	walk.end = () => {
		const met = new Set(walk.met);
		for (const e of stops) { if (!met.has(e)) { walk.faults.push("never come to: " + told(e)); } }
		return JSON.stringify({Want: walk.want, Met: walk.met.length, Faults: walk.faults.slice(0, 12), First: walk.met.length ? walk.met[0].className : ""});
	};
	return stops.length;
})()`

// walk is what came of walking a page.
type walk struct {
	Want, Met int
	Faults    []string
	First     string // class of the first stop
}

// walked walks the page that is open.
func walked(t *testing.T, ctx context.Context) walk {
	t.Helper()
	stops, err := chromedp.Run(ctx, chromedp.Evaluate[int](watchKeys))
	for range stops {
		if err == nil {
			err = chromedp.Do(ctx, chromedp.KeyEvent(kb.Tab))
		}
	}
	var text string
	if err == nil {
		text, err = chromedp.Run(ctx, chromedp.Evaluate[string](`walk.end()`))
	}
	var w walk
	if err == nil {
		err = json.Unmarshal([]byte(text), &w)
	}
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// testKeys walks a page of each kind.
func (w written) testKeys(t *testing.T) {
	ctx := headless.Tab(t)
	host := w.serve(t)
	total := 0
	opened := func(name string) {
		t.Helper()
		err := chromedp.Do(ctx, chromedp.EmulateViewport(1280, 800), chromedp.Navigate(host+name), chromedp.WaitReady(chromedp.CSS("main")))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
	}
	for _, name := range w.kinds(t) {
		opened(name)
		got := walked(t, ctx)
		if got.First != "skip" || got.Met < 5 {
			t.Errorf("%s: of %d stops %d were come to, the first is %q", name, got.Want, got.Met, got.First)
		}
		for _, fault := range got.Faults {
			t.Errorf("%s: %s", name, fault)
		}
		total += got.Met
	}
	t.Logf("%d stops", total)
	testSkip(t, ctx, host)

	// Faults made on purpose are told.
	opened("index.html")
	told := strings.Join(walkedWith(t, ctx, keyFaults), "\n")
	for _, want := range []string{"not seen to be come to: <button>plain", "has an order of its own: <button tabindex=\"3\"",
		"hidden when come to: <button class=\"under\"", "never come to: <button class=\"trapped\""} {
		if !strings.Contains(told, want) {
			t.Errorf("a fault made on purpose was not told: %s; only\n%s", want, told)
		}
	}
}

// keyFaults are a stop that does not show, one with an order of its own, one under
// something, and one that a trap keeps all from.
const keyFaults = `(() => {
	const rules = new CSSStyleSheet();
	rules.replaceSync(".plain, button:not([class]) { outline: none !important; box-shadow: none !important; transition: none !important; } .under { position: fixed; bottom: 0; left: 0; } .over { position: fixed; bottom: 0; left: 0; width: 100vw; height: 9rem; z-index: 99; }");
	document.adoptedStyleSheets = [rules];
	document.querySelector("main").innerHTML = '<button>plain</button><button tabindex="3">first</button><button class="under">under</button><div class="over">over</div>' +
		'<button class="trap">trap</button><button class="trapped">trapped</button>';
	document.querySelector(".trap").addEventListener("keydown", event => event.preventDefault());
})()`

func walkedWith(t *testing.T, ctx context.Context, change string) []string {
	t.Helper()
	if err := chromedp.Do(ctx, chromedp.Evaluate[chromedp.Void](change)); err != nil {
		t.Fatal(err)
	}
	return walked(t, ctx).Faults
}

// The first key leads to a link, which leads past the rail.
func testSkip(t *testing.T, ctx context.Context, host string) {
	err := chromedp.Do(ctx, chromedp.Navigate(host+"pace.html"), chromedp.WaitReady(chromedp.CSS("main")),
		chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Enter), chromedp.KeyEvent(kb.Tab))
	at, evalErr := chromedp.Run(ctx, chromedp.Evaluate[bool](`document.querySelector("main").contains(document.activeElement)`))
	if err != nil || evalErr != nil || !at {
		t.Errorf("after the skip link the next stop is not in the page: %v, %v", err, evalErr)
	}
}
