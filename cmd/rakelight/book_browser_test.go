// The pages of the bench book in a browser: every square leads to its part, and what is
// needed to go on with a build stands on one screen, on a phone on two.

package main

import (
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"rakelight/render/headless"
)

// bookBench is a journal with a build that was put aside in the middle.
func bookBench(t *testing.T) (pages string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "bench")
	write := func(name string, data []byte) {
		t.Helper()
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("journal.toml", []byte("format = 1\nname = \"Bench\"\nzone = \"UTC\"\n"))
	write("builds/lorry/build.md", []byte("---\ntitle: Field-kitchen lorry\nscale: 1/35\nkits:\n  - title: Lorry\n    runners:\n      - {letter: A, parts: 40, class: flat, not-used: \"39-40\"}\n"+
		"      - {letter: BB, parts: 4, class: small}\n  - title: Stove\n    runners: [{letter: A, parts: 12, class: curved}]\nstages: [cut, clean, dry-fit, assemble, paint]\n---\n"+
		"A lorry at dusk.\n\n## Supplies\n\n- [ ] brass wire, 0.3 mm\n- [ ] clear gel (ordered 2026-03-01; cost 4.50)\n"))
	var photo strings.Builder
	if err := jpeg.Encode(&photo, image.NewGray(image.Rect(0, 0, 1200, 900)), nil); err != nil {
		t.Fatal(err)
	}
	write("inbox/lorry/clean/2026-03-14 19.40.00.jpg", []byte(photo.String()))
	rake(t, dir, "take")
	for _, words := range []string{
		"on lorry clean", "done 1/A1-A20", "off", "runners 1/A5 missing --build lorry", "runners 1/A6 damaged", "runners 2/A3 asked",
		"sub cab 1/A1-A4", "sub stove 2/A1-A6", "hold unglued cab", "hold masked 1/A7", "hold curing 1/A8 --of filler --takes 24h",
		"prep 1/A1 pegs --angle 45° --side left,short", "prep 1/A2 gates-together --with 1/A3", "prep 1/A9,1/A10 store tub", "prep cab pull below",
		"mix lorry drab --recipe 3_green,1_brown,2_thinner --coats 2 --parts 1/A1-A4", "mix lorry soot --recipe 1_black,4_thinner",
		"addition lorry rails --where flatbed", "sanding lorry 1/A1 --surface flat --remove nub", "hands sore thumb --build lorry",
		"pause lorry --why holidays --next fit_the_axle --waiting wire", "write",
	} {
		args := strings.Fields(words)
		for i := range args {
			args[i] = strings.ReplaceAll(args[i], "_", " ")
		}
		rake(t, dir, args...)
	}
	return filepath.Join(dir, "pages")
}

func TestBookInBrowser(t *testing.T) {
	t.Parallel()
	pages := bookBench(t)
	ctx := headless.Tab(t)
	var l listener
	if err := chromedp.Do(ctx, enable); err != nil {
		t.Fatal(err)
	}
	if err := l.listen(ctx); err != nil {
		t.Fatal(err)
	}
	number := func(script string) int {
		t.Helper()
		n, err := chromedp.Run(ctx, chromedp.Evaluate[int](script))
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	look, axe := &phone{t: t, ctx: ctx}, axeScript(t)
	const bottom = `Math.round(document.querySelector(".return").getBoundingClientRect().bottom + window.scrollY)`
	for _, name := range []string{"builds/lorry/kit-1.html", "builds/lorry/kit-2.html", "builds/lorry/take-apart.html", "builds/lorry/return.html",
		"builds/lorry/bench-sheet.html", "builds/lorry/sanding-plan.html", "builds/lorry/runner-check.html", "builds/lorry/show-sheet.html", "years/2026-review.html",
		"supplies.html", "builds/lorry.html", "index.html", "pace.html"} {
		for _, size := range [][2]int64{{1440, 900}, {390, 800}, {320, 800}} {
			if err := chromedp.Do(ctx, chromedp.EmulateViewport(size[0], size[1]), open(pages, name), chromedp.WaitReady(chromedp.CSS("main"))); err != nil {
				t.Fatal(name, err)
			}
			if wide := number("document.documentElement.scrollWidth"); int64(wide) > size[0] {
				t.Errorf("%s is %d px wide on a screen of %d", name, wide, size[0])
			}
			if bad := l.take(); len(bad) > 0 {
				t.Errorf("%s: %s", name, strings.Join(bad, "; "))
			}
			if axe != "" && strings.Count(name, "/") != 1 { // a build's page has the person's own text
				look.axe(axe, fmt.Sprint(name, " at ", size[0]), false)
			}
			if screens := map[int64]int{1440: 900, 390: 1600}[size[0]]; strings.HasSuffix(name, "return.html") && screens > 0 {
				if at := number(bottom); at > screens {
					t.Errorf("%s ends at %d px on a screen of %d", name, at, size[0])
				}
			}
		}
	}
	for name, want := range map[string]int{"builds/lorry/kit-1.html": 44, "builds/lorry/kit-2.html": 12} {
		if err := chromedp.Do(ctx, open(pages, name), chromedp.WaitReady(chromedp.CSS("main"))); err != nil {
			t.Fatal(err)
		}
		there := number(`Array.from(document.querySelectorAll(".sprue a")).filter(a => document.getElementById(decodeURIComponent(a.hash.slice(1)))).length`)
		if all := number(`document.querySelectorAll(".sprue a").length`); there != want || all != want {
			t.Errorf("%s: %d squares, of which %d lead to a part, want %d", name, all, there, want)
		}
	}
	// From the return page to the place of a part on another page.
	err := chromedp.Do(ctx, open(pages, "builds/lorry/return.html"), chromedp.Click(chromedp.CSS(`.return a[href$="kit-1.html#A8"]`)),
		chromedp.WaitReady(chromedp.CSS("#A8:target")))
	if err != nil {
		t.Error(err)
	}
	if bad := l.take(); len(bad) > 0 {
		t.Error(strings.Join(bad, "; "))
	}
}
