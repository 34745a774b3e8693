// A large kit is shared out to several pages, and each of its parts has one place.

package render

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// largeKit is a build of so many runners of thirty parts, each done in four stages.
func largeKit(runners int) *journal.State {
	stages := []string{"cut", "clean", "dry-fit", "assemble"}
	b := &journal.Build{ID: "lightship", Title: "Lightship", Started: "2024-01-01", Kits: []journal.Kit{{Title: "Hull"}}}
	s := &journal.State{Zone: time.UTC, Builds: []*journal.Build{b}}
	for _, kind := range stages {
		b.Stages = append(b.Stages, journal.Stage{ID: kind, Title: journal.Title(kind), Kind: kind})
	}
	for i := range runners {
		r := journal.Runner{Letter: strings.Repeat(string(rune('A'+i%26)), 1+i/26), Class: "flat"}
		for n := range 30 {
			r.Parts = append(r.Parts, fmt.Sprint(n+1))
		}
		b.Kits[0].Runners = append(b.Kits[0].Runners, r)
		for k, kind := range stages {
			start := at("2024-01-01").AddDate(0, 0, 4*i+k)
			s.Sessions = append(s.Sessions, &journal.Session{ID: fmt.Sprintf("%s/%d", device, len(s.Sessions)), Build: b.ID, Stage: kind, Kind: kind, Start: start, Net: time.Hour,
				Date: start.Format(time.DateOnly), Known: journal.Measured, Counted: true, Tallies: []journal.Tally{{At: start, Parts: parts(0, r.Letter, 1, 30)}}})
		}
	}
	return s
}

func TestLargeKitIsSharedOut(t *testing.T) {
	pages, places := pagesByName(t, largeKit(30)), map[string]int{}
	kits := 0
	for name, text := range pages {
		if !strings.HasPrefix(name, "builds/lightship/kit-") {
			continue
		}
		kits++
		if len(text) > heaviest {
			t.Errorf("%s has %d KB", name, len(text)>>10)
		}
		for _, one := range strings.Split(text, `<li id="`)[1:] {
			places[one[:strings.Index(one, `"`)]]++
		}
		for other := range pages {
			if strings.HasPrefix(other, "builds/lightship/kit-") && other != name && !strings.Contains(text, other[len("builds/"):]) {
				t.Errorf("%s does not lead to %s", name, other)
			}
		}
	}
	if kits < 2 || len(places) != 900 {
		t.Errorf("%d pages, %d places of parts", kits, len(places))
	}
	for place, n := range places {
		if n != 1 {
			t.Errorf("%s has %d places", place, n)
		}
	}
}

// How a part stands is told by words, by a sign beside its number, and by the shape of
// its marks.
func TestSquaresWithoutColor(t *testing.T) {
	text := pagesByName(t, small())["builds/lightship/kit-2.html"]
	for _, want := range []string{
		`href="#C3"><span aria-hidden="true">3!</span><span class="unseen">C3: damaged; cleanup not done</span>`,
		`href="#C4"><span aria-hidden="true">4&#43;</span><span class="unseen">C4: replacement asked for; cleanup not done</span>`,
		`href="#C19"><span aria-hidden="true">19?</span><span class="unseen">C19: missing from the box; cleanup not done</span>`,
		`sq-unused" href="#C20"><span aria-hidden="true">20</span><span class="unseen">C20: not for use</span></a>`,
		`sq-done" href="#B10"><span aria-hidden="true">10</span><span class="unseen">B10: cleanup done</span><span class="marks" aria-hidden="true"><i class="done"></i></span>`,
		`sq-not" href="#B1"><span aria-hidden="true">1</span><span class="unseen">B1: cleanup not done</span><span class="marks" aria-hidden="true"><i class="not"></i></span>`,
		"109 parts for use; 1 missing; 1 damaged; 2 with a replacement asked for; 1 not for use.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the page of the kit has no %s", want)
		}
	}
}

func TestPartLinksOfMany(t *testing.T) {
	v := smallView()
	b := v.builds["lightship"]
	links := v.partLinks("", b, append(append(parts(2, "B", 1, 12), parts(2, "C", 1, 2)...), parts(2, "D", 9, 9)...))
	want := []Link{{Words: "2/B1-B12", Href: "builds/lightship/kit-2.html#B1"}, {Words: "2/C1", Href: "builds/lightship/kit-2.html#C1"},
		{Words: "2/C2", Href: "builds/lightship/kit-2.html#C2"}, {Words: "2/D9"}}
	if fmt.Sprint(links) != fmt.Sprint(want) {
		t.Errorf("got %v\nwant %v", links, want)
	}
}

// Of a finished build nothing is left, whatever was not named.
func TestLeftWords(t *testing.T) {
	open, finished := &build{Build: &journal.Build{}}, &build{Build: &journal.Build{Finished: "2024-06-29"}}
	for _, c := range []struct {
		b         *build
		left, all int
		want      string
	}{
		{open, 0, 28, "all 28 done"}, {open, 41, 85, "41 of 85 left"}, {open, 85, 85, "not begun"},
		{finished, 0, 28, "all 28 done"}, {finished, 41, 85, "44 of 85 named as done"}, {finished, 85, 85, "no part named"},
	} {
		if got := inEnglish.leftWords(c.b, c.left, c.all); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
