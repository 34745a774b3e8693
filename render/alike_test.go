// Tests of photos that were called alike.

package render

import (
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// A yes gives two photos a comparison, whatever builds they are of; a no gives none, nor
// does anything else than a yes.
func TestOnlyAYesPairsAlikePhotos(t *testing.T) {
	s := manyBuilds(5)
	of := func(build int) *journal.Photo {
		for _, p := range s.Photos {
			if p.Tags.Build == s.Builds[build].ID && p.Kind == "clean" && p.Tags.Role == "after" {
				return p
			}
		}
		panic("no such photo")
	}
	before := len(viewOf(s, time.Time{}, nil).pairs())
	h := hashesOf(of(3), of(1))
	for not, more := range map[bool]int{true: 0, false: 1} {
		s.Alikes = []journal.Alike{{A: h[0], B: h[1], Not: not, Record: "d/1"}}
		v := viewOf(s, time.Time{}, nil)
		pairs := v.pairs()
		if len(pairs) != before+more {
			t.Errorf("not %v: %d comparisons, want %d", not, len(pairs), before+more)
		}
		last := pairs[len(pairs)-1]
		if not {
			continue
		}
		if !last.alike || last.a.photo != of(1) || last.b.photo != of(3) {
			t.Errorf("%+v", last)
		}
		if page := v.compare(last, v.texts()); !strings.Contains(page.Chosen, "Called alike by hand") || len(page.Back) != 2 {
			t.Errorf("%+v", page)
		}
		links := 0
		for _, f := range htmlOf(render(t, v)) {
			links += strings.Count(string(f.data), last.href)
		}
		if links != 2 {
			t.Errorf("%d ways lead to it, want one from each build", links)
		}
		// What rests on pairs chosen by likeness claims nothing: only those of steps do.
		if last.kind != "clean" || !last.byHand {
			t.Errorf("it passes for a step's own pair: %+v", last)
		}
	}
}

// The builder is told where photos may have their like, and readers never.
func TestAlikeHint(t *testing.T) {
	s := manyBuilds(12)
	views := []string{"left", "front", "top"}
	for i, p := range s.Photos {
		if p.Tags.View = views[i%3]; p.Tags.Build == s.Builds[0].ID {
			p.Tags.View, p.Tags.Light = "", ""
		}
	}
	hint := "6 photos have no view or no light tagged"
	for edition, want := range map[Edition]int{Mine: 1, ForReaders: 0} {
		v := viewWith(s, Options{Edition: edition}, originalsOf(s), nil)
		for _, f := range htmlOf(render(t, v)) {
			if f.path != "then-and-now.html" {
				continue
			}
			if n := strings.Count(string(f.data), hint); n != want {
				t.Errorf("%v: told %d times, want %d", edition, n, want)
			}
		}
	}
	// All without view or light are counted, not only those that are looked for, and what
	// the page says of them is true: it does compare them.
	bare := manyBuilds(12)
	for _, p := range bare.Photos {
		p.Tags.View, p.Tags.Light = "", ""
	}
	v, all := viewOf(bare, time.Time{}, nil), 0
	for _, b := range v.order {
		for _, photos := range b.byKind {
			all += len(photos)
		}
	}
	if got := v.alikeHint("").Photos; got != all {
		t.Errorf("%d photos are counted of %d without view and light", got, all)
	}
	for _, f := range htmlOf(render(t, v)) {
		if strings.Contains(string(f.data), "nothing is compared with") {
			t.Errorf("%s says that nothing is compared", f.path)
		}
	}
	// Where no other build shows the steps, nothing is promised.
	s.Photos = slices.DeleteFunc(s.Photos, func(p *journal.Photo) bool { return p.Tags.Build != s.Builds[0].ID })
	if got := viewOf(s, time.Time{}, nil).alikeHint(""); got != (AlikeHint{}) {
		t.Errorf("%+v", got)
	}
}
