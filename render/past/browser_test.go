// Tests in a real browser: six builds named, staged and marked in few actions, and each
// saying by keys alone and by touch alone, with its undo.

package past

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rakelight/journal/disk/scratch"
	"rakelight/render/guard"
	"rakelight/render/headless"
)

// hand is a person at the pages, and how much was done: a tap or click, a drag, a key
// or a text that is typed is one action each.
type hand struct {
	t       *testing.T
	ctx     context.Context
	at      string // address of the server, without a slash
	dir     string
	actions int
	touch   bool
}

func TestMain(m *testing.M) { os.Exit(scratch.Run(headless.Tests{M: m})) }

// newHand opens the pages of a drawn past.
func newHand(t *testing.T, evenings, each int) (*hand, []truth) {
	t.Helper()
	ctx := headless.Tab(t)
	dir, _, all := looked(t, evenings, each)
	server, err := guard.Serve(t.Context(), guard.Any, Policy, "no-store", newPages(t, dir).Handler())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = server.Close() })
	h := &hand{t: t, ctx: ctx, at: strings.TrimSuffix(server.URL, "/"), dir: dir}
	h.do(chromedp.EmulateViewport(1440, 900), still())
	return h, all
}

// still is a page without motion, so that nothing is looked at half-way.
func still() chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}})
		return err
	})
}

func (h *hand) do(actions ...chromedp.Action[chromedp.Void]) {
	h.t.Helper()
	if err := chromedp.Do(h.ctx, actions...); err != nil {
		h.t.Fatal(err)
	}
}

func (h *hand) open(address string) {
	h.t.Helper()
	h.do(chromedp.Navigate(h.at + address))
	h.rest()
}

// rest waits until the page is there, has done what it put off for a moment, and all
// that was said has been answered.
func (h *hand) rest() {
	h.t.Helper()
	h.until(`document.readyState === "complete" && (!document.querySelector("script[src$='contact.js']") || document.documentElement.classList.contains("scripts"))`)
	h.until(`(window.later === undefined && (window.later = 0, setTimeout(() => setTimeout(() => { window.later = 1; }, 0), 0)), window.later === 1) &&
		!document.body.hasAttribute("aria-busy") && (delete window.later, true)`)
}

// until waits until an expression is true, however long that takes within the time of
// the test: other tests run beside it.
func (h *hand) until(expression string) {
	h.t.Helper()
	for h.ctx.Err() == nil {
		// Between two pages there is none that could answer.
		if is, err := chromedp.Run(h.ctx, chromedp.Evaluate[bool](expression)); err == nil && is {
			return
		}
		select {
		case <-h.ctx.Done():
		case <-time.After(5 * time.Millisecond):
		}
	}
	h.t.Fatalf("never true: %s", expression)
}

// leaves does what leads to another page, and waits until that is there.
func (h *hand) leaves(do func()) {
	h.t.Helper()
	js[bool](h, `window.stays = true`)
	do()
	h.until(`window.stays === undefined`)
	h.rest()
}

// place is the middle of what a selector finds, in the middle of the screen.
func (h *hand) place(css string) (x, y float64) {
	h.t.Helper()
	at, err := chromedp.Run(h.ctx, chromedp.Evaluate[[]float64](fmt.Sprintf(`(css => { const e = document.querySelector(css);
		if (!e || !e.getClientRects().length) { return []; }
		e.scrollIntoView({block: "center", behavior: "instant"});
		const tools = document.getElementById("tools"), low = tools && getComputedStyle(tools).position === "fixed" && tools.getBoundingClientRect().top;
		if (low && e.getBoundingClientRect().bottom > low && !tools.contains(e)) { scrollBy(0, 220); }
		const r = e.getBoundingClientRect();
		return [r.x + r.width / 2, r.y + r.height / 2]; })(%q)`, css)))
	if err != nil || len(at) != 2 {
		h.t.Fatalf("%s is not there: %v", css, err)
	}
	return at[0], at[1]
}

// tap taps or clicks what a selector finds.
func (h *hand) tap(css string) {
	h.t.Helper()
	h.actions++
	x, y := h.place(css)
	if over := js[string](h, fmt.Sprintf(`((x, y, css) => { const e = document.elementFromPoint(x, y), of = document.querySelector(css);
		return of.contains(e) || e.contains(of) && e.tagName === "LABEL" ? "" : e.outerHTML.slice(0, 100); })(%v, %v, %q)`, x, y, css)); over != "" {
		h.t.Fatalf("%s lies under %s", css, over)
	}
	tap := func() {
		js[bool](h, `window.tapped = false; addEventListener("click", () => { window.tapped = true; }, {capture: true, once: true}); true`)
		if h.touch {
			h.do(chromedp.TapXY(x, y))
		} else {
			h.do(chromedp.MouseClickXY(x, y))
		}
		h.until(`window.tapped !== false`) // a touch becomes a click a little later
		h.rest()
	}
	if js[bool](h, fmt.Sprintf(`!!document.querySelector(%q).closest("a[href]")`, css)) {
		h.leaves(tap)
		return
	}
	tap()
}

// key strikes a key; all that is said by it has been answered then.
func (h *hand) key(key string, with ...chromedp.Modifier) {
	h.t.Helper()
	h.actions++
	h.do(chromedp.KeyEvent(key, chromedp.KeyModifiers(with...)))
	h.rest()
}

// write types a text into what has the focus.
func (h *hand) write(text string) {
	h.t.Helper()
	h.actions++
	h.do(chromedp.KeyEvent(text))
}

// js is what an expression is.
func js[T any](h *hand, expression string) T {
	h.t.Helper()
	value, err := chromedp.Run(h.ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		h.t.Fatalf("%s: %v", expression, err)
	}
	return value
}

// look is the journal with its pictures as it is now.
func (h *hand) look() *look {
	h.t.Helper()
	l, err := lookAt(h.dir)
	if err != nil {
		h.t.Fatal(err)
	}
	return l
}

// mostActions is how many actions a build may take.
const mostActions = 12

// Each of six builds is named, given its four stages, and marked before, after and
// finished: two by mouse and keys, two by keys alone, two by touch alone on a narrow
// screen. What is counted: clicks, taps, keys and texts; scrolling is not.
func TestABuildInTwelveActions(t *testing.T) {
	h, all := newHand(t, 8, 3)
	l := h.look()
	id := map[string]string{} // file → id
	for _, p := range l.pictures {
		for _, path := range p.Paths() {
			id[path[strings.LastIndexAny(path, `/\`)+1:]] = p.id()
		}
	}
	h.open(Root)
	for b, build := range models {
		keysAlone := b == 2 || b == 3
		switch b {
		case 2:
			h.open(Root)
		case 4:
			h.touch = true
			h.do(chromedp.EmulateViewport(390, 800, chromedp.EmulateMobile, chromedp.EmulateTouch))
			h.open(l.bands()[3].address())
		}
		h.actions = 0
		switch {
		case b == 0:
			h.tap(".groups .open")
		case h.touch:
			h.tap("#next")
			h.tap("#title")
		default:
			h.leaves(func() { h.key("n") })
		}
		h.write(build)
		h.key(kb.Enter)
		stage := ""
		for _, one := range all {
			if one.build != build || one.stage == stage {
				continue
			}
			switch {
			case stage == "": // the first stage goes to all, each further one from a picture on
			case keysAlone:
				h.key(js[string](h, fmt.Sprintf(`document.getElementById("p-%s").closest(".evening").querySelector(".whole").dataset.keys`,
					id[one.file])), chromedp.ModifierShift)
			default:
				h.tap("#p-" + id[one.file] + " input")
			}
			stage = one.stage
			button := fmt.Sprintf(`[value="stage:%s"]`, stage)
			if h.touch {
				h.tap(button)
			} else {
				h.key(js[string](h, fmt.Sprintf(`document.querySelector('%s').dataset.keys.slice(-1)`, button)))
			}
		}
		if keysAlone {
			h.key("e")
		} else {
			h.tap(`[value="ends:finished"]`)
		}
		t.Logf("%s: %d actions", build, h.actions)
		if h.actions > mostActions {
			t.Errorf("%s took %d actions", build, h.actions)
		}
	}
	h.isTrue(all)
}

// isTrue compares what was said with the truth.
func (h *hand) isTrue(all []truth) {
	h.t.Helper()
	l := h.look()
	by := map[string]*picture{}
	for _, p := range l.pictures {
		for _, path := range p.Paths() {
			by[path[strings.LastIndexAny(path, `/\`)+1:]] = p
		}
	}
	for i, one := range all {
		p := by[one.file]
		g := l.of[p]
		if g.build == nil || g.build.Title != one.build || p.tags.Stage != one.stage {
			h.t.Fatalf("%s of %s, %s is said to be of %+v", one.file, one.build, one.stage, p.tags)
		}
		begins := i == 0 || all[i-1].build+all[i-1].stage != one.build+one.stage
		ends := i+1 == len(all) || all[i+1].build+all[i+1].stage != one.build+one.stage
		last := i+1 == len(all) || all[i+1].build != one.build
		want := ""
		switch {
		case last:
			want = "finished"
		case begins:
			want = "before"
		case ends:
			want = "after"
		}
		if p.tags.Role != want {
			h.t.Errorf("%s is marked %q, not %q", one.file, p.tags.Role, want)
		}
	}
}

// undone holds that something said changed the state, and that its undo gives the old
// one back.
func (h *hand) undone(what string, say, undo func()) {
	h.t.Helper()
	before := stateOf(h.t, h.dir)
	say()
	h.rest()
	if stateOf(h.t, h.dir) == before {
		h.t.Fatalf("%s changed nothing; the page says %q %q", what, js[string](h, `document.getElementById("refused").textContent`),
			js[string](h, `document.getElementById("told").textContent`))
	}
	undo()
	h.rest()
	if now := stateOf(h.t, h.dir); now != before {
		h.t.Fatalf("%s, undone, left\n%s\nnot\n%s", what, now, before)
	}
	say()
	h.rest()
}

func TestByKeysAlone(t *testing.T) {
	h, _ := newHand(t, 4, 4)
	groups := h.look().bands()
	h.open(groups[0].address())
	undo := func() { h.key("z", chromedp.ModifierCtrl) }
	h.undone("a name", func() {
		if js[string](h, `document.activeElement.id`) != "title" {
			h.do(chromedp.Focus(chromedp.CSS("#title")))
		}
		h.write("Pilot boat")
		h.key(kb.Enter)
	}, undo)
	h.undone("a stage of all", func() { h.key("4") }, undo)
	count := func(want int) {
		t.Helper()
		if n := js[int](h, `document.querySelectorAll(".c :checked").length`); n != want {
			t.Errorf("%d pictures are chosen, not %d", n, want)
		}
	}
	h.key(kb.ArrowRight)
	h.key(kb.ArrowRight)
	h.key(kb.ArrowRight, chromedp.ModifierShift)
	h.key(kb.ArrowRight, chromedp.ModifierShift)
	count(3)
	h.undone("a stage of a range", func() { h.key("5") }, undo)
	h.key(kb.Home)
	h.undone("before", func() { h.key("b") }, undo)
	h.key(kb.PageDown)
	h.key(kb.PageDown, chromedp.ModifierShift)
	count(4)
	h.undone("an evening left out", func() { h.key("x") }, undo)
	h.key(kb.End)
	h.undone("finished", func() { h.key("f") }, undo)
	h.undone("after", func() { h.key("a") }, undo)
	h.undone("a date", func() {
		h.key("d")
		h.write("spring 1998")
		h.key(kb.Enter)
	}, undo)
	h.key(kb.Escape)
	count(0)
	h.do(chromedp.Reload())
	h.rest()
	h.key(kb.End)
	before := stateOf(t, h.dir)
	h.undone("another build from here on", func() {
		h.key(kb.End)
		h.key("o")
		h.write("Other boat")
		h.key(kb.Enter)
	}, undo)
	h.do(chromedp.Reload())
	h.rest()
	undo()
	if now := stateOf(t, h.dir); now != before {
		t.Error("after a reload what was said last is not undone")
	}
}

// A capital letter goes to the next evening that bears it, unless it is typed into a
// field or keys are off; whatever is said, the focus stays, and is seen.
func TestCapitalsGoToEvenings(t *testing.T) {
	h, _ := newHand(t, 28, 1)
	g := h.look().bands()[0]
	h.open(g.address())
	focused := func(what, want string) {
		t.Helper()
		if on := js[string](h, `(e => e.matches(":focus-visible") && (e.value || e.id))(document.activeElement) || "nothing that is seen"`); on != want {
			t.Errorf("%s: the focus is on %s, not on %s", what, on, want)
		}
	}
	at := func(i int) string { return g.pictures[i].id() }
	h.do(chromedp.Focus(chromedp.CSS("#title")))
	h.write("BC")
	h.key(kb.Enter)
	if title := h.look().named(at(0)).title(); title != "BC" {
		t.Errorf("capitals in a field make %q", title)
	}
	focused("named", at(0))
	for _, want := range []int{2, 2, 27, 1, 27, 1} { // there are 28: A and B come twice
		letter := string(rune('A' + want%26))
		h.key(letter, chromedp.ModifierShift)
		focused(letter, at(want))
		h.chosen(1)
	}
	h.key("4")
	focused("a stage", at(1))
	h.key("Z", chromedp.ModifierShift)
	h.key("5")
	stages := map[string]int{}
	for _, p := range h.look().named(at(0)).pictures {
		stages[p.tags.Stage]++
	}
	if len(stages) != 3 || stages[""] != 1 {
		t.Errorf("from evenings on, stages are of %v", stages)
	}
	h.do(chromedp.Focus(chromedp.CSS("#said .undo button")))
	h.key(kb.Enter)
	if !js[bool](h, `!!document.activeElement.closest("#said .undo")`) {
		t.Error("the list of what was said last has lost the focus with its Undo")
	}
	keys := func() string {
		return js[string](h, `document.querySelector(".whole").getAttribute("aria-keyshortcuts") + " " + document.querySelector('[value="role:before"]').getAttribute("aria-keyshortcuts")`)
	}
	if told := keys(); told != "Shift+A b" {
		t.Errorf("keys are told as %s", told)
	}
	h.tap(".keys summary")
	h.tap("#keys")
	before := stateOf(t, h.dir)
	h.key("C", chromedp.ModifierShift)
	h.key("b")
	if told := keys(); told != "null null" || stateOf(t, h.dir) != before || js[string](h, `document.activeElement.id`) != "keys" {
		t.Errorf("off, keys are told as %s and do something", told)
	}
}

func TestByTouchAlone(t *testing.T) {
	h, _ := newHand(t, 4, 4)
	h.touch = true
	h.do(chromedp.EmulateViewport(390, 800, chromedp.EmulateMobile, chromedp.EmulateTouch))
	groups := h.look().bands()
	cell := func(i int) string { return "#p-" + groups[0].pictures[i].id() + " input" }
	h.open(groups[0].address())
	undo := func() { h.tap("#told button") }
	h.undone("a name", func() {
		h.tap("#title")
		h.write("Pilot boat")
		h.tap(`[value="name"]`)
	}, undo)
	count := func(want int) {
		t.Helper()
		if n := js[int](h, `document.querySelectorAll(".c :checked").length`); n != want {
			t.Errorf("%d pictures are chosen, not %d", n, want)
		}
	}
	h.tap(cell(2))
	if n := js[int](h, `document.querySelectorAll(".ahead").length`); n != len(groups[0].pictures)-3 {
		t.Errorf("an open range takes in %d more", n)
	}
	h.undone("a stage from here on", func() { h.tap(`[value="stage:clean"]`) }, undo)
	h.tap(cell(2))
	h.tap(cell(4))
	count(3)
	h.undone("a stage of a range", func() { h.tap(`[value="stage:paint"]`) }, undo)
	h.tap(cell(6))
	h.undone("a mark", func() { h.tap(`[value="role:before"]`) }, undo)
	h.tap(cell(6)) // opens a range, closes it with one picture, chooses nothing
	h.tap(cell(6))
	count(1)
	h.tap(cell(6))
	count(0)
	h.tap(".else summary")
	h.tap("#taps")
	h.undone("a picture left out by one tap", func() { h.tap(cell(7)) }, undo)
	h.undone("and brought back by another", func() { h.tap(cell(7)) }, undo)
	h.tap("#taps")
	h.undone("an evening left out", func() { h.tap(`[value^="outevening:"]`) }, undo)
	h.undone("the next group merged", func() { h.tap(".sayit button") }, undo)
	if !js[bool](h, `document.querySelector("#other #title").getClientRects().length > 0 && !document.querySelector(".else").open`) {
		t.Error("where another build begins is folded away")
	}
	h.open(groups[2].address())
	h.tap("#open")
	h.undone("the last one left out", func() { h.tap(`#ends [value^="out:"]`) }, undo)
	h.tap("#open")
	h.undone("all of a likely build left out", func() { h.tap(`[value="outall"]`) }, undo)
	if small := js[[]string](h, `Array.from(document.querySelectorAll("button, select, .top a, .wide, summary, input:not([type=hidden]), .c"))
		.filter(e => e.getClientRects().length && !e.classList.contains("unseen"))
		.filter(e => { const r = e.getBoundingClientRect(), least = e.classList.contains("c") ? 64 : 43.9; return r.height < least || (r.width < least && e.tagName !== "A"); })
		.map(e => e.outerHTML.slice(0, 80))`); len(small) > 0 {
		t.Errorf("too small for a finger: %v", small)
	}
	if wide := js[float64](h, `document.documentElement.scrollWidth`); wide > 390 {
		t.Errorf("the page is %v wide", wide)
	}
}

// chosen holds how many pictures are chosen.
func (h *hand) chosen(want int) {
	h.t.Helper()
	if n := js[int](h, `document.querySelectorAll(".c :checked").length`); n != want {
		h.t.Errorf("%d pictures are chosen, not %d", n, want)
	}
}

// Whatever was said of pictures, the first tap begins, the second ends and the third
// begins anew; Space taps as a finger does. With nothing chosen, as after a reload, a
// stage fills what has none, tells how many, and changes nothing that was said.
func TestOneRuleForTaps(t *testing.T) {
	h, _ := newHand(t, 4, 4)
	g := h.look().bands()[0]
	cell := func(i int) string { return "#p-" + g.pictures[i].id() + " input" }
	h.open(g.address())
	h.do(chromedp.Focus(chromedp.CSS("#title")))
	h.write("Pilot boat")
	h.key(kb.Enter)
	byTaps := func() {
		t.Helper()
		for _, tap := range []struct{ at, chosen int }{{2, 1}, {5, 4}, {4, 1}, {3, 2}, {9, 1}, {9, 1}, {9, 0}} {
			h.tap(cell(tap.at))
			h.chosen(tap.chosen)
		}
	}
	byTaps()
	h.tap(cell(2))
	h.tap(cell(5))
	h.tap(`[value="stage:clean"]`)
	h.do(chromedp.Reload())
	h.rest()
	before := stateOf(t, h.dir)
	h.key("4")
	stages := func() (n map[string]int) {
		n = map[string]int{}
		for _, p := range h.look().named(g.pictures[0].id()).pictures {
			n[p.tags.Stage]++
		}
		return n
	}
	if n := stages(); n["clean"] != 4 || len(n) != 2 || n[""] > 0 {
		t.Errorf("with nothing chosen a stage made %v", n)
	}
	if told := js[string](h, `document.getElementById("told").textContent`); !strings.Contains(told, "12 pictures without a stage") {
		t.Errorf("it tells %q", told)
	}
	h.key("z", chromedp.ModifierCtrl)
	if stateOf(t, h.dir) != before {
		t.Error("undone, it left something")
	}
	h.key("4")
	before = stateOf(t, h.dir)
	h.key("5")
	if stateOf(t, h.dir) != before {
		t.Error("with nothing chosen a stage that was said is another one")
	}
	byTaps()
	h.do(chromedp.Reload()) // the focus begins at the first again
	h.rest()
	h.key(kb.ArrowRight)
	h.key(kb.ArrowRight)
	h.key(" ")
	h.key(kb.ArrowRight)
	h.key(kb.ArrowRight)
	h.chosen(1)
	h.key(kb.Enter)
	h.chosen(3)
	h.key(kb.ArrowRight)
	h.chosen(1)
	h.key(" ")
	h.key(" ")
	h.chosen(1)
	h.key(" ")
	h.chosen(0)
}

// On a narrow screen the panel is as the person left it: no tap on a picture opens it,
// closed it stays closed after something was said and on other sheets, and open it
// takes less than half of the screen and covers neither its button nor, scrolled to its
// end, the page.
func TestPanelStays(t *testing.T) {
	h, _ := newHand(t, 4, 4)
	h.touch = true
	h.do(chromedp.EmulateViewport(390, 800, chromedp.EmulateMobile, chromedp.EmulateTouch))
	groups := h.look().bands()
	cell := func(g, i int) string { return "#p-" + groups[g].pictures[i].id() + " input" }
	open := func(want bool) {
		t.Helper()
		if js[bool](h, `document.getElementById("tools").getClientRects().length > 0`) != want {
			t.Errorf("the panel is open: %v", !want)
		}
	}
	name := func(g int, title string) {
		h.open(groups[g].address())
		h.tap(cell(g, 1))
		open(false)
		h.tap(cell(g, 1))
		h.tap(cell(g, 1))
		h.tap("#title")
		h.write(title)
		h.tap(`[value="name"]`)
	}
	name(0, "Pilot boat")
	open(true)
	if wrong := js[string](h, `(() => { const r = document.getElementById("tools").getBoundingClientRect(), f = document.querySelector(".foot").getBoundingClientRect();
		return r.height <= innerHeight / 2 && Math.abs(r.bottom - f.top) < 2 ? "" : [r.top, r.bottom, f.top].join(" "); })()`); wrong != "" {
		t.Errorf("the panel lies at %s", wrong)
	}
	if covered := js[bool](h, `(() => { scrollTo({top: 1e6, behavior: "instant"});
		return document.querySelector("main").lastElementChild.getBoundingClientRect().bottom > document.getElementById("tools").getBoundingClientRect().top; })()`); covered {
		t.Error("the end of the page lies below the panel")
	}
	h.tap("#open")
	open(false)
	h.tap(cell(0, 2))
	open(false)
	h.tap("#open")
	h.tap(`[value="stage:clean"]`)
	open(true)
	h.tap("#open")
	h.tap("#told button")
	open(false)
	name(1, "Other boat")
	open(false)
	h.open(groups[0].address())
	h.tap(cell(0, 5))
	open(false)
}

// By mouse, a drag chooses a range, Shift and a click another.
func TestDrag(t *testing.T) {
	h, _ := newHand(t, 4, 4)
	g := h.look().bands()[0]
	h.open(g.address())
	cell := func(i int) string { return "#p-" + g.pictures[i].id() + " input" }
	x1, y1 := h.place(cell(1))
	at := js[[]float64](h, fmt.Sprintf(`(r => [r.x + r.width / 2, r.y + r.height / 2])(document.querySelector(%q).getBoundingClientRect())`, cell(3)))
	h.do(chromedp.DragAndDropXY(x1, y1, at[0], at[1], 5))
	h.rest()
	count := func(want int) {
		t.Helper()
		if n := js[int](h, `document.querySelectorAll(".c :checked").length`); n != want {
			t.Errorf("%d pictures are chosen, not %d", n, want)
		}
	}
	count(3)
	x, y := h.place(cell(6))
	h.do(chromedp.MouseClickXY(x, y, chromedp.ButtonModifiers(chromedp.ModifierShift)))
	h.rest()
	count(6)
	if asked := js[[]string](h, `performance.getEntriesByType("resource").map(e => e.name).filter(n => !n.startsWith(location.origin))`); len(asked) > 0 {
		t.Errorf("elsewhere it asked for %v", asked)
	}
}
