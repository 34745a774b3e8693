// Tests of how a build's stages are drawn, of what a finished build shows first, and of
// tables in a text.

package render

import (
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// loops is a build of two kits: seams are taken up again after primer, the second kit is
// cut while the first is primed, and it is put aside at the end.
func loops() *journal.State {
	s := &journal.State{Config: journal.Config{Name: "Bench"}, Zone: time.UTC}
	s.Builds = []*journal.Build{{ID: "boat", Title: "Boat", Started: "2024-01-01", Kits: []journal.Kit{{Title: "Hull"}, {Title: "Tender"}},
		Stages: []journal.Stage{{ID: "cut", Kind: "cut", Title: "Cut"}, {ID: "seam", Kind: "seam", Title: "Seam"}, {ID: "prime", Kind: "prime", Title: "Prime"}, {ID: "paint", Kind: "paint", Title: "Paint"}}}}
	for i, one := range []struct {
		stage, date string
		kit         int
	}{{"cut", "2024-01-01", 1}, {"seam", "2024-01-05", 1}, {"prime", "2024-01-09", 1}, {"cut", "2024-01-09", 2}, {"seam", "2024-01-12", 1}, {"prime", "2024-01-15", 1}} {
		start := at(one.date)
		s.Sessions = append(s.Sessions, &journal.Session{ID: "d/" + one.date + one.stage, Build: "boat", Kit: one.kit, Stage: one.stage, Kind: one.stage, Date: one.date,
			Start: start.Add(time.Duration(i) * time.Minute), End: start.Add(time.Hour), Net: time.Hour, Known: journal.Measured})
	}
	s.Pauses = []journal.Pause{{Build: "boat", From: at("2024-01-16"), Why: "no wire"}}
	return s
}

func TestStagesAreDrawnAsTheyWent(t *testing.T) {
	v := viewOf(loops(), time.Time{}, nil)
	p := v.went(v.builds["boat"])
	again := map[string]string{}
	for _, line := range p.Lines {
		again[line.Stage.Words+" "+line.Kit] = line.Again
	}
	want := map[string]string{"Cut off Hull": "", "Cut off Tender": "", "Seams Hull": "after prime, on 12 January 2024", "Prime Hull": ""}
	for name, says := range want {
		if got, ok := again[name]; !ok || got != says {
			t.Errorf("%s: %q, want %q; all: %q", name, got, says, again)
		}
	}
	if len(p.Lines) != len(want) || len(p.Charts) != 2 {
		t.Fatalf("%d lines, %d drawings", len(p.Lines), len(p.Charts))
	}
	c := p.Charts[0]
	if len(c.Rows) != 3 || len(c.Aside) != 1 || !strings.Contains(c.Alt, "Taken up again after a later stage had begun: seams, Hull.") {
		t.Errorf("%d rows, %d pauses, %q", len(c.Rows), len(c.Aside), c.Alt)
	}
	diamonds, hollow := 0, 0
	for _, r := range c.Rows {
		for _, m := range r.Marks {
			if strings.HasSuffix(m.Path, "l6 6l-6 6l-6 -6z") {
				diamonds++
			}
			if m.Hollow {
				hollow++
			}
		}
	}
	if diamonds != 1 || hollow != 1 {
		t.Errorf("%d marks of a stage taken up again, %d of the second kit", diamonds, hollow)
	}
	s := loops()
	s.Sessions = s.Sessions[:1]
	v = viewOf(s, time.Time{}, nil)
	if p := v.went(v.builds["boat"]); len(p.Charts) > 0 {
		t.Error("one stage alone is drawn")
	}
}

// A finished build begins with its picture beside a stage of the first build; an open
// one with what is next.
func TestBuildsBeginWithWhatMatters(t *testing.T) {
	s := judgedBuilds(4)
	for name, want := range map[string]string{"builds/boat-02.html": `class="finished answer"`, "builds/boat-03.html": `class="answer`} {
		text := pageOf(t, s, name)
		main := text[strings.Index(text, "<main"):]
		if at := strings.Index(main, want); at < 0 || at > 400 {
			t.Errorf("%s begins otherwise: %s", name, main[:400])
		}
	}
	if text := pageOf(t, s, "builds/boat-02.html"); !strings.Contains(text, ", then and now</h2>") || !strings.Contains(text, "<figcaption>Boat 0 (") {
		t.Error("the stage that changed most is not beside the first build's")
	}
}

func TestTablesOfTextsCanBeFocused(t *testing.T) {
	v := smallView()
	got := string(v.texts().render("| a | b |\n|---|---|\n| 1 | 2 |\n", around{}).html)
	if !strings.HasPrefix(got, `<div class="scrolls" role="group" aria-label="Table" tabindex="0">`) || !strings.HasSuffix(got, "</table>\n</div>\n") {
		t.Error(got)
	}
}
