// Tests of plans, grits and how they are written.

package sanding

import (
	"encoding/csv"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The grain sizes are those of the table: ISO 6344-3:1998 / FEPA 43-2, from memory,
// with what another published list has. Where that list gives one number, ours lies
// within the tolerance of the standard.
func TestMediansAreThoseOfTheTable(t *testing.T) {
	f, err := os.Open("../../testdata/reference/12_abrasive_p_grades.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string) float64 {
		n, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	seen := 0
	for _, row := range rows[1:] {
		grit, err := strconv.Atoi(strings.TrimPrefix(row[0], "P"))
		if err != nil {
			t.Fatal(err)
		}
		got, ok := Step{Grit: grit, Scale: "P"}.Median()
		if !ok || got != number(row[1]) {
			t.Errorf("%s: %v %v, the table has %s", row[0], got, ok, row[1])
		}
		if elsewhere := strings.TrimSpace(row[3]); elsewhere != "" && !strings.Contains(elsewhere, "(") {
			seen++
			if d := got - number(elsewhere); d > number(row[2]) || d < -number(row[2]) {
				t.Errorf("%s: %v, seen elsewhere %s ± %s", row[0], got, elsewhere, row[2])
			}
		}
	}
	if len(medians) != len(rows)-1 || seen < 9 {
		t.Errorf("%d sizes, the table has %d; %d seen elsewhere", len(medians), len(rows)-1, seen)
	}
	// Finer numbers are smaller grains.
	grits := slices.Sorted(func(yield func(int) bool) {
		for g := range medians {
			if !yield(g) {
				return
			}
		}
	})
	for i := 1; i < len(grits); i++ {
		if medians[grits[i]] >= medians[grits[i-1]] {
			t.Errorf("P%d is not finer than P%d", grits[i], grits[i-1])
		}
	}
	for _, s := range []Step{{}, {Grit: 400, Scale: "CAMI"}, {Grit: 400, Scale: "maker"}, {Grit: 5000, Scale: "P"}, {Grit: 401, Scale: "P"}} {
		if um, ok := s.Median(); ok {
			t.Errorf("%s has %v µm", s.Grade(), um)
		}
	}
}

// Every default goes from coarse to fine without a leap, on one scale, and each step
// ends with a check. Where it starts and ends is the table of common practice that
// the defaults were made from (no source): the rows below are that table.
func TestDefaults(t *testing.T) {
	for _, surface := range Surfaces {
		for _, finish := range Finishes {
			for _, remove := range Removes {
				p := For(nil, surface, finish, remove)
				name := surface + " " + finish + " " + remove
				if len(p.Steps) < 2 || p.Own || len(p.Hints) == 0 {
					t.Errorf("%s: %+v", name, p)
				}
				if leaps := Leaps(p.Steps); len(leaps) > 0 {
					t.Errorf("%s: %v", name, leaps)
				}
				for _, s := range p.Steps {
					if s.Check == "" || s.Backing == "" || s.Grit > 0 && s.Scale != "P" {
						t.Errorf("%s: %+v", name, s)
					}
					if again, err := ParseStep(s.String()); err != nil || again != s {
						t.Errorf("%s: %q is read as %+v, %v", name, s, again, err)
					}
					if (surface == "resin" || surface == "clear") && !s.Wet && s.Grit > 0 {
						t.Errorf("%s: %s is dry", name, s)
					}
				}
			}
		}
	}
	for _, c := range []struct {
		surface, finish, remove, from, to string
	}{
		{"flat", "primed", "nub", "P400", "P800"}, {"flat", "primed", "filler", "P320", "P800"},
		{"curved", "primed", "seam", "P320", "P800"}, {"small", "bare-matte", "nub", "P600", "P1000"},
		{"flat", "bare-gloss", "nub", "P800", "polish"}, {"clear", "primed", "nub", "P1500", "polish"},
		{"clear", "bare-gloss", "scratches", "P2000", "polish"}, {"resin", "primed", "nub", "P320", "P800"},
	} {
		steps := For(nil, c.surface, c.finish, c.remove).Steps
		if got := steps[0].Grade() + " " + steps[len(steps)-1].Grade(); got != c.from+" "+c.to {
			t.Errorf("%s %s %s: %s, want %s to %s", c.surface, c.finish, c.remove, got, c.from, c.to)
		}
	}
	for _, words := range [][3]string{{"", "primed", "nub"}, {"flat", "", "nub"}, {"flat", "primed", ""}, {"round", "primed", "nub"}} {
		if p := For(nil, words[0], words[1], words[2]); len(p.Steps) > 0 {
			t.Errorf("%v: %v", words, p.Steps)
		}
	}
}

// A person's plan stands in the place of a default, and the more it names the more
// it counts.
func TestOwnPlans(t *testing.T) {
	step := func(grit int) []Step { return []Step{{Grit: grit, Scale: "maker"}} }
	own := []Plan{
		{Steps: step(1)}, {Surface: "flat", Steps: step(2)}, {Surface: "flat", Remove: "nub", Steps: step(3)},
		{Finish: "primed", Remove: "seam", Steps: step(4)}, {Surface: "flat", Remove: "nub", Steps: step(5)},
		{Surface: "clear", Finish: "primed", Remove: "nub", Steps: step(6)},
	}
	for _, c := range []struct {
		surface, finish, remove string
		want                    int
	}{
		{"curved", "primed", "nub", 1}, {"flat", "primed", "line", 2}, {"flat", "primed", "nub", 5},
		{"flat", "primed", "seam", 4}, {"clear", "primed", "nub", 6}, {"clear", "bare-gloss", "nub", 1},
	} {
		p := For(own, c.surface, c.finish, c.remove)
		if !p.Own || len(p.Steps) != 1 || p.Steps[0].Grit != c.want {
			t.Errorf("%v: %+v", c, p)
		}
	}
	if p := For(own[1:], "curved", "primed", "nub"); p.Own || p.Steps[0].Grade() != "P400" {
		t.Errorf("plans for others are taken: %+v", p)
	}
}

func TestParseStep(t *testing.T) {
	for text, want := range map[string]Step{
		"P400":                              {Grit: 400, Scale: "P"},
		" p400  on hard block , wet":        {Grit: 400, Scale: "P", Backing: "hard block", Wet: true},
		"CAMI 600 on sponge: level: really": {Grit: 600, Scale: "CAMI", Backing: "sponge", Check: "level: really"},
		"cami600 wet":                       {Grit: 600, Scale: "CAMI", Wet: true},
		"Maker 12000":                       {Grit: 12000, Scale: "maker"},
		"polish on soft cloth":              {Backing: "soft cloth"},
		"Polish: it shines":                 {Check: "it shines"},
	} {
		if got, err := ParseStep(text); got != want || err != nil {
			t.Errorf("%q: %+v, %v", text, got, err)
		}
	}
	for text, why := range map[string]string{
		"400": "P400, CAMI 400", "#600 on sponge": "maker 600", "": "is not a step", "P": "is not a step", "P0": "no grit",
		"fine": "is not a step", "P99999": "no grit", "P400 sponge": "is not a step", "P99999999999999999999": "no grit",
	} {
		if s, err := ParseStep(text); err == nil || !strings.Contains(err.Error(), why) || s != (Step{}) {
			t.Errorf("%q: %+v, %v", text, s, err)
		}
	}
	steps, err := ParseSteps("P400 on sponge: level; P600; ; polish")
	if err != nil || !reflect.DeepEqual(steps, []Step{{Grit: 400, Scale: "P", Backing: "sponge", Check: "level"}, {Grit: 600, Scale: "P"}, {}}) {
		t.Errorf("%+v, %v", steps, err)
	}
}

func TestLeaps(t *testing.T) {
	steps, err := ParseSteps("P400; P600; P1500; P1000; CAMI 600; maker 12000; polish")
	if err != nil {
		t.Fatal(err)
	}
	want := []Leap{{steps[1], steps[2], false}, {steps[2], steps[3], true}}
	if got := Leaps(steps); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v", got)
	}
}

// What is read is written so that it is read as the same.
func FuzzParseStep(f *testing.F) {
	for _, text := range []string{"P400 on hard block, wet: level", "maker 3 on x on y wet", "polish wet", "400", "P1 on , wet:", "P1 on on on wet wet"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseStep(text)
		if err != nil {
			if s != (Step{}) {
				t.Fatalf("%q: %+v beside %v", text, s, err)
			}
			return
		}
		if again, err := ParseStep(s.String()); err != nil || again != s {
			t.Fatalf("%q is %+v, written %q, read as %+v, %v", text, s, s.String(), again, err)
		}
	})
}
