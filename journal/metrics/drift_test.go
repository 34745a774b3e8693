// Drift of the eye and agreement with oneself.

package metrics

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// remarks gives each mark a photo of its own.
func remarks(first, second []float64) []Remark {
	var out []Remark
	for i := range first {
		out = append(out, Remark{fmt.Sprint("photo ", i), first[i], second[i]})
	}
	return out
}

func TestDrift(t *testing.T) {
	first := []float64{3, 3, 2, 4, 3, 2, 3, 3}
	second := []float64{2, 2, 2, 3, 2, 1, 2, 3}
	d, back := DriftOf(remarks(first, second)), DriftOf(remarks(second, first))
	near(t, "mean", d.Mean, -0.75, 1e-12)
	near(t, "turned", back.Mean, 0.75, 1e-12)
	// sd 0.46291, so t = -0.75/0.163663 = -4.582576 on 7 degrees; p by the t table of any
	// textbook between 0.002 (4.785) and 0.005 (4.029).
	near(t, "sd", d.SD, math.Sqrt(1.5/7), 1e-12)
	if !d.Tested || d.PValue <= 0.002 || d.PValue >= 0.005 || d.PValue != back.PValue {
		t.Errorf("%+v", d)
	}
	for _, one := range []*Drift{&d, &back} {
		if s := one.Sentence().String(); !strings.HasPrefix(s, "Whether your eye has changed cannot be told") ||
			!strings.HasSuffix(s, "; among all that this journal compares, that may be chance.") {
			t.Errorf("not claimed, yet: %s", s)
		}
		one.Claimed = true
	}
	if !strings.HasPrefix(d.Sentence().String(), "Your eye became stricter: the same photos get 0.75 points less now (") ||
		!strings.HasPrefix(back.Sentence().String(), "Your eye became kinder") {
		t.Error(d.Sentence().String(), back.Sentence().String())
	}
	if a := Retest(remarks(append(first, 0, 1), append(second, 0, 1))); !a.OK || a.N != 10 || a.Kappa <= 0 || a.Kappa >= 1 {
		t.Errorf("%+v", a)
	}
}

// A range with 0 in it needs no more words.
func TestNoDrift(t *testing.T) {
	d := DriftOf(remarks([]float64{3, 3, 2, 4, 3, 2}, []float64{2, 4, 3, 3, 3, 2}))
	if s := d.Sentence().String(); !strings.HasSuffix(s, "(−0.94 to +0.94; 6 photos marked twice).") {
		t.Error(s)
	}
}

// Twelve marks of one photo, or of four, are one photo, or four: nothing to tell. Photos
// that were marked on more criteria count no more than others.
func TestDriftIsOfPhotos(t *testing.T) {
	for photos := 1; photos <= 4; photos++ {
		var twice []Remark
		for i := range 12 {
			twice = append(twice, Remark{fmt.Sprint(i % photos), 3, float64(2 - i%2)})
		}
		if d := DriftOf(twice); d.OK || d.Tested || d.Interval.OK || d.N != photos || d.Marks != 12 || !strings.Contains(d.Sentence().String(), "not known") {
			t.Errorf("%d photos: %+v", photos, d)
		}
	}
	first, second := []float64{3, 3, 2, 4, 3}, []float64{2, 3, 2, 3, 2}
	once := DriftOf(remarks(first, second))
	thrice := DriftOf(append(remarks(first, second), Remark{"photo 0", 3, 2}, Remark{"photo 0", 3, 2}))
	if thrice.Interval != once.Interval || thrice.PValue != once.PValue || thrice.Marks != 7 {
		t.Errorf("%+v, once %+v", thrice, once)
	}
	alike := DriftOf(remarks([]float64{3, 3, 2, 4, 3}, []float64{2, 2, 1, 3, 2}))
	if alike.Tested || alike.Interval.OK || !alike.OK || !strings.Contains(alike.Sentence().String(), "no range") {
		t.Errorf("all alike: %+v", alike)
	}
}
