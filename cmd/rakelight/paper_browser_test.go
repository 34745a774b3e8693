// Sheets for print in a browser: how many sheets of A4 and of Letter each takes, and that
// nothing is wider than the paper, nor than a phone's screen.

package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"rakelight/render/headless"
)

// paperBench is a journal with a build in the middle, one with a large kit that has not
// begun, one whose runners nobody listed, and one that is finished.
func paperBench(t *testing.T) (pages string) {
	t.Helper()
	pages = bookBench(t)
	dir := filepath.Dir(pages)
	for name, text := range map[string]string{
		"crane":    "title: Quayside crane\nscale: 1/72\nrunners:\n  - {letter: A, parts: 64, class: flat}\n  - {letter: B, parts: 80, class: small, not-used: \"7\"}\n  - {letter: C, parts: 90, class: curved}\n  - {letter: D, parts: 12, class: clear}\n  - {letter: E, parts: 60, class: resin}\n",
		"tug":      "title: Tug\nfinish: bare\n",
		"dinghies": "title: Three dinghies on a beach at low water\nstarted: 2025-05-01\nfinished: 2025-06-01\nshow-class: Small craft\nrunners: {A: 6}\n",
	} {
		path := filepath.Join(dir, "builds", name, "build.md")
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		text = "---\n" + text + "---\nAt the quay.\n\n- [ ] the jib first\n"
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	rake(t, dir, "write")
	return pages
}

// inch is in millimeters.
const inch = 25.4

// papers are the sizes of paper in millimeters (ISO 216; ANSI/ASME Y14.1), and how wide
// a page is on each between margins of 12 mm.
var papers = []struct {
	name          string
	width, height float64
}{{"A4", 210, 297}, {"Letter", 8.5 * inch, 11 * inch}}

// pdfPage begins a page of a file as the browser writes it.
var pdfPage = regexp.MustCompile(`/Type\s*/Page\b`)

// printed is how many sheets of a paper the page takes that is open.
func printed(t *testing.T, ctx context.Context, name string, width, height float64) int {
	t.Helper()
	data, err := chromedp.Run(ctx, func(ctx context.Context, tab *chromedp.Target) ([]byte, error) {
		r, err := cdp.Call(ctx, tab, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: width / inch, PaperHeight: height / inch})
		return r.Data, err
	})
	if err != nil {
		t.Fatal(err)
	}
	keepShot(t, name+".pdf", data)
	return len(pdfPage.FindAll(data, -1))
}

// keepShot keeps a picture or a print where RAKELIGHT_SHOTS names a folder.
func keepShot(t *testing.T, name string, data []byte) {
	t.Helper()
	if dir := os.Getenv("RAKELIGHT_SHOTS"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, strings.ReplaceAll(name, "/", "_")), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// wideOf names what stands out of a page on the right, at a width in pixels: "" = nothing.
const wideOf = `(() => {
  const wide = document.documentElement.clientWidth;
  const out = [...document.querySelectorAll("main *")].filter(e => !e.closest(".unseen, .running, .wide-table, svg") &&
    e.getClientRects().length && e.getBoundingClientRect().right > wide + 1);
  if (document.documentElement.scrollWidth > wide) return "the page is " + document.documentElement.scrollWidth + " wide, not " + wide;
  return out.slice(0, 3).map(e => e.tagName + "." + e.className + " ends at " + Math.round(e.getBoundingClientRect().right)).join(", ");
})()`

// emulate sets the medium and the width of the page in CSS pixels.
func emulate(medium string, width int64) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		if _, err := cdp.Call(ctx, tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: medium}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, tab, emulation.SetDeviceMetricsOverride,
			emulation.SetDeviceMetricsOverrideParams{Width: width, Height: 900, DeviceScaleFactor: 1})
		return err
	})
}

func TestSheetsOnPaper(t *testing.T) {
	t.Parallel()
	pages := paperBench(t)
	ctx := headless.Tab(t)
	// How many sheets each takes: both sides of one at most.
	want := map[string]int{"bench-sheet": 2, "take-apart": 1, "sanding-plan": 2, "runner-check": 2, "show-sheet": 2,
		"2025-review": 2, "2026-review": 2, "builds/lorry/runner-check.html": 1}
	var sheets []string
	for _, name := range pageFiles(t, pages) {
		data, err := os.ReadFile(filepath.Join(pages, filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		onPaper := strings.Contains(string(data), `class="page-paper"`)
		if err := chromedp.Do(ctx, chromedp.Navigate(fileURL(filepath.Join(pages, filepath.FromSlash(name))))); err != nil {
			t.Fatal(err)
		}
		// 186 mm are left of A4 and 192 of Letter at 96 pixels to the inch, of other pages 182 and 188.
		for _, look := range []struct {
			medium string
			width  int64
		}{{"print", 703}, {"print", 725}, {"screen", 390}, {"screen", 1440}} {
			if !onPaper && look.medium == "print" {
				look.width -= 15
			}
			if err := chromedp.Do(ctx, emulate(look.medium, look.width)); err != nil {
				t.Fatal(err)
			}
			out, err := chromedp.Run(ctx, chromedp.Evaluate[string](wideOf))
			if err != nil {
				t.Fatal(err)
			}
			if out != "" && (onPaper || look.medium == "print") {
				t.Errorf("%s, %s %d: %s", name, look.medium, look.width, out)
			}
		}
		if !onPaper {
			continue
		}
		sheets = append(sheets, name)
		sides, own := want[name]
		if !own {
			sides = want[strings.TrimSuffix(filepath.Base(name), ".html")]
		}
		if err := chromedp.Do(ctx, emulate("", 1440)); err != nil { // else it prints the screen
			t.Fatal(err)
		}
		for _, p := range papers {
			if got := printed(t, ctx, fmt.Sprint(name, "-", p.name), p.width, p.height); got != sides {
				t.Errorf("%s takes %d sheets of %s, want %d", name, got, p.name, sides)
			}
		}
	}
	slices.Sort(sheets)
	if len(sheets) < 15 {
		t.Errorf("only %d sheets: %q", len(sheets), sheets)
	}
}

// Paper is white and ink black, whatever the lamp of the page is set to.
func TestPaperIsWhite(t *testing.T) {
	t.Parallel()
	pages := bookBench(t)
	ctx := headless.Tab(t)
	dark := chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		_, err := cdp.Call(ctx, tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print",
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}}})
		return err
	})
	const colors = `(() => {
  if (THEME) document.documentElement.setAttribute("data-theme", THEME); else document.documentElement.removeAttribute("data-theme");
  const of = getComputedStyle(document.body), ramp = getComputedStyle(document.documentElement).getPropertyValue("--r5");
  return [of.backgroundColor, of.color, ramp.trim()].join(" ");
})()`
	for _, name := range []string{"builds/lorry/bench-sheet.html", "index.html"} {
		if err := chromedp.Do(ctx, chromedp.Navigate(fileURL(filepath.Join(pages, filepath.FromSlash(name)))), dark); err != nil {
			t.Fatal(err)
		}
		for _, theme := range []string{"", "light", "dark"} {
			got, err := chromedp.Run(ctx, chromedp.Evaluate[string](strings.ReplaceAll(colors, "THEME", fmt.Sprintf("%q", theme))))
			if err != nil || got != "rgb(255, 255, 255) rgb(0, 0, 0) #000" {
				t.Errorf("%s, lamp %s, a dark system: %s, %v", name, theme, got, err)
			}
		}
	}
}
