// What to practise: reasons where the data have them, silence where not.

package metrics

import (
	"math"
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
		{Kind: "gouge", Claimed: true, Builds: make([]string, 6), Counts: []float64{1, 1, 2, 1, 1, 14}, Parts: []float64{100, 100, 100, 100, 100, 100}},
		{Kind: "lost part", Builds: make([]string, 6), Counts: []float64{1, 2, 1, 2, 1, 3}, Parts: []float64{100, 100, 100, 100, 100, 100}},
	}
	slower := map[string]Comparison{
		"clean": {OK: true, Claim: claimedForTest, Speed: 0.7, Interval: Interval{Low: 0.6, High: 0.8, OK: true}, N1: 9, N2: 8},
		"seam":  {OK: true, Claim: claimedForTest, Speed: 0.5, Interval: Interval{Low: 0.4, High: 0.7, OK: true}, N1: 9, N2: 8},
		"paint": {OK: true, Speed: 0.4, Interval: Interval{Low: 0.3, High: 0.6, OK: true}}, // not claimed
	}
	joins := func(criterion int) bool { return criterion == 4 }
	got := Practise(marks, slips, slower, joins)
	if len(got) != 3 || got[0].Mistake != "gouge" || got[1].Criterion != 4 || got[2].Stage != "seam" {
		t.Fatalf("%+v", got)
	}
	for _, a := range got {
		if a.What == "" || !strings.ContainsAny(a.Why, "0123456789") {
			t.Errorf("no reason with a number: %+v", a)
		}
	}
	if got := Practise(marks, slips[1:], map[string]Comparison{"clean": slower["clean"], "seam": slower["seam"]}, joins); len(got) != 3 || got[2].Stage != "clean" {
		t.Errorf("the list is filled from what is there: %+v", got)
	}
}

var claimedForTest = Claim{Tested: true, Claimed: true}

func none(int) bool { return false }

func TestPractiseIsSilent(t *testing.T) {
	if got := Practise(nil, nil, nil, none); got != nil {
		t.Errorf("no data: %+v", got)
	}
	even := []Marks{}
	for i := range 6 {
		even = append(even, Marks{Build: "boat", Criterion: i + 1, Scores: []float64{2, 3, 2, 3, 2}})
	}
	slips := []Slips{{Kind: "gouge", Counts: []float64{1, 9}, Parts: []float64{100, 100}}}
	if got := Practise(even, slips, map[string]Comparison{"clean": {Speed: 0.3}}, func(int) bool { return true }); got != nil {
		t.Errorf("nothing stands out: %+v", got)
	}
	weak := append(even[:5:5], Marks{Build: "boat", Criterion: 6, Scores: []float64{0, 0, 0, 1, 0}})
	far := map[string]Comparison{"clean": {OK: true, Speed: 0.3, Interval: Interval{Low: 0.2, High: 0.4, OK: true}}}
	if got := Practise(weak, []Slips{{Kind: "gouge", Counts: []float64{1, 1, 1, 1, 60}, Parts: []float64{100, 100, 100, 100, 100}}}, far, none); got != nil {
		t.Errorf("what is not claimed is advised: %+v", got)
	}
}

// The worst of many steps that differ by luck alone is no advice; one that stands far
// out stays, drawn in, and says so.
func TestPractiseDrawsTheWorstIn(t *testing.T) {
	at := func(speed, width float64) Comparison {
		c := Comparison{OK: true, Speed: speed, Interval: Interval{Low: speed / width, High: speed * width, OK: true}, N1: 9, N2: 8}
		c.Claim = claimedForTest
		return c
	}
	lucky := map[string]Comparison{"clean": at(0.8, 1.24), "seam": at(1.05, 1.3), "paint": at(1.1, 1.3), "cut": at(1.2, 1.3), "decal": at(0.98, 1.3),
		"prime": at(1.02, 1.3)}
	if got := Practise(nil, nil, lucky, none); len(got) != 0 {
		t.Errorf("luck is advised: %+v", got)
	}
	lucky["clean"] = at(0.5, 1.24)
	got := Practise(nil, nil, lucky, none)
	if len(got) != 1 || got[0].Seen != 0.5 || !(got[0].Drawn > 0.5 && got[0].Drawn < 0.7) {
		t.Fatalf("%+v", got)
	}
	if !strings.Contains(got[0].Why, "drawn toward your other stages, because the worst of several looks worse than it is") {
		t.Error(got[0].Why)
	}
	two := map[string]Comparison{"clean": at(0.8, 1.24), "seam": at(1.05, 1.3)}
	if got := Practise(nil, nil, two, none); len(got) != 1 || got[0].Drawn != got[0].Seen {
		t.Errorf("two show nothing of how they differ: %+v", got)
	}
}

// The gap of a criterion to the others: Student's t with the pooled variance where
// all have one, whatever the marks are moved by.
func TestGapToRest(t *testing.T) {
	all := []Marks{{Scores: []float64{1, 2, 1, 1, 2}}, {Scores: []float64{3, 3, 4, 4, 3}}}
	gap := gapToRest(all, 0)
	// By hand: means 1.4 and 3.4, variance 0.3 each over 5, so se² = 0.12, on the 4
	// degrees of its own and the 8 of both for the other.
	near(t, "gap", gap.Value, -2, 1e-12)
	near(t, "p", gap.PValue, chanceOfT(2/math.Sqrt(0.12), 0.0144/(0.0036/4+0.0036/8)), 1e-12)
	// Equal marks do not feign certainty.
	equal := []Marks{{Scores: []float64{2, 2, 2, 2, 2}}, {Scores: []float64{3, 3, 3, 3, 3}}}
	near(t, "equal", gapToRest(equal, 0).PValue, chanceOfT(1/math.Sqrt(2*markRounding/5), 32.0/3), 1e-12)
	if gapToRest([]Marks{{Scores: []float64{0, 0, 0, 0}}, all[1]}, 0).Tested {
		t.Error("four marks are judged")
	}
}
