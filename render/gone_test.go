// Tests of builds that were given away or scrapped.

package render

import (
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// goneState is the Lightship put aside for a reason.
func goneState(why string) *journal.State {
	s := photosOnly([]string{"2021-03-14 19:00:00", "2021-03-15 20:00:00"})
	s.Builds[0].Totals = map[string]int{"seam": 12}
	s.Pauses = []journal.Pause{{Build: "lightship", From: time.Date(2021, 3, 15, 23, 59, 0, 0, time.UTC), Why: why}}
	return s
}

// What was given away or scrapped does not go on; what waits for wire does.
func TestGoneBuilds(t *testing.T) {
	digests := map[digest]bool{}
	for why, state := range map[string]string{"no wire": "put aside since 15 March 2021",
		"given away": "given away on 15 March 2021", "scrapped": "scrapped on 15 March 2021"} {
		waits := why == "no wire"
		v := viewOf(goneState(why), time.Date(2021, 4, 1, 0, 0, 0, 0, time.UTC), nil)
		b := v.builds["lightship"]
		digests[b.headDigest()] = true
		if got := v.stateOf(b); got != state {
			t.Errorf("%s: %q, not %q", why, got, state)
		}
		pages := pagesByPath(t, v)
		for _, sheet := range []string{"return", "bench-sheet", "sanding-plan"} {
			if _, there := pages["builds/lightship/"+sheet+".html"]; there != waits {
				t.Errorf("%s: its %s is there: %v", why, sheet, there)
			}
		}
		for path, words := range map[string]string{"index.html": "was put aside on", "builds/lightship.html": "Put aside since",
			"forecast.html": "build-lightship"} {
			if told := strings.Contains(pages[path], words); told != waits {
				t.Errorf("%s: %s has %q: %v", why, path, words, told)
			}
		}
		for path, page := range pages {
			if !waits && strings.Contains(strings.ToLower(page), "put aside") && !strings.HasPrefix(path, "using") &&
				!strings.HasPrefix(path, "card") && !strings.HasPrefix(path, "format") && !strings.HasPrefix(path, "help") {
				t.Errorf("%s: %s calls it put aside", why, path)
			}
		}
		if drawn := v.yearCharts(v.order)[0].Marks[0].Open != ""; drawn != waits {
			t.Errorf("%s: drawn to go on: %v", why, drawn)
		}
	}
	if len(digests) != 2 {
		t.Errorf("%d states of the head of the Lightship, not 2", len(digests))
	}
}

// What the program wrote of why a build was put aside is said in the language of the page;
// what a person wrote stays theirs, and is called theirs.
func TestWhyInTheLanguageOfThePage(t *testing.T) {
	for why, want := range map[string]string{"given away": "weggegeben am ",
		"scrapped":                 "verschrottet am ",
		"the reason was not noted": "<dd>der Grund wurde nicht notiert</dd>",
		"no wire":                  "<dd>no wire</dd>"} {
		s := goneState(why)
		opts := Options{Today: time.Date(2021, 4, 1, 0, 0, 0, 0, time.UTC), Edition: ForReaders, Language: "de"}
		v := viewWith(s, opts, originalsOf(s), nil)
		pages := pagesByPath(t, v)
		if page := pages["builds/lightship.html"]; !strings.Contains(page, want) {
			t.Errorf("%s: the page of the build has no %q", why, want)
		}
		if _, own := v.why(&s.Pauses[0]); own != (why == "no wire") {
			t.Errorf("%s: called the words of a person: %v", why, own)
		}
		for path, page := range pages {
			if why != "no wire" && strings.Contains(strings.ToLower(page), why) {
				t.Errorf("%s: %s says it in English", why, path)
			}
		}
	}
}
