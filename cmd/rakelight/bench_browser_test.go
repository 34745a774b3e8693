// Tests in a real browser, at the size of a phone and by touch, of the page beside
// the mat: an evening from begin to pause, and the network gone in the middle.
// RAKELIGHT_SHOTS=DIR keeps what it looked like.

package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"rakelight/journal"
	"rakelight/journal/plan"
	"rakelight/render/headless"
	"rakelight/render/preview"
)

// phone is a page on a phone beside the mat, and how often it was tapped.
type phone struct {
	t    *testing.T
	ctx  context.Context
	taps int
}

// benchServed serves the page of a journal with two open builds, and returns its
// folder, its address, and what serves it again at that address once it is closed.
func benchServed(t *testing.T) (dir, at string, stop func(), again func()) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "bench")
	do := func(args ...string) {
		t.Helper()
		var out, errs strings.Builder
		if code := run(t.Context(), append([]string{"--journal", dir}, args...), &out, &errs, time.Now); code != exitDone {
			t.Fatalf("%v: %s", args, errs.String())
		}
	}
	do("new", dir, "--zone", "UTC")
	do("build", "pilot-boat", "--title", "Pilot boat", "--scale", "1/48", "--runner", "A:24:flat", "--runner", "B:9:clear",
		"--stages", "cut,clean,dry-fit,paint")
	do("build", "lorry", "--title", "Field-kitchen lorry", "--runner", "A:12", "--stages", "cut,clean")
	a := &app{now: time.Now}
	addr := "127.0.0.1:0"
	var server *preview.Server
	serve := func() {
		t.Helper()
		var err error
		if server, err = preview.Serve(t.Context(), addr, filepath.Join(dir, "pages"), nil, a.mat(dir)); err != nil {
			t.Fatal(err)
		}
		addr = strings.TrimSuffix(strings.TrimPrefix(server.URL, "http://"), "/")
	}
	serve()
	t.Cleanup(func() { _ = server.Close() })
	return dir, server.URL, func() { _ = server.Close() }, serve
}

// newPhone opens an address on a phone of 360 by 740 that is held at night.
func newPhone(t *testing.T, at string) *phone {
	t.Helper()
	p := &phone{t: t, ctx: headless.Tab(t)}
	p.do(chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile, chromedp.EmulateTouch), p.light("dark"),
		chromedp.Navigate(at))
	return p
}

func (p *phone) light(scheme string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme},
				{Name: "prefers-reduced-motion", Value: "reduce"}}}) // no color is looked at half-way
		return err
	})
}

func (p *phone) do(actions ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	if err := chromedp.Do(p.ctx, actions...); err != nil {
		p.t.Fatal(err)
	}
}

// tap taps what bears the words, with a finger, once it is there: the page may be on
// its way yet.
func (p *phone) tap(words string) {
	p.t.Helper()
	p.taps++
	find := fmt.Sprintf(`(words => { const of = e => (e.getAttribute("aria-label") || e.textContent).replace(/\s+/g, " ").trim();
		const all = Array.from(document.querySelectorAll("button, a")).filter(e => e.offsetParent);
		const e = all.find(e => of(e) === words) || all.find(e => of(e).startsWith(words));
		if (!e || document.readyState !== "complete") { return [-1, -1, all.map(of).join(" | ")]; }
		e.scrollIntoView({block: "center"}); const r = e.getBoundingClientRect();
		return [r.x + r.width / 2, r.y + r.height / 2, of(e)]; })(%q)`, words)
	var there any
	for range 1200 { // half a minute, as see waits
		at, err := chromedp.Run(p.ctx, chromedp.Evaluate[[]any](find))
		if err == nil && len(at) == 3 {
			x, _ := at[0].(float64)
			y, _ := at[1].(float64)
			if there = at[2]; x >= 0 {
				p.do(chromedp.TapXY(x, y))
				return
			}
		}
		time.Sleep(25 * time.Millisecond)
	}
	p.t.Fatalf("%q is not there; there are: %v", words, there)
}

// see waits until the page says the words.
func (p *phone) see(words string) {
	p.t.Helper()
	for range 1200 { // half a minute: other tests run beside it
		text, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](`document.readyState === "complete" ? document.body.innerText : ""`))
		if err == nil && strings.Contains(text, words) {
			return
		}
		time.Sleep(25 * time.Millisecond)
	}
	text, _ := chromedp.Run(p.ctx, chromedp.Evaluate[string](`document.body.innerText`))
	p.t.Fatalf("the page never said %q; it says %q", words, text)
}

// write writes into a field.
func (p *phone) write(field, words string) {
	p.t.Helper()
	p.do(chromedp.SendKeys(chromedp.CSS(field), words))
}

// shot has the page looked over in both lights, and keeps what it looks like.
func (p *phone) shot(name string) {
	p.t.Helper()
	dir, axe := os.Getenv("RAKELIGHT_SHOTS"), axeScript(p.t)
	for _, scheme := range []string{"light", "dark"} {
		p.do(p.light(scheme))
		// A build's page holds a person's own text, with its check lists and headings.
		if axe != "" && !strings.HasSuffix(name, "-diary") {
			p.axe(axe, name+" "+scheme, scheme == "dark")
		}
		if dir == "" {
			continue
		}
		data, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, name+"-"+scheme+".png"), data, 0o644)
		}
		if err != nil {
			p.t.Fatal(err)
		}
	}
}

// left is what an evening left: the kinds of its records in their order, and the state.
func left(t *testing.T, dir string) (kinds []string, s *journal.State) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "records", "*", "*.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(string(data)) {
			_, kind, _ := strings.Cut(line, `"kind":"`)
			kind, _, _ = strings.Cut(kind, `"`)
			kinds = append(kinds, kind)
		}
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	return kinds, j.State
}

func TestEveningBesideTheMat(t *testing.T) {
	dir, at, stop, again := benchServed(t)
	p := newPhone(t, at+"bench/")
	p.see("Nothing runs")
	p.shot("1-nothing")
	begun := p.taps
	p.tap("Other stage of Pilot boat")
	p.see("Cut")
	p.shot("2-begin")
	p.tap("Clean")
	p.see("0 min")
	if n := p.taps - begun; n > 2 {
		t.Errorf("to begin a stage that is not offered took %d taps", n)
	}
	p.shot("3-runs")

	counted := p.taps
	for i := range 10 {
		p.tap(fmt.Sprintf("A%d, to do", i+1))
	}
	p.see("· 10 done")
	if n := p.taps - counted; n > 11 {
		t.Errorf("ten parts took %d taps", n)
	}
	p.shot("4-ten")
	p.tap("Undo")
	p.see("· 9 done")

	// The network is gone; what is said waits, and goes out in its order, once.
	stop()
	p.tap("A11, to do")
	p.tap("A12, to do")
	p.see("Waiting to be sent: 2 entries")
	p.shot("5-waiting")
	again()
	p.see("· 11 done")

	p.tap("Words")
	p.see("A note")
	p.write("#text", "peg of A12 cut on the left")
	p.shot("6-words")
	p.tap("Keep the note")
	p.see("note kept")
	p.write("#kind", "gouge")
	p.tap("Note the mistake")
	p.see("gouge noted")
	p.tap("Mat")
	p.see("Break")
	p.tap("Break")
	p.see("break since")
	p.tap("Go on")
	p.see("the break ended")
	p.tap("End")
	p.see("Nothing runs")
	p.tap("More")
	p.see("Words of the day")
	p.tap("Put it aside")
	p.see("Why do you stop?")
	p.write("#why", "the show")
	p.write("#next", "clean runner B")
	p.write("#awaited", "filler")
	p.tap("Put it aside")
	p.see("Take up Pilot boat")
	p.shot("7-aside")

	want := []string{`begin {"build":"pilot-boat","stage":"clean","kind":"clean"}`}
	done := func(part int) {
		class := `"class":"flat",` // the first part tells it of the session
		if part == 1 {
			class = ""
		}
		want = append(want, fmt.Sprintf(`done {"session":"#1","build":"pilot-boat","stage":"clean",%s"parts":["A%d"]}`,
			class, part))
	}
	for part := range 10 {
		done(part + 1)
	}
	want = append(want, `retract {"record":"#11"}`)
	done(11)
	done(12)
	want = append(want, `note {"build":"pilot-boat","session":"#1","stage":"clean","text":"peg of A12 cut on the left"}`,
		`mistake {"build":"pilot-boat","stage":"clean","kind":"gouge"}`, `break {"session":"#1"}`, `break {"session":"#1"}`,
		`end {"session":"#1"}`, `pause {"build":"pilot-boat","why":"the show","next":"clean runner B","waiting":"filler"}`)
	sameRecords(t, records(t, dir), want)
	_, s := left(t, dir)
	one := s.Sessions[0]
	if got := plan.Ranges(one.Parts); got != "A1-A9,A11,A12" || one.Open || len(one.Breaks) != 1 {
		t.Errorf("the session has %s, %+v", got, one)
	}
	if pause := s.Paused("pilot-boat"); pause == nil || pause.Why != "the show" || pause.Next != "clean runner B" ||
		pause.Waiting != "filler" {
		t.Errorf("the pause is %+v", pause)
	}
}
