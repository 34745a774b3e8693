// What to practise: reasons where the data have them, silence where not.

package metrics

import (
	"strings"
	"testing"
)

func TestPractise(t *testing.T) {
	marks := []Marks{
		{Build: "boat", Criterion: 1, Name: "gates and nubs", Scores: []float64{0, 0, 0, 0, 1, 0}}, // an earlier build
		{Build: "lorry", Criterion: 1, Name: "gates and nubs", Scores: []float64{3, 3, 4, 3, 3}},
		{Build: "lorry", Criterion: 2, Name: "mold lines and flash", Scores: []float64{3, 4, 3, 3, 3}},
		{Build: "lorry", Criterion: 4, Name: "joins", Scores: []float64{1, 2, 1, 1, 2}},
		{Build: "lorry", Criterion: 6, Name: "glue control", Scores: []float64{1}}, // one mark says nothing
		{Build: "lorry", Criterion: 7, Name: "surface", Scores: []float64{3, 3, 3, 4, 3}},
	}
	slips := []Slips{
		{Kind: "gouge", Builds: make([]string, 6), Counts: []float64{1, 1, 2, 1, 1, 14}, Parts: []float64{100, 100, 100, 100, 100, 100}},
		{Kind: "lost part", Builds: make([]string, 6), Counts: []float64{1, 2, 1, 2, 1, 3}, Parts: []float64{100, 100, 100, 100, 100, 100}},
	}
	slower := map[string]Comparison{
		"clean": {OK: true, Verdict: Slower, Speed: 0.7, Interval: Interval{Low: 0.6, High: 0.8, OK: true}, N1: 9, N2: 8},
		"seam":  {OK: true, Verdict: Slower, Speed: 0.5, Interval: Interval{Low: 0.4, High: 0.7, OK: true}, N1: 9, N2: 8},
		"paint": {OK: true, Verdict: Same, Speed: 0.9, Interval: Interval{Low: 0.7, High: 1.2, OK: true}},
	}
	got := Practise(marks, slips, slower)
	if len(got) != 3 || got[0].Mistake != "gouge" || got[1].Criterion != 4 || got[2].Stage != "seam" {
		t.Fatalf("%+v", got)
	}
	for _, a := range got {
		if a.What == "" || !strings.ContainsAny(a.Why, "0123456789") {
			t.Errorf("no reason with a number: %+v", a)
		}
	}
	if got := Practise(marks, slips[1:], map[string]Comparison{"clean": slower["clean"], "seam": slower["seam"]}); len(got) != 3 || got[2].Stage != "clean" {
		t.Errorf("the list is filled from what is there: %+v", got)
	}
}

func TestPractiseIsSilent(t *testing.T) {
	if got := Practise(nil, nil, nil); got != nil {
		t.Errorf("no data: %+v", got)
	}
	even := []Marks{}
	for i := range 6 {
		even = append(even, Marks{Build: "boat", Criterion: i + 1, Scores: []float64{2, 3, 2, 3, 2}})
	}
	slips := []Slips{{Kind: "gouge", Counts: []float64{1, 9}, Parts: []float64{100, 100}}}
	if got := Practise(even, slips, map[string]Comparison{"clean": {Verdict: TooFew, Speed: 0.3}}); got != nil {
		t.Errorf("nothing stands out: %+v", got)
	}
}

// The worst of many steps that differ by luck alone is no advice; one that stands far
// out stays, drawn in, and says so.
func TestPractiseDrawsTheWorstIn(t *testing.T) {
	at := func(speed, width float64) Comparison {
		c := Comparison{OK: true, Speed: speed, Interval: Interval{Low: speed / width, High: speed * width, OK: true}, N1: 9, N2: 8}
		c.Verdict = verdict(c.Interval)
		return c
	}
	lucky := map[string]Comparison{"clean": at(0.8, 1.24), "seam": at(1.05, 1.3), "paint": at(1.1, 1.3), "cut": at(1.2, 1.3), "decal": at(0.98, 1.3),
		"prime": at(1.02, 1.3)}
	if lucky["clean"].Verdict != Slower {
		t.Fatal("the worst is to look slower by itself")
	}
	if got := Practise(nil, nil, lucky); len(got) != 0 {
		t.Errorf("luck is advised: %+v", got)
	}
	lucky["clean"] = at(0.5, 1.24)
	got := Practise(nil, nil, lucky)
	if len(got) != 1 || got[0].Seen != 0.5 || !(got[0].Drawn > 0.5 && got[0].Drawn < 0.7) {
		t.Fatalf("%+v", got)
	}
	if !strings.Contains(got[0].Why, "drawn toward your other steps, because the worst of several looks worse than it is") {
		t.Error(got[0].Why)
	}
	two := map[string]Comparison{"clean": at(0.8, 1.24), "seam": at(1.05, 1.3)}
	if got := Practise(nil, nil, two); len(got) != 1 || got[0].Drawn != got[0].Seen {
		t.Errorf("two show nothing of how they differ: %+v", got)
	}
}
