// The pages of skill, forecast, mistakes and trials: what they say where there
// is nothing to say, and that they call out only what the numbers do.

package render

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// pageOf is one page of a state.
func pageOf(t *testing.T, s *journal.State, path string) string {
	t.Helper()
	for _, f := range render(t, viewOf(s, time.Time{}, nil)) {
		if f.path == path {
			return string(f.data)
		}
	}
	t.Fatalf("there is no page %s", path)
	return ""
}

// Each page without anything to show says in a sentence what to type.
func TestEmptyPagesTeach(t *testing.T) {
	for page, command := range map[string]string{
		"skill.html": "rakelight judge", "forecast.html": "rakelight forecast", "mistakes.html": "rakelight mistake mail-seaplane gouge",
		"trials.html": "rakelight trial begin", "pace.html": "rakelight on",
	} {
		s := &journal.State{Config: journal.Config{Name: "New bench"}, Zone: time.UTC}
		if text := pageOf(t, s, page); !strings.Contains(text, "<code>"+command) || strings.Contains(text, "<section") {
			t.Errorf("%s of an empty journal does not say %q, or has sections", page, command)
		}
	}
	// Photos and sessions without a verdict or a mark: the page asks for one.
	s := small()
	s.Verdicts, s.Marks = nil, nil
	if text := pageOf(t, s, "skill.html"); !strings.Contains(text, "<code>rakelight judge") || strings.Contains(text, "would be picked over") {
		t.Error("without verdicts the page does not ask for some")
	}
	for _, b := range s.Builds {
		b.Finished = "2024-07-01"
	}
	if text := pageOf(t, s, "forecast.html"); !strings.Contains(text, "No build is open, so nothing is left") || !strings.Contains(text, "How good the forecasts were") {
		t.Error("with all builds finished the page does not say so")
	}
}

// steady is a journal of builds with a hundred parts each and so many mistakes.
func steady(mistakes ...int) *journal.State {
	s := &journal.State{Config: journal.Config{Name: "Bench"}, Zone: time.UTC}
	for i, n := range mistakes {
		id := fmt.Sprintf("boat-%d", i)
		start := at(fmt.Sprintf("20%02d-03-01", 10+i))
		s.Builds = append(s.Builds, &journal.Build{ID: id, Title: id, Started: start.Format(time.DateOnly)})
		s.Sessions = append(s.Sessions, &journal.Session{
			ID: "dev/" + id, Build: id, Stage: "clean", Kind: "clean", Start: start, End: start.Add(5 * time.Hour), Net: 5 * time.Hour,
			Date: start.Format(time.DateOnly), Known: journal.Measured, Bare: 100, Counted: true,
		})
		for range n {
			s.Mistakes = append(s.Mistakes, journal.Mistake{Build: id, Stage: "clean", Kind: "gouge", At: start})
		}
	}
	return s
}

// A point outside the expected range is drawn and said to be there, and is no claim: that
// is made of the last build against those before it, when the family allows it.
func TestMistakesShowWhatTheChartFlags(t *testing.T) {
	for _, c := range []struct {
		name     string
		mistakes []int
		flagged  string
		limits   bool
		claimed  bool
	}{
		{"four builds, one bad", []int{3, 4, 2, 40}, "", false, false},
		{"five alike", []int{3, 4, 2, 3, 5}, "", true, false},
		{"a little more is chance", []int{3, 4, 2, 3, 9}, "", true, false},
		{"six, the last bad", []int{3, 4, 2, 3, 4, 22}, "boat-5", true, true},
		{"six, the first bad", []int{22, 3, 4, 2, 3, 4}, "boat-0", true, false},
	} {
		text := pageOf(t, steady(c.mistakes...), "mistakes.html")
		found := regexp.MustCompile(`(?m)(boat-\d)</a>.*above the range`).FindStringSubmatch(text)
		if (found != nil) != (c.flagged != "") || found != nil && found[1] != c.flagged {
			t.Errorf("%s: above the range %v, want %q", c.name, found, c.flagged)
		}
		if got := strings.Contains(text, "has more than the builds before: "); got != c.claimed {
			t.Errorf("%s: the last build is called worse: %v", c.name, got)
		}
		if got := strings.Contains(text, "against the builds before: "); got != (c.limits && !c.claimed) {
			t.Errorf("%s: the last build is set against those before it: %v", c.name, got)
		}
		if drawn := strings.Contains(text, `class="cap"`); drawn != c.limits {
			t.Errorf("%s: limits drawn %v, want %v", c.name, drawn, c.limits)
		}
	}
}

func TestMistakesAreClaimedWhenAllowed(t *testing.T) {
	s := steady(3, 4, 2, 3, 4, 22)
	slips := s.Slips()[0]
	for _, claimed := range []bool{false, true} {
		slips.Claimed = claimed
		_, _, verdict := viewOf(s, time.Time{}, nil).slipChart(slips, "Gouge", false)
		if strings.Contains(verdict, "has more than the builds before: 6.88 times as many (") != claimed {
			t.Errorf("claimed %v: %s", claimed, verdict)
		}
	}
}

// Kinds of mistake that look alike to an address keep places of their own.
func TestSlipIDsDiffer(t *testing.T) {
	s := steady(1)
	for _, kind := range []string{"glue smear", "glue-smear", "Glue smear", "bös"} {
		s.Mistakes = append(s.Mistakes, journal.Mistake{Build: "boat-0", Kind: kind, At: at("2010-03-01")})
	}
	ids := viewOf(s, time.Time{}, nil).slipIDs()
	seen := map[string]bool{}
	for kind, id := range ids {
		if seen[id] || strings.ContainsAny(id, " \"<>") {
			t.Errorf("%q has the place %q, as another", kind, id)
		}
		seen[id] = true
	}
	if len(ids) != 5 {
		t.Error(ids)
	}
}

// A sentence says that neither is called better unless the chance is claimed, and
// the pages have no other word of better or less good work.
func TestNoBetterWithoutAClaim(t *testing.T) {
	sentence := regexp.MustCompile(`[^<>]* would be picked over [^<]*?times in 100[^<]*`)
	n := 0
	for _, f := range render(t, smallView()) {
		for _, m := range sentence.FindAllString(string(f.data), -1) {
			n++
			if !strings.Contains(m, "either better") && !strings.Contains(m, "neither is called better") {
				t.Errorf("%s: %s", f.path, m)
			}
		}
		if said := string(f.data); strings.Contains(said, "Your work looks") {
			t.Errorf("%s claims what is not claimed", f.path)
		}
	}
	if n < 4 {
		t.Errorf("only %d sentences", n)
	}
}

// Ticks on a calendar stand in order inside the span, however short or long.
func TestMonthTicks(t *testing.T) {
	for _, days := range []float64{0.5, 20, 90, 400, 4000, 40000} {
		lo := float64(at("2026-11-21").Unix()) / 86400
		for _, ticks := range [][]tickAt{inEnglish.monthTicks(lo, lo+days, 5), inEnglish.yearTicks(lo, lo+days, 5)} {
			last := lo - 1
			for _, tick := range ticks {
				if tick.at <= last || tick.at < lo || tick.at > lo+days {
					t.Errorf("%v days: %v", days, ticks)
				}
				last = tick.at
			}
			if len(ticks) == 0 || len(ticks) > 14 {
				t.Errorf("%v days: %d ticks", days, len(ticks))
			}
		}
	}
}

// What build.md counts is told in its own unit, and stages that are counted
// through are named whatever they are counted in.
func TestForecastCountsTotals(t *testing.T) {
	s := small()
	s.Builds = append(s.Builds, &journal.Build{
		ID: "lorry", Title: "Lorry", Started: "2024-06-01", Totals: map[string]int{"decal": 8, "seam": 1},
		Stages: []journal.Stage{{ID: "seam", Title: "Joins", Kind: "seam"}, {ID: "decal", Title: "Decals", Kind: "decal"}, {ID: "weather", Title: "Weathering", Kind: "weather"}, {ID: "paint", Title: "Paint", Kind: "paint"}},
	})
	s.Sessions = append(s.Sessions, &journal.Session{ID: "d/99", Build: "lorry", Stage: "seam", Kind: "seam", Date: "2024-06-02", Start: at("2024-06-02"), Net: time.Hour, Bare: 1, Counted: true, Known: journal.Measured})
	text := pageOf(t, s, "forecast.html")
	_, text, _ = strings.Cut(text, `id="build-lorry"`)
	text, _, _ = strings.Cut(text, "</section>")
	for _, want := range []string{"8 decals", `Already finished: <a href="builds/lorry.html#stage-seam">joins</a>.`, ">paint</a>", "<code>totals: {paint: 12}</code>"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q:\n%s", want, text)
		}
	}
	if strings.Contains(text, "8 parts") {
		t.Error("decals are called parts")
	}
}

// The words for a drawing give its numbers in the drawing's unit.
func TestWordsHaveTheUnitOfTheDrawing(t *testing.T) {
	rows := []Reading{{Label: "Clean", Value: -0.07, Low: -0.15, High: 0.01, Interval: true, Say: inEnglish.changeOf}}
	if got := inEnglish.altOf("Learning", rows, "change"); got != "Learning, change: Clean −7\u00a0% (−15\u00a0% to +1\u00a0%)." {
		t.Error(got)
	}
	charts := inEnglish.rowCharts("", axis{lo: -0.2, hi: 0.2, word: inEnglish.changeOf}, rows)
	if m := charts[0].Marks[0]; m.Value != "−7\u00a0%" {
		t.Errorf("drawn as %q", m.Value)
	}
}
