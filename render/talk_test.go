// A week as it is told: which week, what belongs to it, what is private, what is a
// claim.

package render

import (
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/caution"
	"rakelight/render/still"
)

// A week is named by ISO 8601, by a day in it, or by its place; years begin with the
// week that holds 4 January (ISO 8601:2019, 3.1.1.23; the years here are well-known
// cases: 2020 has 53 weeks, 2027-01-01 lies in the last of 2026).
func TestWeekIsNamed(t *testing.T) {
	t.Parallel()
	s := small()
	now := at("2026-11-26")
	for words, want := range map[string]string{
		"2026-W26": "2026-06-22", "2026w26": "2026-06-22", "2026-06-22": "2026-06-22", "2026-06-28": "2026-06-22", "2020-W53": "2020-12-28",
		"2021-W01": "2021-01-04", "2027-01-01": "2026-12-28", "last": "2026-11-16", "2026-W1": "2025-12-29",
	} {
		got, err := WeekOf(s, words, now)
		if err != nil || got.Format(time.DateOnly) != want {
			t.Errorf("%q: %v, %v; want %s", words, got, err, want)
		}
	}
	for _, words := range []string{"2026-W54", "2021-W53", "2026-W00", "soon", "2026-13-01", "W26"} {
		if got, err := WeekOf(s, words, now); err == nil {
			t.Errorf("%q is %v", words, got)
		}
	}
	newest, err := WeekOf(s, "", now)
	last := latestDay(s)
	if err != nil || last.Before(newest) || last.After(newest.AddDate(0, 0, 6)) {
		t.Errorf("the newest is %v, the latest day %v, %v", newest, last, err)
	}
	if _, err := WeekOf(&journal.State{}, "", now); err != ErrNoWeek {
		t.Errorf("of nothing: %v", err)
	}
}

// lines are all lines of a talk.
func (t Talk) lines() string {
	var all []string
	for _, p := range t.Parts {
		all = append(all, p.Title)
		all = append(all, p.Lines...)
	}
	return strings.Join(all, "\n")
}

// toldWeek is a journal with one build and what happened to it in the week of 23 June
// 2026, and a week before.
func toldWeek() *journal.State {
	b := &journal.Build{ID: "boat", Title: "Harbor boat", Started: "2026-06-10",
		Stages: []journal.Stage{{ID: "clean", Kind: "clean", Title: "Cleanup"}, {ID: "paint", Kind: "paint", Title: "Paint"}},
		Kits:   []journal.Kit{{Runners: []journal.Runner{{Letter: "A", Parts: []string{"1", "2", "3", "4"}, Class: "flat"}}}}}
	s := &journal.State{Config: journal.Config{Name: "Bench"}, Zone: time.UTC, Builds: []*journal.Build{b}}
	add := func(day, stage string, minutes, n int, known string) {
		start := at(day).Add(19 * time.Hour)
		one := &journal.Session{ID: day + stage, Build: "boat", Stage: stage, Kind: stage, Class: "flat", Start: start, End: start.Add(time.Duration(minutes) * time.Minute),
			Net: time.Duration(minutes) * time.Minute, Date: day, Known: known, Bare: n, Counted: n > 0}
		s.Sessions = append(s.Sessions, one)
	}
	add("2026-06-16", "clean", 60, 1, journal.Measured)
	add("2026-06-23", "clean", 90, 2, journal.Measured)
	add("2026-06-25", "paint", 30, 1, journal.Remembered)
	s.Diary = []journal.DiaryDay{{Build: "boat", Date: "2026-06-18", Body: "Tomorrow the hull."}, {Build: "boat", Date: "2026-06-23", Title: "Dust", Body: "Your hands, you said, are gray."}}
	s.Mixes = []journal.Mix{{Build: "boat", Name: "hull green", Recipe: []journal.MixPart{{What: "green", Parts: 3}, {What: "thinner", Parts: 1, Thins: true}}, Coats: 2, At: at("2026-06-25").Add(20 * time.Hour)}}
	return s
}

func TestTalkTellsTheWeekInItsOrder(t *testing.T) {
	t.Parallel()
	talk := TalkOf(toldWeek(), at("2026-06-22"), at("2026-06-28"))
	if talk.Week != "2026-W26" || talk.Heading != "Week 26, 22 to 28 June 2026" {
		t.Errorf("%q, %q", talk.Week, talk.Heading)
	}
	var titles []string
	for _, p := range talk.Parts {
		titles = append(titles, p.Title)
	}
	order := []string{"What was planned", "What got done", "Hours and parts", "Beside the build before", "What went wrong, and what it taught", "A tip from the bench", "What waits"}
	if !slices.Equal(titles, order) {
		t.Errorf("%q", titles)
	}
	words := talk.lines()
	for _, want := range []string{
		"on 18 June 2026, were: “Tomorrow the hull.”",
		"2.0 h at the bench in 2 sessions on 2 days: 1.5 h measured and 30 min remembered; 2 parts and 1 coat counted",
		"There is no earlier build with counted work to hold Harbor boat (2026) beside.",
		"No mistake was noted this week.",
		"How hull green was mixed, in parts: 3 green, 1 thinner",
		"Take care: " + caution.For("paint"), // in full, and to those who hear it
		"Tuesday, 23 June: “Dust: Your hands, you said, are gray.”",
	} {
		if !strings.Contains(words, want) {
			t.Errorf("it does not say %q:\n%s", want, words)
		}
	}
	if strings.Contains(words, ownMark) {
		t.Error("marks of quoted words are left")
	}
	// The week before holds nothing of this one, and what waits now is not of it.
	before := TalkOf(toldWeek(), at("2026-06-15"), at("2026-06-28")).lines()
	for _, not := range []string{"hull green", "Dust", "What waits", "paint"} {
		if strings.Contains(before, not) {
			t.Errorf("the week before says %q:\n%s", not, before)
		}
	}
}

// What went wrong after midnight is told of the week of its evening, as the page of that
// week tells it.
func TestTalkOfAnEveningAfterMidnight(t *testing.T) {
	t.Parallel()
	start := at("2026-06-21").Add(21 * time.Hour) // a Sunday
	s := &journal.State{Zone: time.UTC, Builds: []*journal.Build{{ID: "lorry", Title: "Lorry",
		Stages: []journal.Stage{{ID: "seam", Title: "Seams", Kind: "seam"}}}},
		Sessions: []*journal.Session{{ID: "a/1", Build: "lorry", Stage: "seam", Kind: "seam", Start: start,
			End: start.Add(4 * time.Hour), Net: 4 * time.Hour, Date: "2026-06-21", Known: journal.Measured}},
		Mistakes: []journal.Mistake{{Build: "lorry", Stage: "seam", Kind: "late gouge", At: start.Add(210 * time.Minute), Record: "a/2"}}}
	for monday, told := range map[string]bool{"2026-06-15": true, "2026-06-22": false} {
		if words := TalkOf(s, at(monday), at("2026-06-28")).lines(); strings.Contains(words, "late gouge") != told {
			t.Errorf("the week of %s: told %v:\n%s", monday, !told, words)
		}
	}
}

// Nothing private is told, shown or named; a private build is as if it were not there.
func TestTalkLeavesPrivateOut(t *testing.T) {
	t.Parallel()
	s := toldWeek()
	s.Builds[0].Private = true
	for _, talk := range []Talk{TalkOf(s, at("2026-06-22"), at("2026-06-28")), ShortOf(s, at("2026-06-22"), at("2026-06-28"))} {
		if words := talk.lines(); !strings.Contains(words, "Nothing is kept") || strings.Contains(words, "boat") {
			t.Errorf("%s", words)
		}
	}
	if stills := StillsOf(s, at("2026-06-22"), at("2026-06-28"), false); len(stills) > 0 {
		t.Errorf("%d stills", len(stills))
	}
	if _, err := FilmOf(&journal.Journal{State: s}, s.Builds[0], at("2026-06-28"), still.Look{}); err == nil || !strings.Contains(err.Error(), "is private") {
		t.Errorf("a film: %v", err)
	}
}

// The fixture's builds are compared in the words of the pace page alone: the talk names
// a change where that names one, and says so where it does not.
func TestTalkClaimsAsThePacePageDoes(t *testing.T) {
	t.Parallel()
	s := small()
	v := viewForOthers(s, at("2024-06-10"))
	for _, b := range v.order {
		monday := mondayOf(at(b.last))
		talk := TalkOf(s, monday, at("2024-06-10"))
		i := slices.IndexFunc(talk.Parts, func(p TalkPart) bool { return p.Title == "Beside the build before" })
		if i < 0 {
			continue
		}
		words := strings.Join(talk.Parts[i].Lines, "\n")
		earlier := v.countedBefore(b)
		if earlier == nil {
			continue
		}
		c := v.Speed(earlier.Build, b.Build)
		a := inEnglish.paceAnswer(c, earlier.named(), b.named())
		if !strings.Contains(words, said(a.Lead+": "+a.Words)) {
			t.Errorf("%s: %q does not hold %q", b.ID, words, a.Words)
		}
		if claimed := strings.Contains(a.Lead, "faster") || strings.Contains(a.Lead, "slower"); claimed == strings.Contains(words, "no difference that one could tell") {
			t.Errorf("%s: %q", b.ID, words)
		}
	}
}

// The chart of a week has four builds at most, and the files are numbered in the order
// of telling.
func TestStillsOfAWeek(t *testing.T) {
	t.Parallel()
	s := judgedBuilds(12)
	v := viewForOthers(s, time.Time{})
	monday := mondayOf(at(v.order[len(v.order)-1].last))
	stills := StillsOf(s, monday, time.Time{}, true)
	if len(stills) == 0 {
		t.Fatal("no stills")
	}
	charts := 0
	for i, one := range stills {
		if !strings.HasPrefix(one.Name, [...]string{"01", "02", "03", "04", "05", "06", "07", "08", "09", "10", "11", "12"}[i]+"-") || one.Caption == "" || strings.ContainsAny(one.Caption, "\n"+ownMark) {
			t.Errorf("%d: %q, %q", i, one.Name, one.Caption)
		}
		if !strings.Contains(one.Name, "chart") {
			continue
		}
		charts++
		on, err := one.on(nil)
		if err != nil {
			t.Fatal(err)
		}
		if rows := len(on.(still.Chart).Rows); rows < 2 || rows > mostCharted {
			t.Errorf("%d builds in the chart", rows)
		}
	}
	if charts != 1 {
		t.Errorf("%d charts", charts)
	}
}
