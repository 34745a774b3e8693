// Tests of the demo's pages in a real browser, opened from disk: no errors, no
// request to anywhere, no sideways scrolling, the divider by keyboard and by
// mouse, and everything readable with scripts off.

package main

import (
	"context"
	"fmt"
	"io/fs"
	"net/url"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rakelight/render/headless"
)

// demoPages is the pages folder of the demo, made as a person would. It is made once for
// all tests, which change nothing there.
func demoPages(t *testing.T) string {
	t.Helper()
	dir, err := theDemo()
	if err != nil {
		t.Fatal(err)
	}
	return filepath.Join(dir, "pages")
}

var theDemo = sync.OnceValues(func() (dir string, err error) {
	dir = filepath.Join(shelf, "demo")
	var out, errs strings.Builder
	if code := run(context.Background(), []string{"demo", dir, "--once"}, &out, &errs, time.Now); code != exitDone {
		return "", fmt.Errorf("demo ended with %d: %s", code, errs.String())
	}
	if !strings.Contains(out.String(), "The pages are written") || errs.Len() > 0 {
		return "", fmt.Errorf("demo said %q and, off a terminal, %q", out.String(), errs.String())
	}
	return dir, nil
})

// listener collects what a page does that it should not.
type listener struct {
	mu   sync.Mutex
	seen []string
}

func (l *listener) listen(ctx context.Context) error {
	note := func(format string, args ...any) {
		l.mu.Lock()
		defer l.mu.Unlock()
		l.seen = append(l.seen, fmt.Sprintf(format, args...))
	}
	return chromedp.Listen(ctx, func(event any) {
		switch e := event.(type) {
		case *runtime.EventExceptionThrown:
			note("exception: %s", e.ExceptionDetails.Text)
		case *runtime.EventConsoleAPICalled:
			if e.Type == "error" || e.Type == "warning" {
				note("console: %s", e.Type)
			}
		case *log.EventEntryAdded:
			if e.Entry.Level == log.EntryLevelError || e.Entry.Level == log.EntryLevelWarning {
				note("log: %s %s", e.Entry.Text, e.Entry.URL)
			}
		case *network.EventRequestWillBeSent:
			if !strings.HasPrefix(e.Request.URL, "file://") && !strings.HasPrefix(e.Request.URL, "data:") {
				note("request off the page: %s", e.Request.URL)
			}
		case *network.EventLoadingFailed:
			if !e.Canceled {
				note("not loaded: %s", e.ErrorText)
			}
		}
	})
}

// take returns what was noted and forgets it.
func (l *listener) take() []string {
	l.mu.Lock()
	defer l.mu.Unlock()
	seen := l.seen
	l.seen = nil
	return seen
}

func fileURL(path string) string {
	path = filepath.ToSlash(path)
	if !strings.HasPrefix(path, "/") {
		path = "/" + path // a drive letter
	}
	return (&url.URL{Scheme: "file", Path: path}).String()
}

// enable turns on the reports a listener hears.
var enable = chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
	if _, err := cdp.Call(ctx, t, network.Enable, network.EnableParams{}); err != nil {
		return err
	}
	if _, err := cdp.Call(ctx, t, log.Enable, cdp.Empty{}); err != nil {
		return err
	}
	_, err := cdp.Call(ctx, t, runtime.Enable, cdp.Empty{})
	return err
})

// pageFiles are the names of the pages, with slashes.
func pageFiles(t *testing.T, pages string) []string {
	t.Helper()
	var names []string
	err := filepath.WalkDir(pages, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".html") {
			return err
		}
		rel, err := filepath.Rel(pages, path)
		names = append(names, filepath.ToSlash(rel))
		return err
	})
	if err != nil || len(names) < 10 {
		t.Fatalf("%d pages, %v", len(names), err)
	}
	return names
}

// facts are what a page says of itself once all its pictures are there.
type facts struct {
	Title         string
	Scroll, Inner int
	Broken        []string
}

// measure loads the pictures below the fold too: they wait to be scrolled to.
const measure = `Promise.all(Array.from(document.images, i => { i.loading = "eager"; return i.decode().then(() => "", () => i.src) })).then(all => ({
	Title: document.title, Scroll: document.documentElement.scrollWidth, Inner: window.innerWidth, Broken: all.filter(s => s)}))`

func TestPagesInBrowser(t *testing.T) {
	t.Parallel()
	pages := demoPages(t)
	ctx := headless.Tab(t)
	var l listener
	if err := chromedp.Do(ctx, enable); err != nil {
		t.Fatal(err)
	}
	if err := l.listen(ctx); err != nil {
		t.Fatal(err)
	}
	looked := map[string]int{}
	var answered int
	for _, name := range pageFiles(t, pages) {
		switch folder, _, _ := strings.Cut(name, "/"); folder {
		case "compare", "days", "weeks":
			if looked[folder]++; looked[folder] > 4 {
				continue // they are of one make; the rest differ in pictures and words
			}
		}
		for _, width := range []int64{1280, 320} {
			err := chromedp.Do(ctx, chromedp.EmulateViewport(width, 800), open(pages, name), chromedp.WaitReady(chromedp.CSS("main")))
			if err != nil {
				t.Fatalf("%s at %d: %v", name, width, err)
			}
			got, err := chromedp.Run(ctx, chromedp.Evaluate[facts](measure, chromedp.EvalAwaitPromise))
			if err != nil {
				t.Fatalf("%s at %d: %v", name, width, err)
			}
			if got.Title == "" || got.Scroll > got.Inner || len(got.Broken) > 0 {
				t.Errorf("%s at %d px: title %q, %d px wide in a window of %d, pictures that do not load: %v", name, width, got.Title, got.Scroll, got.Inner, got.Broken)
			}
			if bad := l.take(); len(bad) > 0 {
				t.Errorf("%s at %d px: %s", name, width, strings.Join(bad, "; "))
			}
		}
		answered += testFirstScreen(t, ctx, name)
	}
	if answered < 15 {
		t.Errorf("%d pages were asked where their answer stands", answered)
	}
	t.Run("divider", func(t *testing.T) { testDivider(t, ctx, pages) })
	t.Run("zoom and flick", func(t *testing.T) { testZoom(t, ctx, pages) })
	t.Run("flick-through", func(t *testing.T) { testFlickThrough(t, ctx, pages) })
	t.Run("then and now", func(t *testing.T) { testSheet(t, ctx, pages) })
	t.Run("then and now leads to a comparison", func(t *testing.T) { testPick(t, ctx, pages) })
	t.Run("any two photos", func(t *testing.T) { testAnyTwo(t, ctx, pages, &l) })
	t.Run("search", func(t *testing.T) { testSearch(t, ctx, pages) })
	t.Run("scripts off", func(t *testing.T) { testScriptsOff(t, ctx, pages) })
	if bad := l.take(); len(bad) > 0 {
		t.Errorf("after the clicks: %s", strings.Join(bad, "; "))
	}
}

// answersOf are the kinds of page that answer something, and the element that holds the
// answer, as markup tells it.
var answersOf = []struct{ name, holds string }{
	{"pace.html", ".answer"}, {"skill.html", ".answer"}, {"learning.html", ".answer"}, {"tools.html", ".answer"},
	{"eye.html", ".answer"}, {"step-", ".answer"}, {"criterion-", ".answer"}, {"forecast.html", ".answer"},
	{"mistakes.html", ".answer"}, {"trials.html", ".answer"}, {"supplies.html", ".answer"},
	{"then-and-now.html", "#sheet thead"}, {"compare/", "#compare"}, {"kit-", ".answer"}, {"take-apart", "h1"},
	{"return.html", ".answer"}, {"builds/", ".answer"},
}

// testFirstScreen looks where the answer of an open page stands at the two sizes it is
// promised at, and returns 0 where the page has none to give. The page is not loaded anew.
func testFirstScreen(t *testing.T, ctx context.Context, name string) int {
	t.Helper()
	for _, one := range answersOf {
		if !strings.Contains(name, one.name) || one.name == "builds/" && strings.Count(name, "/") > 1 {
			continue
		}
		for _, size := range [][2]int64{{1440, 900}, {390, 800}} {
			at := fmt.Sprintf(`(() => { scrollTo(0, 0); const a = document.querySelector("main %s"); return a ? Math.round(a.getBoundingClientRect().bottom) : -1 })()`, one.holds)
			err := chromedp.Do(ctx, chromedp.EmulateViewport(size[0], size[1]))
			bottom, rerr := chromedp.Run(ctx, chromedp.Evaluate[int64](at))
			if err != nil || rerr != nil || bottom <= 0 || bottom > size[1] {
				t.Errorf("%s at %d × %d: its answer ends at %d px, %v, %v", name, size[0], size[1], bottom, err, rerr)
			}
		}
		return 1
	}
	return 0
}

// open opens a page from disk.
func open(pages, name string) chromedp.Action[chromedp.Void] {
	return chromedp.Navigate(fileURL(filepath.Join(pages, filepath.FromSlash(name))))
}

// comparison is a pair of builds that the demo's pictures let compare.
const comparison = "compare/clean-lorry-pilot-boat.html"

// The divider moves by arrow keys, Home and End, by its buttons, and by mouse.
func testDivider(t *testing.T, ctx context.Context, pages string) {
	type divider struct{ Value, Cut string }
	at := func(want, after string) {
		t.Helper()
		got, err := chromedp.Run(ctx, chromedp.Evaluate[divider](`({Value: document.getElementById("cut").value, Cut: getComputedStyle(document.querySelector(".frame")).getPropertyValue("--cut").trim()})`))
		if err != nil || got != (divider{want, want + "%"}) {
			t.Errorf("after %s the divider is at %+v, %v; want %s", after, got, err, want)
		}
	}
	do := func(actions ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, actions...); err != nil {
			t.Fatal(err)
		}
	}
	do(chromedp.EmulateViewport(1280, 800), open(pages, comparison), chromedp.WaitVisible(chromedp.CSS("#cut")), chromedp.Focus(chromedp.CSS("#cut")))
	at("50", "opening")
	do(chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight))
	at("52", "two arrow keys")
	do(chromedp.KeyEvent(kb.ArrowLeft))
	at("51", "an arrow key back")
	do(chromedp.KeyEvent(kb.Home))
	at("0", "Home")
	do(chromedp.KeyEvent(kb.End))
	at("100", "End")
	do(chromedp.Click(chromedp.CSS(`[data-cut="50"]`)))
	at("50", "the middle button")
	do(chromedp.ScrollIntoView(chromedp.CSS(".frame")))
	type box struct{ X, Y, Width, Height float64 }
	frame, err := chromedp.Run(ctx, chromedp.Evaluate[box](`(() => { const b = document.querySelector(".frame").getBoundingClientRect(); return {X: b.x, Y: b.y, Width: b.width, Height: b.height} })()`))
	if err != nil || frame.Width < 200 {
		t.Fatalf("the frame is %+v, %v", frame, err)
	}
	do(chromedp.MouseClickXY(frame.X+frame.Width/4, frame.Y+frame.Height/2))
	at("25", "a click at a quarter")
}

// Two picks in a row of then and now open their comparison.
func testPick(t *testing.T, ctx context.Context, pages string) {
	err := chromedp.Do(ctx, chromedp.EmulateViewport(1280, 800), open(pages, "then-and-now.html"),
		chromedp.Click(chromedp.CSS(`#row-clean [data-build="lorry"] .pick`)),
		chromedp.Click(chromedp.CSS(`#row-clean [data-build="pilot-boat"] .pick`)),
		chromedp.WaitVisible(chromedp.CSS("#cut")))
	if err != nil {
		t.Fatal(err)
	}
	if at, err := chromedp.Run(ctx, chromedp.Location()); err != nil || !strings.HasSuffix(at, comparison) {
		t.Errorf("two picks led to %s, %v", at, err)
	}
}

// With scripts off both pictures of a comparison stand there, and the pages
// can be read.
func testScriptsOff(t *testing.T, ctx context.Context, pages string) {
	scripts := func(off bool) chromedp.Action[chromedp.Void] {
		return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: off})
			return err
		})
	}
	if err := chromedp.Do(ctx, scripts(true)); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = chromedp.Do(ctx, scripts(false)) }()
	err := chromedp.Do(ctx, open(pages, "compare.html"), chromedp.WaitVisible(chromedp.CSS("main noscript")))
	if text, terr := chromedp.Run(ctx, chromedp.Text(chromedp.CSS("main"))); err != nil || terr != nil || !strings.Contains(text, "scripts are off") {
		t.Errorf("without scripts the page for any two photos says %q, %v, %v", text, err, terr)
	}
	for _, name := range []string{"index.html", "then-and-now.html", "builds/pilot-boat.html", comparison} {
		err := chromedp.Do(ctx, open(pages, name), chromedp.WaitVisible(chromedp.CSS("main img")))
		if err == nil && name == comparison {
			err = chromedp.Do(ctx, chromedp.WaitVisible(chromedp.CSS("#compare figure:nth-of-type(1) img")), chromedp.WaitVisible(chromedp.CSS("#compare figure:nth-of-type(2) img")))
		}
		if err != nil {
			t.Errorf("%s without scripts: %v", name, err)
			continue
		}
		if text, err := chromedp.Run(ctx, chromedp.Text(chromedp.CSS("main"))); err != nil || len(text) < 50 {
			t.Errorf("%s without scripts: %q, %v", name, text, err)
		}
	}
}
