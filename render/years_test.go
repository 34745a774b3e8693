// The band of the years, the pages of years, the archive.

package render

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// A build is open where it was put aside, and two at one time lie above each other.
func TestBand(t *testing.T) {
	s := &journal.State{Zone: time.UTC, Builds: []*journal.Build{
		{ID: "a", Title: "A", Started: "2024-01-01", Finished: "2024-12-31"},
		{ID: "b", Title: "B", Started: "2024-06-01", Finished: "2025-06-01"},
		{ID: "c", Title: "C", Started: "2025-02-01", Finished: "2025-08-01"},
	}}
	s.Pauses = []journal.Pause{{Build: "a", From: at("2024-04-01"), Until: at("2024-07-01")}, {Build: "b", From: at("2025-05-01")}}
	v := viewOf(s, time.Time{}, nil)
	band := v.band("", v.order, "", "")
	if len(band.Drawn) != 2 || len(band.Names) != 3 || band.All.Href != "" {
		t.Fatalf("%+v", band)
	}
	wide := band.Drawn[0]
	var paths []string
	for _, one := range wide.Stretches {
		paths = append(paths, regexp.MustCompile(`[0-9.]+`).ReplaceAllString(one.Path, "n"))
	}
	if got := strings.Join(paths, " "); got != "Mn nHnMn nHn Mn nHn Mn nHn" {
		t.Errorf("%s", got)
	}
	lane := func(i int) string { return strings.Fields(strings.Split(wide.Stretches[i].Path, "H")[0])[1] }
	if lane(0) == lane(1) || lane(1) == lane(2) || lane(0) != lane(2) {
		t.Errorf("lanes %s, %s, %s", lane(0), lane(1), lane(2))
	}
	if len(wide.Ticks) != 2 || wide.Ticks[0].Label != "2024" {
		t.Errorf("%+v", wide.Ticks)
	}
	if year := v.band("", v.order[:1], "2024-01-01", "2024-12-31").Drawn; len(year[0].Ticks) != 12 || len(year[1].Ticks) != 6 {
		t.Errorf("%+v", year)
	}
	if got := viewOf(&journal.State{}, time.Time{}, nil); len(got.band("", got.order, "", "").Drawn) != 0 {
		t.Error("a band of nothing")
	}
}

// The one comparison stands in the latest week of the build it is about, and nowhere
// else: a session more would change every week of it.
func TestOneComparison(t *testing.T) {
	v := viewOf(judgedBuilds(3), time.Time{}, nil)
	with := map[string]bool{}
	for _, w := range v.calendar().weeks {
		for _, lines := range v.margins(w) {
			for _, line := range lines {
				if strings.Contains(line, "times the speed") {
					with[w.id] = true
				}
			}
		}
	}
	last := v.calendar().latest[v.LatestCounted().ID]
	if len(with) > 1 || len(with) == 1 && !with[last.id] {
		t.Errorf("%v, the latest is %s", with, last.id)
	}
	if v.Claims().Since.Interval.OK != (len(with) == 1) {
		t.Errorf("%v, though the comparison holds: %v", with, v.Claims().Since.Interval.OK)
	}
}

// Of a year's results of a step, the first and the latest that are alike in view and
// light and lie furthest apart, at least two weeks.
func TestFirstLatest(t *testing.T) {
	v := smallView()
	result := func(day, kind, light string) *journal.Photo {
		return &journal.Photo{Hash: day, Kind: kind, Instant: journal.Instant{At: at(day)}, Tags: journal.Tags{Role: "after", View: "left", Light: light}}
	}
	photos := []*journal.Photo{result("2024-01-01", "clean", "raking"), result("2024-01-02", "seam", "raking"), result("2024-02-01", "clean", "raking"),
		result("2024-04-01", "seam", "diffuse"), result("2024-05-01", "seam", "raking"), result("2024-12-01", "paint", "raking")}
	got := v.firstLatest(photos)
	if got == nil || got.Title != "Seams" || got.Plate.Pics[0].Day != "2 January 2024" || got.Plate.Pics[1].Day != "1 May 2024" {
		t.Errorf("%+v", got)
	}
	if got := v.firstLatest(photos[:2]); got != nil {
		t.Errorf("%+v", got)
	}
	if got := v.firstLatest([]*journal.Photo{result("2024-01-01", "clean", "raking"), result("2024-01-15", "clean", "raking")}); got != nil {
		t.Errorf("two weeks are no more than that: %+v", got)
	}
}

// A mistake counts by its kind, with each cause once.
func TestSlipKindsOfAYear(t *testing.T) {
	got := inEnglish.slipKinds([]journal.Mistake{{Kind: "run"}, {Kind: "gouge", Cause: "blunt blade", Mended: "filled"}, {Kind: "gouge", Cause: "haste"}, {Kind: "gouge", Cause: "haste"}})
	if want := (SlipKind{"Gouge", "3 times", "blunt blade and haste", "filled"}); len(got) != 2 || got[0] != want || got[1].Times != "once" {
		t.Errorf("%+v", got)
	}
}

// Twenty years of three days a week are one archive under 150 KB, from which every day
// is two steps away.
func TestArchiveStaysLight(t *testing.T) {
	s := &journal.State{Zone: time.UTC, Builds: []*journal.Build{{ID: "lorry", Title: "Lorry"}}}
	for day := at("2006-01-02"); day.Year() < 2026; day = day.AddDate(0, 0, 2) {
		s.Diary = append(s.Diary, journal.DiaryDay{Build: "lorry", Date: day.Format(time.DateOnly), Body: "Words."})
	}
	v := viewOf(s, time.Time{}, nil)
	byPath := map[string]making{}
	for _, m := range pagesOf(v) {
		byPath[m.path] = m
	}
	page := func(path string) string {
		f, err := byPath[path].file(v.texts())
		if err != nil {
			t.Fatal(err)
		}
		if len(f.data) > 150<<10 {
			t.Errorf("%s has %d KB", path, len(f.data)>>10)
		}
		return string(f.data)
	}
	archive := page(archivePage)
	for _, d := range v.calendar().days {
		month := fmt.Sprintf(`href="years/%s.html#month-%s"`, d.date[:4], d.date[5:7])
		if !strings.Contains(archive, month) {
			t.Fatalf("the archive does not lead to %s", month)
		}
	}
	if year := page("years/2006.html"); !strings.Contains(year, `href="../days/2006-01-02.html"`) || !strings.Contains(year, `id="month-01"`) {
		t.Error("a year does not lead to its days")
	}
	if !strings.Contains(archive, `href="days/`+v.calendar().days[len(v.calendar().days)-1].date) || strings.Contains(archive, `href="days/2006`) {
		t.Error("the newest days are not listed alone")
	}
}
