// Tests of builds of which photos alone tell.

package render

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// photosOnly is a journal with photos of the Lightship taken at some moments, and
// sessions of it.
func photosOnly(at []string, sessions ...journal.WorkBody) *journal.State {
	plan := journal.Plan{Zone: time.UTC, Config: journal.Config{Format: 1, Name: "Bench"}, Builds: []*journal.Build{
		{ID: "lightship", Title: "Lightship", Stages: []journal.Stage{{ID: "seam", Title: "Seam", Kind: "seam"}}}}}
	var records []journal.Record
	for i, when := range at {
		hash := strings.Repeat(fmt.Sprintf("%016x", uint64(i+1)*0x9e3779b97f4a7c15), 4)
		body := fmt.Sprintf(`{"hash":%q,"path":"photos/%d.jpg","width":1200,"height":900,"camera":{"model":"T-24"},"instant":{"at":%q,"wall":%q,"source":"DateTimeOriginal"},"tags":{"build":"lightship","stage":"seam"}}`,
			hash, i, strings.Replace(when, " ", "T", 1)+"Z", when)
		records = append(records, journal.Record{At: time.Date(2026, 1, 1, 0, 0, i, 0, time.UTC), Dev: "bench-1", Seq: int64(i + 1),
			Kind: journal.PhotoBody{}.RecordKind(), Body: []byte(body)})
	}
	s := journal.Fold(plan, records)
	for i, w := range sessions {
		s.Sessions = append(s.Sessions, &journal.Session{ID: fmt.Sprint("s", i), Build: "lightship", Stage: "seam", Kind: "seam", Known: w.Known, Date: w.Date,
			Start: w.Start, End: w.Start.Add(time.Hour), Net: time.Hour})
	}
	return s
}

// Of a build of the years before nothing claims that it is on the bench, until a person
// says what became of it.
func TestUntoldBuilds(t *testing.T) {
	s := photosOnly([]string{"2021-03-14 19:00:00", "2021-03-15 20:00:00"})
	s.Builds[0].Totals = map[string]int{"seam": 12}
	const words = "last photo March 2021; what became of it is not said"
	digests := map[digest]bool{}
	for _, open := range []bool{true, false} {
		state := "on the bench"
		if !open {
			state = words
			for _, p := range s.Photos {
				s.Past = append(s.Past, journal.PastSaid{Photo: p.Hash, Tags: p.Tags})
			}
			slices.SortFunc(s.Past, func(a, b journal.PastSaid) int { return strings.Compare(a.Photo, b.Photo) })
		}
		v := viewOf(s, time.Time{}, nil)
		b := v.builds["lightship"]
		digests[b.headDigest()] = true
		pages := pagesByPath(t, v)
		page := pages["builds/lightship.html"]
		if got := v.stateOf(b); got != state || !strings.Contains(page, state) {
			t.Errorf("%q; its page says so: %v", got, strings.Contains(page, state))
		}
		if next := strings.Contains(page, "Next</"); next != open {
			t.Errorf("%s: it says what comes next: %v", state, next)
		}
		if _, there := pages["builds/lightship/return.html"]; there != open {
			t.Errorf("%s: a page to go on with is there: %v", state, there)
		}
		if drawn := v.yearCharts(v.order)[0].Marks[0].Open != ""; drawn != open {
			t.Errorf("%s: drawn to go on: %v", state, drawn)
		}
	}
	if len(digests) != 2 {
		t.Error("its page is not written again when it counts as one of the years before")
	}
}

// TestPhotosAlone holds what is said of a build of which photos alone tell, how it is
// drawn, and that a timer ends it.
func TestPhotosAlone(t *testing.T) {
	two := []string{"2019-03-14 19:00:00", "2019-03-14 19:12:00", "2019-03-15 20:00:00"}
	timer := journal.WorkBody{Known: journal.Measured, Date: "2019-04-01", Start: time.Date(2019, 4, 1, 19, 0, 0, 0, time.UTC)}
	told := journal.WorkBody{Known: journal.Remembered, Date: "2019", Start: time.Date(2019, 1, 1, 0, 0, 0, 0, time.UTC)}
	for _, c := range []struct {
		name  string
		s     *journal.State
		says  string
		hours string
		thin  bool
	}{
		{"two evenings", photosOnly(two), "3 photos of 2 evenings, no timer: at least 12 min at the bench, by groups of photos; not in any comparison of pace. They count fully in then and now, blind pairs and marks.",
			"at least 12 min, by groups of photos", true},
		{"one photo", photosOnly(two[:1]), "1 photo of 1 evening, no timer: nothing tells how long the work took. They count fully in then and now, blind pairs and marks.",
			"no bench time yet", true},
		{"remembered hours", photosOnly(two, told), "3 photos of 2 evenings, no timer: at least 12 min at the bench, by groups of photos; not in any comparison of pace. They count fully in then and now, blind pairs and marks.",
			"1.0 h in 1 session", false},
		{"a timer", photosOnly(two, timer), "", "1.0 h in 1 session", false},
		{"no photo", photosOnly(nil), "", "no bench time yet", false},
	} {
		v := viewOf(c.s, time.Time{}, nil)
		b := v.builds["lightship"]
		if got := v.glimpseSays(b); got != c.says {
			t.Errorf("%s: %q", c.name, got)
		}
		if got := v.hoursWords(b); got != c.hours {
			t.Errorf("%s: %q", c.name, got)
		}
		page := pagesByPath(t, v)["builds/lightship.html"]
		if c.says != "" && strings.Count(page, c.says) != 1 {
			t.Errorf("%s: its page says so %d times", c.name, strings.Count(page, c.says))
		}
		charts := v.yearCharts(v.order)
		if len(charts) == 0 {
			continue
		}
		bar := charts[0].Marks[0]
		if bar.Least != c.thin || c.thin != (len(bar.Notes) == 1 && bar.Notes[0].Words == "by photos alone") {
			t.Errorf("%s: its bar is %+v", c.name, bar)
		}
		if drawn := v.band("", v.order, "", ""); (drawn.Thin != "") != c.thin {
			t.Errorf("%s: the band says %q", c.name, drawn.Thin)
		}
	}
}

// A build that is finished, but of which photos alone tell, is no finished build to try
// forecasts on; no page says that there is none.
func TestFinishedWithoutHours(t *testing.T) {
	for _, finished := range []string{"", "2021-03-15"} {
		s := photosOnly([]string{"2021-03-14 19:00:00", "2021-03-15 20:00:00"})
		s.Builds[0].Finished = finished
		s.Builds = append(s.Builds, &journal.Build{ID: "lorry", Title: "Lorry"})
		page := pagesByPath(t, viewOf(s, time.Date(2021, 4, 1, 0, 0, 0, 0, time.UTC), nil))["forecast.html"]
		none := strings.Contains(page, "There is no finished build yet")
		if some := strings.Contains(page, "No finished build has noted enough timed work"); none != (finished == "") || some == none {
			t.Errorf("finished %q: none %v, none with hours %v", finished, none, some)
		}
	}
}
