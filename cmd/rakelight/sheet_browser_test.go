// Then and now in a real browser, from disk: its heads stay, filters change the cells
// and the address, and two cells picked by keys open side by side.

package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// contacts is what the sheet shows.
type contacts struct {
	Hash    string
	Told    string   // of what is shown
	Says    string   // of what is picked
	Views   []string // in the words of the photos
	Rows    int
	Columns int
	Recent  int    // columns of builds begun in 2025 or later
	Focus   string // digits of the cell that has the focus, "" = none
	Pressed int
}

const lookAtSheet = `({Hash: location.hash, Told: document.getElementById("filter-says").textContent, Says: document.getElementById("pick-says").textContent,
	Views: Array.from(new Set(Array.from(document.querySelectorAll("#sheet td img"), i => (i.alt.match(/[a-z-]+(?= view)/) || [""])[0]))).sort(),
	Rows: document.querySelectorAll("#sheet tbody tr:not([hidden])").length, Columns: document.querySelector("#sheet thead tr").cells.length - 1,
	Recent: Array.from(document.querySelectorAll("#sheet thead .col-year")).filter(e => e.textContent >= "2025").length,
	Focus: ((document.activeElement.closest("td") || document.body).dataset || {}).photo || "", Pressed: document.querySelectorAll("#sheet [aria-pressed=true]").length})`

// headsStay tells whether the heads of row and column stand at the edges of what scrolls,
// once it was scrolled, and whether the page itself is no wider than the window.
const headsStay = `(() => { const s = document.getElementById("sheet"); s.scrollIntoView(); s.scrollTo(150, 260);
	const b = s.getBoundingClientRect(), top = s.querySelector("thead th:last-child").getBoundingClientRect().top - b.top;
	const row = Array.from(s.querySelectorAll("tbody th")).find(e => e.getBoundingClientRect().bottom > b.top + 150).getBoundingClientRect();
	return s.scrollLeft > 100 && s.scrollTop > 200 && Math.abs(top) < 4 && Math.abs(row.left - b.left) < 2 && document.documentElement.scrollWidth <= innerWidth; })()`

func testSheet(t *testing.T, ctx context.Context, pages string) {
	do := func(actions ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, actions...); err != nil {
			t.Fatal(err)
		}
	}
	look := func() contacts {
		t.Helper()
		got, err := chromedp.Run(ctx, chromedp.Evaluate[contacts](lookAtSheet))
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	do(chromedp.EmulateViewport(390, 800), open(pages, "then-and-now.html"))
	if held, err := chromedp.Run(ctx, chromedp.Evaluate[bool](headsStay)); err != nil || !held {
		t.Errorf("on a narrow page the heads do not stay, %v", err)
	}

	do(chromedp.EmulateViewport(1280, 800), open(pages, "then-and-now.html"))
	all := look()
	if all.Columns < 4 || all.Recent < 2 || all.Recent == all.Columns || all.Rows < 10 || len(all.Views) < 2 || all.Told != "" {
		t.Fatalf("the whole sheet shows %+v", all)
	}
	choose := func(name, value string) {
		t.Helper()
		script := `(() => { const s = document.querySelector("#filters [name=` + name + `]"); s.value = "` + value + `"; s.dispatchEvent(new Event("change", {bubbles: true})); return s.value; })()`
		if got, err := chromedp.Run(ctx, chromedp.Evaluate[string](script)); err != nil || got != value {
			t.Fatalf("%s has no %s: %q, %v", name, value, got, err)
		}
	}
	until := func(script string) {
		t.Helper()
		if _, err := chromedp.Run(ctx, chromedp.Poll[bool](script)); err != nil {
			t.Fatalf("%s: %v", script, err)
		}
	}
	told := func() { t.Helper(); until(`document.getElementById("filter-says").textContent !== ""`) }
	choose("view", "three-quarter")
	told()
	if got := look(); len(got.Views) != 1 || got.Views[0] != "three-quarter" || got.Hash != "#view=three-quarter" || !strings.HasPrefix(got.Told, "Shown: ") {
		t.Errorf("one view shows %+v", got)
	}
	choose("criterion", "4")
	if got := look(); got.Rows != 2 || got.Hash != "#criterion=4&view=three-quarter" {
		t.Errorf("one criterion shows %+v", got)
	}
	// The address brings the same sheet back, and nothing asked for brings all.
	do(chromedp.Navigate("about:blank"), chromedp.Navigate(fileURL(filepath.Join(pages, "then-and-now.html"))+"#from=2025&light=raking"))
	told()
	if got := look(); got.Columns != all.Recent || got.Recent != all.Recent || !strings.Contains(got.Told, fmt.Sprintf(" of %d builds ", all.Recent)) {
		t.Errorf("the address brings %+v", got)
	}
	do(chromedp.Click(chromedp.CSS("#filters [type=reset]")))
	until(`location.hash === ""`)
	if got := look(); got.Columns != all.Columns || got.Rows != all.Rows || len(got.Views) != len(all.Views) {
		t.Errorf("without filters %+v, before %+v", got, all)
	}

	// Keys: into the first cell of a row, on, pick, down, pick, open.
	do(chromedp.Focus(chromedp.CSS("#row-clean td a")), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent("p"))
	first := look()
	if first.Focus == "" || first.Pressed != 1 || !strings.HasPrefix(first.Says, "Picked: ") {
		t.Errorf("after the first pick: %+v", first)
	}
	do(chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.End), chromedp.KeyEvent("p"))
	second := look()
	if second.Focus == first.Focus || second.Pressed != 2 || !strings.HasSuffix(second.Says, "Enter opens both.") {
		t.Errorf("after the second pick: %+v", second)
	}
	// Nothing holds the focus back.
	do(chromedp.KeyEvent(kb.Tab))
	if got, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`document.activeElement.tagName === "BUTTON" || document.activeElement.tagName === "A"`)); err != nil || !got {
		t.Errorf("Tab leads nowhere, %v", err)
	}
	do(chromedp.KeyEvent(kb.ArrowLeft), chromedp.KeyEvent(kb.Enter), chromedp.WaitVisible(chromedp.CSS("#compare")))
	at, err := chromedp.Run(ctx, chromedp.Location())
	if err != nil || !strings.HasSuffix(at, "compare.html#a="+first.Focus+"&b="+second.Focus) {
		t.Errorf("two cells of different rows led to %s, %v", at, err)
	}
}
