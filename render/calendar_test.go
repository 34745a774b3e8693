// Days, weeks and years: which day a moment belongs to, and which week a day.

package render

import (
	"slices"
	"testing"
	"time"

	"rakelight/journal"
)

// The pairs of dates published in the article "ISO week date" of Wikipedia (its table
// of examples), and the two of them that Go's own documentation of Time.ISOWeek
// describes: the first days of January may be of week 52 or 53 of the year before, the
// last of December of week 1 of the next.
func TestWeekOf(t *testing.T) {
	for date, want := range map[string]string{
		"1977-01-01": "1976-W53", "1977-01-02": "1976-W53", "1977-12-31": "1977-W52", "1978-01-01": "1977-W52",
		"1978-01-02": "1978-W01", "1978-12-31": "1978-W52", "1979-01-01": "1979-W01", "1979-12-30": "1979-W52",
		"1979-12-31": "1980-W01", "1980-01-01": "1980-W01", "1980-12-28": "1980-W52", "1980-12-29": "1981-W01",
		"1980-12-30": "1981-W01", "1980-12-31": "1981-W01", "1981-01-01": "1981-W01", "1981-12-31": "1981-W53",
		"1982-01-01": "1981-W53", "1982-01-02": "1981-W53", "1982-01-03": "1981-W53",
		"2020-12-31": "2020-W53", "2021-01-03": "2020-W53", "2024-12-29": "2024-W52", "2024-12-30": "2025-W01",
		"1998-04": "", "spring": "",
	} {
		if got := weekOf(date); got != want {
			t.Errorf("%s lies in %s, want %s", date, got, want)
		}
	}
	for date, want := range map[string]string{"2024-12-30": "2024-12-30", "2025-01-05": "2024-12-30", "2026-06-24": "2026-06-22"} {
		if got := monday(date).Format(time.DateOnly); got != want {
			t.Errorf("the Monday of %s is %s, want %s", date, got, want)
		}
	}
}

// A week at the turn of a year is one page, of the year that has its Thursday; its
// days are of their own years.
func TestWeekAtTheTurnOfAYear(t *testing.T) {
	s := &journal.State{Zone: time.UTC, Builds: []*journal.Build{{ID: "lorry", Title: "Lorry"}}}
	for _, date := range []string{"2024-12-30", "2025-01-04"} {
		s.Diary = append(s.Diary, journal.DiaryDay{Build: "lorry", Date: date, Body: "Words."})
	}
	v := viewOf(s, time.Time{}, nil)
	for got, want := range map[string]string{
		v.weekHref("2024-12-30"): "weeks/2025-W01.html", v.weekHref("2025-01-05"): "weeks/2025-W01.html",
		v.weekHref("2024-12-29"): "", v.dayHref("2024-12-30"): "days/2024-12-30.html", v.dayHref("2024-12-31"): "",
		v.yearHref("2024"): "years/2024.html", v.yearHref("2023"): "",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	y := v.calendar().byYear["2024"]
	if len(y.days) != 1 || len(y.weeks) != 0 || len(v.calendar().byYear["2025"].weeks) != 1 {
		t.Errorf("%+v", y)
	}
	if got := v.weekSpan(v.calendar().weeks[0]); got != "30 December 2024 to 5 January 2025" {
		t.Error(got)
	}
}

// What goes on after midnight belongs to the evening it began on.
func TestAfterMidnight(t *testing.T) {
	zone := time.FixedZone("", 3600)
	at := func(clock string) time.Time {
		when, err := time.ParseInLocation("2006-01-02 15:04", clock, zone)
		if err != nil {
			t.Fatal(err)
		}
		return when
	}
	s := &journal.State{Zone: zone, Builds: []*journal.Build{{ID: "lorry", Title: "Lorry", Stages: []journal.Stage{{ID: "clean", Kind: "clean"}}}}}
	s.Sessions = []*journal.Session{
		{ID: "a", Build: "lorry", Stage: "clean", Kind: "clean", Start: at("2026-06-23 21:40"), End: at("2026-06-24 00:30"), Date: "2026-06-23", Net: time.Hour, Known: journal.Measured},
		{ID: "b", Build: "lorry", Stage: "clean", Kind: "clean", Start: at("2026-06-24 09:00"), End: at("2026-06-24 10:00"), Date: "2026-06-24", Net: time.Hour, Known: journal.Measured},
		{ID: "c", Build: "lorry", Stage: "clean", Kind: "clean", Start: at("2026-06-28 23:30"), Date: "2026-06-28", Open: true, Known: journal.Measured},
	}
	clocks := map[string]string{
		"2026-06-23 23:59": "2026-06-23", "2026-06-24 00:10": "2026-06-23", "2026-06-24 01:00": "2026-06-23",
		"2026-06-24 02:31": "2026-06-24", // past the two hours in which a photo counts as of a session
		"2026-06-24 09:30": "2026-06-24", "2026-06-25 00:10": "2026-06-25",
		"2026-06-29 00:20": "2026-06-28", // it runs still: Sunday evening, and so the week before
	}
	for clock := range clocks {
		s.Photos = append(s.Photos, &journal.Photo{Hash: clock + "0123456789", Width: 10, Height: 10, Instant: journal.Instant{At: at(clock)},
			Tags: journal.Tags{Build: "lorry", Stage: "clean"}})
		s.Mistakes = append(s.Mistakes, journal.Mistake{Build: "lorry", Kind: clock, At: at(clock)})
	}
	v := viewOf(s, time.Time{}, nil)
	for clock, want := range clocks {
		d := v.calendar().byDate[want]
		if d == nil || !slices.ContainsFunc(d.photos, func(p *journal.Photo) bool { return p.Hash == clock+"0123456789" }) {
			t.Errorf("a photo of %s is not of %s", clock, want)
		}
		if d == nil || !slices.ContainsFunc(d.mistakes, func(m journal.Mistake) bool { return m.Kind == clock }) {
			t.Errorf("a mistake at %s is not of %s", clock, want)
		}
	}
	if got := v.weekHref("2026-06-28"); got != "weeks/2026-W26.html" || v.weekHref("2026-06-29") != "" {
		t.Errorf("%q, %q", got, v.weekHref("2026-06-29"))
	}
}

// No day comes of a photo of cards alone, of one whose day nobody knows, of curing, or
// of a build that is not there.
func TestWhatMakesADay(t *testing.T) {
	when := at("2026-06-23")
	s := &journal.State{Zone: time.UTC, Builds: []*journal.Build{{ID: "lorry", Title: "Lorry"}}}
	v := func() *calendar { return viewOf(s, time.Time{}, nil).calendar() }
	s.Photos = []*journal.Photo{
		{Hash: "aa01", Width: 9, Height: 9, Instant: journal.Instant{At: when, Said: "summer 2026"}, Tags: journal.Tags{Build: "lorry"}},
		{Hash: "aa02", Width: 9, Height: 9, Instant: journal.Instant{At: when}},
		{Hash: "aa03", Instant: journal.Instant{At: when}, Tags: journal.Tags{Build: "lorry"}}, // nothing can be shown of it
	}
	s.Sessions = []*journal.Session{
		{ID: "a", Build: "lorry", Kind: "wait", Start: when, End: when, Date: "2026-06-23"},
		{ID: "b", Build: "lorry", Kind: "clean", Date: "1998-04", Known: journal.Remembered},
	}
	s.Diary = []journal.DiaryDay{{Build: "gone", Date: "2026-06-23", Body: "x"}, {Build: "lorry", Date: "2026-06-23", Body: " \n"}}
	if c := v(); len(c.days) != 0 {
		t.Errorf("%+v", c.days[0])
	}
	s.Mistakes = []journal.Mistake{{Build: "lorry", Kind: "gouge", At: when}}
	if c := v(); len(c.days) != 1 || c.days[0].date != "2026-06-23" {
		t.Errorf("%+v", c.days)
	}
}
