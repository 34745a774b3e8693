// This file is the scales that grits are counted on, and the grains of one of them.

package sanding

// Scales are whose numbers grits bear. They are not one scale: 600 of one is as fine
// as 1200 of another, and makers of pads, cloths and files count on their own.
var Scales = []string{"P", "CAMI", "JIS", "maker"}

// medians are the median grain sizes of the P grades in micrometers: ISO 6344-3:1998
// and FEPA 43-2, from memory; P240 to P1200 agree with a published list, but for
// P280 (testdata/reference/12_abrasive_p_grades.csv). P3000 and P5000 are in the
// edition of 2021, whose sizes were not seen.
var medians = map[int]float64{
	240: 58.5, 280: 52.2, 320: 46.2, 360: 40.5, 400: 35.0, 500: 30.2, 600: 25.8, 800: 21.8, 1000: 18.3, 1200: 15.3,
	1500: 12.6, 2000: 10.3, 2500: 8.4,
}

// Median is the median grain size in micrometers of the grit, where it is known: of
// the P grades from P240 to P2500.
func (s Step) Median() (micrometers float64, ok bool) {
	if s.Scale != "P" {
		return 0, false
	}
	micrometers, ok = medians[s.Grit]
	return micrometers, ok
}

// Leap is two steps that do not follow each other well.
type Leap struct {
	From, To Step
	Coarser  bool // the later one is the coarser; else it skips too much
}

// Leaps are the steps of a plan that follow each other badly: one coarser than that
// before, or of more than 2.25 times its number, so that the scratches before are
// finer work than it can do. A doubling is common practice, no source; 2.25 lets
// P400 to P800 and P320 to P600 pass with room for a maker's numbers. Steps on two
// scales are never compared.
func Leaps(steps []Step) []Leap {
	var out []Leap
	for i := 1; i < len(steps); i++ {
		a, b := steps[i-1], steps[i]
		switch {
		case a.Grit == 0 || b.Grit == 0 || a.Scale != b.Scale:
		case b.Grit < a.Grit:
			out = append(out, Leap{a, b, true})
		case float64(b.Grit) > 2.25*float64(a.Grit):
			out = append(out, Leap{a, b, false})
		}
	}
	return out
}
