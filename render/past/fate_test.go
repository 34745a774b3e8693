package past

import (
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// What became of a build is asked once its pictures are in the journal, and whatever is
// said of it is listed and taken back.
func TestWhatBecameOfIt(t *testing.T) {
	p, _, _ := try(t, 4, 2)
	g := p.now().bands()[0]
	p.said(url.Values{"do": {"name"}, "title": {"Pilot boat"}, "of": {g.id()}})
	const ask = "What became of it?"
	if strings.Contains(p.get(g.address()), ask) {
		t.Error("it is asked before anything is brought in")
	}
	p.post(Root+"bring", url.Values{"build": {"pilot-boat"}})
	p.ended()
	for _, where := range []string{g.address(), Root} {
		if !strings.Contains(p.get(where), ask) {
			t.Errorf("it is not asked on %s", where)
		}
	}
	day := g.last().Format(time.DateOnly)
	stands := func() string {
		s := p.now().state
		b := s.Build("pilot-boat")
		if pause := s.Paused(b.ID); pause != nil {
			return pause.Why + " " + pause.From.Format(time.DateOnly)
		}
		return strings.TrimSpace("finished " + b.Finished)
	}
	for is, want := range map[string]string{"finished": "finished " + day, "given": "given away " + day,
		"scrapped": "scrapped " + day, "aside": "the reason was not noted " + day, "on": "finished"} {
		p.said(url.Values{"do": {"fate:" + is}, "build": {"pilot-boat"}, "day": {day}})
		if got := stands(); got != want {
			t.Errorf("%s: it is %q, not %q", is, got, want)
		}
		if strings.Contains(p.get(g.address()), ask) {
			t.Errorf("%s: it is asked again", is)
		}
		last := p.lastSaid()
		if !strings.HasPrefix(last.Words, "Pilot boat: ") {
			t.Errorf("%s: listed as %q", is, last.Words)
		}
		if code, body := p.post(Root+"say", url.Values{"do": {"fate:given"}, "build": {"pilot-boat"}, "day": {day}}); code == 303 || !strings.Contains(body, "said already") {
			t.Errorf("%s: said once more, %d", is, code)
		}
		p.said(url.Values{"do": {"undo"}, "record": {last.Record}})
		if got := stands(); got != "finished" || !strings.Contains(p.get(g.address()), ask) {
			t.Errorf("%s, taken back: %q", is, got)
		}
	}
	for _, bad := range []string{"", "spring 1998", "2999-01-01"} {
		if code, _ := p.post(Root+"say", url.Values{"do": {"fate:finished"}, "build": {"pilot-boat"}, "day": {bad}}); code == 303 {
			t.Errorf("%q is taken as a day", bad)
		}
	}
}

// By a tap it is said, and taken back by another.
func TestWhatBecameOfItByTap(t *testing.T) {
	h, _ := newHand(t, 4, 2)
	g := h.look().bands()[0]
	h.open(g.address())
	h.do(chromedp.Focus(chromedp.CSS("#title")))
	h.write("Pilot boat")
	h.key(kb.Enter)
	h.tap(".bring button")
	const asks = `document.querySelectorAll('[value="fate:given"]').length === 1`
	h.until(asks)
	h.rest()
	h.tap(`[value="fate:given"]`)
	if p := h.look().state.Paused("pilot-boat"); p == nil || p.Why != "given away" {
		t.Errorf("it is %+v", p)
	}
	h.tap("#told button")
	if p := h.look().state.Paused("pilot-boat"); p != nil || !js[bool](h, asks) {
		t.Errorf("taken back it is %+v", p)
	}
}
