// The common rate ratio: against published values, its exact cases, its minutes.

package metrics

import (
	"fmt"
	"math"
	"testing"
)

// Coronary deaths of British doctors who smoke and who do not, in person-years by
// age (Doll and Hill 1966): the combined ratio of Mantel and Haenszel is 1.424682, as
// Stata's manual has it for ir. Both from memory.
func TestCommonRatioPublished(t *testing.T) {
	deaths := [2][]float64{{2, 12, 28, 28, 31}, {32, 104, 206, 186, 102}}
	years := [2][]float64{{18790, 10673, 5710, 2585, 1462}, {52407, 43248, 28612, 12663, 5317}}
	var ages []*matched
	for i := range deaths[0] {
		m := &matched{weight: 1}
		for k := range m.of {
			m.of[k].sumOut, m.of[k].sumHours = deaths[k][i], years[k][i]
		}
		ages = append(ages, m)
	}
	near(t, "doctors", commonRatio(ages), 1.424682, 5e-7)
}

// One kind of work: the common ratio is that of the paces.
func TestCommonRatioOfOneKind(t *testing.T) {
	var a, b []Work
	for i, parts := range []float64{9, 14, 11, 20} {
		a = append(a, clean("a", fmt.Sprint(i), "flat", parts, 1+0.1*float64(i)))
		b = append(b, clean("b", fmt.Sprint(i), "flat", parts+float64(i), 0.9))
	}
	c := LikeForLike(a, b)
	near(t, "speed", c.Speed, c.RawRatio, 1e-12)
	near(t, "Fisher", c.Speed*c.Fisher, 1, 1e-12)
}

// Linearised, the evenings move log speed as leaving out an evening does.
func TestCommonSpreadIsTheDelta(t *testing.T) {
	var a, b []Work
	for i, parts := range []float64{9, 14, 11, 20, 16, 8, 13, 12} {
		for k, kind := range []string{"clean", "paint"} {
			w := clean("a", fmt.Sprint(i, kind), "flat", parts+float64(3*k), 1+0.1*float64(i))
			w.Kind, w.Evening = kind, fmt.Sprint("evening ", i)
			a = append(a, w)
			w.Build, w.Evening, w.Parts = "b", fmt.Sprint("later ", i), 30-parts
			b = append(b, w)
		}
	}
	known := Scatter{CV: 0.3, Shared: 0.5, DF: usualWorth}
	with(known, a, b)
	on := [2]*calendar{calendarOf(pointers(a)), calendarOf(pointers(b))}
	of := matchedOf([2][]*Work{pointers(a), pointers(b)}, on, known)
	phi := commonRatio(of)
	f := newCommonFit(of, on, known, phi)
	for _, m := range of {
		f.add(m)
	}
	const h = 1e-5
	for k, ws := range [2][]Work{a, b} {
		for i := 0; i < len(ws); i += 2 {
			// An evening of a little less weight, the kinds' own weights held.
			block, _ := on[k].at.of(eveningOf(&ws[i]))
			for _, m := range of {
				for l := range m.of[k].loads {
					if x := &m.of[k].loads[l]; x.at == block {
						m.of[k].sumHours -= h * x.hours
						m.of[k].sumOut -= h * x.parts
					}
				}
			}
			near(t, fmt.Sprint(k, i), f.psi[block+k*on[0].n], math.Log(phi/commonRatio(of))/h, 1e-4)
			for _, m := range of {
				for l := range m.of[k].loads {
					if x := &m.of[k].loads[l]; x.at == block {
						m.of[k].sumHours += h * x.hours
						m.of[k].sumOut += h * x.parts
					}
				}
			}
		}
	}
}
