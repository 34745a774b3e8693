// Which photos are held against each other, and which must not be.

package render

import (
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

func photoOf(hash, role, view, light string) *journal.Photo {
	return &journal.Photo{Hash: hash, Tags: journal.Tags{Role: role, View: view, Light: light}}
}

func TestRefuse(t *testing.T) {
	for _, c := range []struct {
		a, b            *journal.Photo
		refuse, caution string
	}{
		{photoOf("", "", "left", "diffuse"), photoOf("", "", "left", "diffuse"), "", ""},
		{photoOf("", "", "left", "raking"), photoOf("", "", "left", "diffuse"), "Not comparable: different light (raking, diffuse).", ""},
		{photoOf("", "", "left", "raking"), photoOf("", "", "top", "raking"), "Not comparable: different view (left, top).", ""},
		{photoOf("", "", "left", "raking"), photoOf("", "", "top", "diffuse"), "Not comparable: different view (left, top) and different light (raking, diffuse).", ""},
		{photoOf("", "", "left", ""), photoOf("", "", "left", "diffuse"), "", "The light is not tagged"},
		{photoOf("", "", "", ""), photoOf("", "", "left", "diffuse"), "", "View and light are not tagged"},
		{photoOf("", "", "", "raking"), photoOf("", "", "left", "diffuse"), "Not comparable: different light (raking, diffuse).", "The view is not tagged"},
	} {
		if got := inEnglish.refusal(c.a, c.b); got != c.refuse {
			t.Errorf("%q, want %q", got, c.refuse)
		}
		if got := unsaid(c.a, c.b); !strings.HasPrefix(string(got), c.caution) || c.caution == "" && got != "" {
			t.Errorf("%q, want %q", got, c.caution)
		}
	}
}

func TestBestAndBeforeAfter(t *testing.T) {
	photos := []*journal.Photo{
		photoOf("1", "before", "left", "diffuse"), photoOf("2", "after", "left", "diffuse"), photoOf("3", "before", "left", "raking"),
		photoOf("4", "after", "top", "diffuse"), photoOf("5", "progress", "left", "diffuse"),
	}
	if p := best(photos); p.Hash != "4" {
		t.Error("best is", p.Hash)
	}
	if p := best(append(photos[:4:4], photoOf("6", "finished", "left", "diffuse"), photoOf("7", "after", "left", "diffuse"))); p.Hash != "6" {
		t.Error("finished work comes first, not", p.Hash)
	}
	if p := best([]*journal.Photo{photos[4], photos[0]}); p.Hash != "5" {
		t.Error("a later before stands for a step that has a progress:", p.Hash)
	}
	if best(nil) != nil {
		t.Error("the best of none")
	}
	if a, b := beforeAfter(photos); a.Hash != "1" || b.Hash != "2" {
		t.Error("before and after are", a.Hash, b.Hash, "though 1 and 2 are alike")
	}
	if a, b := beforeAfter(photos[2:4]); a.Hash != "3" || b.Hash != "4" {
		t.Error("without likes the first before and the last after:", a.Hash, b.Hash)
	}
	if a, _ := beforeAfter(photos[3:]); a != nil {
		t.Error("a before without one")
	}
}

func TestPairsPreferLikeViews(t *testing.T) {
	s := small()
	for _, p := range s.Photos {
		if p.Tags.Build == "lightship" && p.Kind == "clean" && p.Instant.At.Format(time.DateOnly) == "2024-02-18" {
			p.Tags.View = "top" // the sheet's print no longer matches
		}
	}
	v := viewOf(s, time.Time{}, map[string]noShow{})
	found := false
	for _, p := range v.pairs() {
		if p.within || p.kind != "clean" || p.b.b.ID != "lightship" {
			continue
		}
		found = true
		if !p.chosen || p.b.photo.Tags.View != "left" || p.b.photo.Tags.Role != "after" {
			t.Errorf("%s: %+v", p.href, p.b.photo.Tags)
		}
	}
	if !found {
		t.Error("no pair")
	}
	// Different light is said, and no divider is offered.
	for _, p := range v.pairs() {
		if !p.within && p.kind == "seam" && p.a.b.ID == "pilot-boat" {
			c := v.compare(p, v.texts())
			if c.Divider || !strings.Contains(c.Refuse, "different light") || c.Sides[0].Picture.Src == "" {
				t.Errorf("%+v", c)
			}
		}
	}
}

// Of the two pictures of a comparison one is asked for first, so that something is
// seen early; of four, the two as they were taken wait.
func TestOnePictureComesFirst(t *testing.T) {
	n := 0
	for _, f := range htmlOf(render(t, smallView())) {
		if !strings.HasPrefix(f.path, "compare/") {
			continue
		}
		n++
		text := string(f.data)
		if strings.Count(text, `fetchpriority="high"`) != 1 || strings.Count(text, `fetchpriority="low"`) != 1 {
			t.Errorf("%s: not one first and one second", f.path)
		}
	}
	if n == 0 {
		t.Error("no comparison")
	}
}
