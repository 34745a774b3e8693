// Tests of the outlook: what enters it unasked, and the day a build must be ready
// by.

package journal

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"rakelight/journal/metrics"
	"rakelight/journal/plan"
	"rakelight/journal/say"
)

// outlookBench is a boat with a dozen weekly sessions, of which the last so many
// are remembered.
func outlookBench(t *testing.T, matter string, remembered int) (*State, *Build, time.Time) {
	t.Helper()
	b, problems := plan.ParseBuild("boat", []byte("---\n"+matter+"\nstages: [clean, weather]\nrunners: {A: 90}\n---\n"))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	now := time.Date(2026, 3, 18, 20, 0, 0, 0, time.UTC)
	s := &State{Builds: []*Build{b}, Zone: time.UTC}
	for i := range 12 {
		day := now.AddDate(0, 0, -7*(12-i))
		known := Measured
		if i >= 12-remembered {
			known = Remembered
		}
		s.Sessions = append(s.Sessions, &Session{ID: fmt.Sprint("s", i), Build: "boat", Stage: "clean", Kind: "clean", Start: day,
			Date: day.Format(time.DateOnly), Net: time.Hour, Counted: true, Known: known, Bare: []int{2, 3, 4}[i%3]})
	}
	return s, b, now
}

func TestOutlookKeepsRememberedTimeOut(t *testing.T) {
	s, b, now := outlookBench(t, "", 4)
	o := s.Outlook(b, now, false)
	if o.N != 8 || o.Remembered != 0 || o.NWeeks != 8 || o.Kept != 4 {
		t.Errorf("unasked: %d sessions, %d remembered, %d weeks, %d kept out", o.N, o.Remembered, o.NWeeks, o.Kept)
	}
	asked := s.Outlook(b, now, true)
	if asked.N != 12 || asked.Remembered != 4 || asked.NWeeks != 12 || asked.Kept != 0 {
		t.Errorf("asked: %d sessions, %d remembered, %d weeks, %d kept out", asked.N, asked.Remembered, asked.NWeeks, asked.Kept)
	}
	if words := asked.Sentence().String(); !strings.Contains(words, "(12 sessions, 4 of them remembered)") {
		t.Error(words)
	}
	s, b, now = outlookBench(t, "", 12)
	o = s.Outlook(b, now, false)
	if o.OK || o.WeeksOK || o.NWeeks != 0 {
		t.Errorf("%+v", o.Forecast)
	}
	if words := o.Sentence().String(); !strings.Contains(words, "no forecast") || !strings.Contains(words, "rakelight forecast boat --remembered includes it") {
		t.Error(words)
	}
}

func TestReadyBy(t *testing.T) {
	for _, c := range []struct {
		matter string
		paused bool
		want   []string
		chance [2]float64
	}{
		{matter: "", want: []string{""}},
		{matter: "ready-by: 2026-03-01", want: []string{"It was to be ready by 1 March 2026; that day has passed."}},
		{matter: "ready-by: 2026-03-18", want: []string{"less than 1 in 100", "hours until then"}},
		{matter: "ready-by: 2026-07-20", chance: [2]float64{0.2, 0.8},
			want: []string{"Ready by 20 July 2026, for the counted work alone: a chance of about ", "(12 weeks). It takes about ", " hours a week until then, 4 in 5 chance between "}},
		{matter: "ready-by: 2030-08-10", chance: [2]float64{0.99, 1}, want: []string{"more than 99 in 100", "in the last 12 weeks you had 1.00."}},
		{matter: "ready-by: 2026-07-20", paused: true, want: []string{"the chance cannot be told (the build is put aside"}},
	} {
		s, b, now := outlookBench(t, c.matter, 0)
		if c.paused {
			s.Pauses = []Pause{{Build: "boat", From: now.AddDate(0, 0, -1)}}
		}
		o := s.Outlook(b, now, false)
		words := o.ReadyWords().String()
		for _, want := range c.want {
			if !strings.Contains(words, want) {
				t.Errorf("%s, paused %v: %q, want %q", c.matter, c.paused, words, want)
			}
		}
		if (words == "") != (c.matter == "") || (o.Ready == nil) != (c.matter == "") {
			t.Errorf("%s: %q", c.matter, words)
		}
		if o.Ready != nil && (o.Ready.Chance < c.chance[0] || o.Ready.Chance > c.chance[1]) {
			t.Errorf("%s: a chance of %v, want %v", c.matter, o.Ready.Chance, c.chance)
		}
	}
	if _, problems := plan.ParseBuild("boat", []byte("---\nready-by: next spring\n---\n")); len(problems) != 1 ||
		!strings.Contains(problems[0].What, `ready-by: "next spring" is not a day; write it like 2026-03-14`) || problems[0].Line != 2 {
		t.Errorf("%+v", problems)
	}
}

// Work without a count holds the date back, in words; and one number is no range.
func TestOutlookWords(t *testing.T) {
	s, b, now := outlookBench(t, "", 0)
	o := s.Outlook(b, now, false)
	if when := o.When(time.UTC).String(); !strings.HasPrefix(when, "The counted work done about ") || !strings.HasSuffix(when, "(12 weeks). Not included: weather (no total).") {
		t.Error(when)
	}
	o.Hours = metrics.Spread{Low80: 15.01, Low50: 15.01, Middle: 15.02, High50: 15.03, High80: 15.03}
	if words := o.Sentence().String(); strings.Contains(words, "between") || !strings.Contains(words, "4 in 5 chance about 15 (12 sessions)") {
		t.Error(words)
	}
	o.Uncounted = nil
	if when := o.When(time.UTC).String(); !strings.HasPrefix(when, "Done about ") {
		t.Error(when)
	}
}

// Days between which a forecast lies have their article in German; numbers have none.
func TestDaysBetweenInGerman(t *testing.T) {
	german, ok := say.In("de", nil)
	if !ok {
		t.Fatal("no German")
	}
	one, other := onDay{time.Date(2026, 12, 24, 0, 0, 0, 0, time.UTC)}, onDay{time.Date(2027, 1, 6, 0, 0, 0, 0, time.UTC)}
	for want, is := range map[string]say.Wording{
		"zwischen dem 24.\u00a0Dezember 2026 und dem 6.\u00a0Januar 2027": between(one, other),
		"etwa am 24.\u00a0Dezember 2026":                                  between(one, one),
		"zwischen 4,7 und 9,7":                                            metrics.Between(say.Number("4.7"), say.Number("9.7")),
	} {
		if got := is.In(german); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
