// Tests of the parts ledger.

package journal

import (
	"testing"
	"time"

	"rakelight/journal/plan"
)

const ledgerPlan = `---
title: Pilot boat
runners:
  - {letter: A, parts: "1-4", class: flat, not-used: "4", missing: "3", classes: {small: "2"}}
  - {letter: B, parts: 2, class: curved}
stages: [cut, clean, paint]
---
`

func ledgerState(t *testing.T, records ...Record) (*State, *Build) {
	t.Helper()
	b, problems := plan.ParseBuild("pilot-boat", []byte(ledgerPlan))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	s := Fold(Plan{Builds: []*Build{b}}, records)
	return s, s.Build("pilot-boat")
}

// The ledger tells of each part what was done to it, and what was opened again.
func TestLedger(t *testing.T) {
	at := time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)
	rec := func(seq int64, body Body) Record {
		t.Helper()
		r, err := suppose(body, nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Dev, r.Seq, r.At = "bench", seq, at.Add(time.Duration(seq)*time.Minute)
		return r
	}
	a := func(n string) PartRef { return PartRef{Runner: "A", Number: n, Count: 1} }
	s, b := ledgerState(t,
		rec(1, BeginBody{Build: "pilot-boat", Stage: "cut", Kind: "cut", Start: at}),
		rec(2, DoneBody{Session: "bench/1", Parts: []PartRef{a("1"), a("2")}, At: at.Add(5 * time.Minute)}),
		rec(3, DoneBody{Session: "bench/1", Count: 3, At: at.Add(6 * time.Minute)}),
		rec(4, EndBody{Session: "bench/1", End: at.Add(time.Hour)}),
		rec(5, WorkBody{Build: "pilot-boat", Stage: "clean", Kind: "clean", Date: "2026-03-15", Minutes: 20, Known: Remembered, Parts: []PartRef{a("1"), {Runner: "C", Number: "9", Count: 1}}}),
		rec(6, ReopenBody{Build: "pilot-boat", Stage: "cut", Parts: []PartRef{a("2")}, Why: "stub left", At: at.Add(26 * time.Hour)}),
	)
	runners := s.Ledger(b)
	if len(runners) != 3 || runners[0].Name() != "A" || runners[2].Letter != "C" || runners[2].Parts[0].Use != Unknown {
		t.Fatalf("runners: %+v", runners)
	}
	r := runners[0]
	for _, c := range []struct {
		number, stage string
		stands        PartState
		use           PartUse
		class         string
	}{
		{"1", "cut", PartDone, ForUse, "flat"}, {"1", "clean", PartDone, ForUse, "flat"}, {"2", "cut", PartOpened, ForUse, "small"},
		{"2", "clean", NotDone, ForUse, "small"}, {"3", "cut", NotDone, Missing, "flat"}, {"4", "cut", NotDone, NotUsed, "flat"},
	} {
		p := r.Part(c.number)
		if p == nil || p.Stands[c.stage] != c.stands || p.Use != c.use || p.Class != c.class {
			t.Errorf("A%s in %s: %+v, want %+v", c.number, c.stage, p, c)
		}
	}
	if left, all := r.Left("cut"); left != 2 || all != 3 {
		t.Errorf("left of cut: %d of %d, want 2 of 3", left, all)
	}
	if len(r.Stages) != 2 {
		t.Errorf("paint counts coats, and no part was named there: %d stages", len(r.Stages))
	}
	story := r.Part("2").Story
	if len(story) != 2 || s.Tell(story[1]) != "2026-03-15 21:00  cut opened again: stub left (session bench/1)" || s.Tell(story[0]) != "2026-03-14 19:05  cut done (session bench/1)" {
		t.Errorf("story of A2: %v", story)
	}
	// What the session counts is what its tallies make up, and the classes of
	// parts are those of the forecast, too.
	for _, one := range s.Sessions {
		sum := 0
		for _, tally := range one.Tallies {
			n := tally.Bare
			for _, p := range tally.Parts {
				n += p.Count
			}
			if tally.Back {
				n = -n
			}
			sum += n
		}
		if sum != one.Done() {
			t.Errorf("session %s: tallies make %d, done is %d", one.ID, sum, one.Done())
		}
	}
	total, known := b.Kits[0].PartsByClass()
	if !known || total["small"] != 1 || total["flat"] != 2 || total["curved"] != 2 {
		t.Errorf("parts by class: %v", total)
	}
}
