// Learn against tables and hand-made curves, and where it refuses.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal/say"

	"gonum.org/v1/gonum/stat/distuv"
)

// The published table of the unit model, each unit a session of its own, then several in
// one: a rate is what the table's columns are named by.
func TestLearnOfThePublishedTable(t *testing.T) {
	units, lots := map[string][]Work{}, map[string][]Work{}
	until, spent := map[string]float64{}, map[string]float64{}
	for _, row := range table(t, "02_learning_table.csv") {
		of := row["rate_percent"]
		n, all := num(t, row["unit"]), num(t, row["cumulative_factor"])
		near(t, of+" %, unit "+row["unit"], unitFactor(num(t, of)/100, n), num(t, row["unit_factor"]), 0.5001e-4)
		units[of] = append(units[of], onDay(n, 1, num(t, row["unit_factor"])))
		if slices.Contains([]float64{1, 3, 6, 10, 15, 21, 28}, n) {
			lots[of] = append(lots[of], onDay(n, n-until[of], all-spent[of]))
			until[of], spent[of] = n, all
		}
	}
	for of := range units {
		near(t, of+" %", Learn(units[of]).Rate, num(t, of)/100, 1e-4)
		near(t, of+" %, in lots", Learn(lots[of]).Rate, num(t, of)/100, 0.005)
	}
	if len(units) != 6 {
		t.Errorf("%d rates", len(units))
	}
}

// Published worked examples that give the hours of single units and of all up to one, as
// sessions. They are fewer than Learn asks for, so the fit alone is asked; a session is put
// at the middle of its parts, where a lot of a hundred units does not quite belong.
//
// Stevenson W.J., Operations Management, supplement to chapter 7, example 1 (answers from
// memory); the vignette of the R package learningCurve of the AFIT (seen).
func TestFitOfPublishedExamples(t *testing.T) {
	for _, c := range []struct {
		rate float64
		ws   []Work
	}{
		{0.80, []Work{onDay(1, 1, 300), onDay(4, 3, 1121.40-300-178.80), onDay(5, 1, 178.80), onDay(18, 13, 2914.80-1121.40)}},
		{0.85, []Work{onDay(1, 1, 100), onDay(124, 123, 5201.085-100-32.23647), onDay(125, 1, 32.23647)}},
	} {
		var l Learning
		l.settle(fitRoughly(l.lessons(pointers(c.ws), func(string) float64 { return 0 }), scatterOf(pointers(c.ws)...)))
		near(t, "rate", l.Rate, c.rate, 0.01)
	}
}

// onDay is a session of the n-th day.
func onDay(n, parts, hours float64) Work {
	w := clean("b", fmt.Sprintf("s%03.0f", n), "flat", parts, hours)
	w.Start = time.Date(2026, 1, int(n), 19, 0, 0, 0, time.UTC)
	return w
}

// unitFactor is the time of the n-th part over that of the first (Crawford's unit model).
func unitFactor(rate, n float64) float64 { return math.Pow(n, math.Log2(rate)) }

// curveOf makes sessions of 10 parts that follow the curve to the dot.
func curveOf(n int, rate float64, classes ...string) []Work {
	var ws []Work
	done := 0.0
	for i := range n {
		class := classes[i%len(classes)]
		h := (1 + float64(i%len(classes))) * 10 * 0.2 * unitFactor(rate, done+5.5)
		w := clean("b", fmt.Sprintf("s%03d", i), class, 10, h)
		w.Start = time.Date(2026, 1, 1+i, 19, 0, 0, 0, time.UTC)
		ws = append(ws, w)
		done += 10
	}
	return ws
}

func TestLearnFindsTheRate(t *testing.T) {
	for _, rate := range []float64{0.75, 0.9, 1, 1.1} {
		l := Learn(curveOf(10, rate, "flat", "curved"))
		if !l.OK || !l.Interval.contains(l.Rate) || l.Flat {
			t.Fatalf("%+v", l)
		}
		near(t, "rate", l.Rate, rate, 1e-6)
	}
}

func TestLearnFlattens(t *testing.T) {
	ws := curveOf(10, 0.6, "flat")
	last := ws[9].Hours
	for i := range 14 {
		w := clean("b", fmt.Sprintf("t%03d", i), "flat", 10, last*(1+0.02*float64(i%2)))
		w.Start = time.Date(2026, 3, 1+i, 19, 0, 0, 0, time.UTC)
		ws = append(ws, w)
	}
	l := Learn(ws)
	if s := l.Sentence("Clean", "part").String(); !l.Flat || !strings.HasSuffix(s, "; among all that this journal compares, that may be chance.") {
		t.Errorf("flat %v, recent %.3f, not claimed: %s", l.Flat, l.Recent, s)
	}
	l.Claimed = true
	if s := l.Sentence("Clean", "part").String(); !strings.HasSuffix(s, "; of late the curve is flat.") {
		t.Errorf("claimed: %s", s)
	}
	if l := Learn(curveOf(24, 0.6, "flat")); l.Flat {
		t.Errorf("a curve that goes on falling is called flat: recent %.3f", l.Recent)
	}
}

func TestLearnRefuses(t *testing.T) {
	undated := curveOf(8, 0.8, "flat")
	for i := range undated {
		undated[i].Start = time.Time{}
	}
	big := curveOf(8, 0.8, "flat")
	big[0].Parts = 1000
	for name, ws := range map[string][]Work{
		"nothing": nil, "five sessions": curveOf(5, 0.8, "flat"), "no dates": undated, "no doublings": big,
		"each class once": curveOf(6, 0.8, "a", "b", "c", "d", "e", "f"),
	} {
		if l := Learn(ws); l.OK || !l.Why.Any() || l.Interval.OK {
			t.Errorf("%s: %+v", name, l)
		}
	}
}

// What must not matter does not, and what must does.
func TestLearnMetamorphic(t *testing.T) {
	ws := curveOf(12, 0.8, "flat", "curved")
	for i := range ws {
		ws[i].Hours *= 1 + 0.1*float64(i%3)
	}
	l := Learn(ws)
	if got := Learn(shuffled(ws, 4)); !reflect.DeepEqual(got, l) {
		t.Errorf("shuffled: %+v\nwas %+v", got, l)
	}
	slow := shuffled(ws, 5)
	for i := range slow {
		slow[i].Hours *= 2
	}
	near(t, "rate at half the speed", Learn(slow).Rate, l.Rate, 1e-7)
	more := Learn(append(shuffled(ws, 6), clean("b", "zz", "flat", 0, 0)))
	if more.Rate != l.Rate || more.Interval != l.Interval {
		t.Error("an empty session moves the rate")
	}
	var halves []Work // each session written in two lines
	for _, w := range ws {
		w.Parts, w.Hours = w.Parts/2, w.Hours/2
		halves = append(halves, w, w)
	}
	if got := Learn(halves); got.N != l.N || math.Abs(got.Rate-l.Rate) > 1e-9 {
		t.Errorf("written in two lines each: %d sessions, rate %v, was %v", got.N, got.Rate, l.Rate)
	}
}

// kits are builds of the same person, each of so many evenings, 8 % off at each
// doubling unless the rate says otherwise.
func kits(seed uint64, builds int, rate float64) []Work {
	rng := rand.New(rand.NewPCG(seed, 1))
	return learner{learn: rate, sd: 0.2, kit: 0.1}.builds(rng, builds, 8)
}

// Two or three builds do not show how kits differ; one speaks for itself.
func TestLearnAsksForBuilds(t *testing.T) {
	for builds, want := range map[int]bool{1: true, 2: false, 3: false, 4: true, 5: true} {
		ws := kits(3, builds, 0.8)
		for what, l := range map[string]Learning{"one kind": Learn(ws), "together": LearnTogether(ws, nil)} {
			if l.OK != want || l.Tested != want || l.Interval.OK != want || l.Builds != builds {
				t.Errorf("%d builds, %s: %+v", builds, what, l)
			}
			why := Because("kits differ, and %s do not show by how much; %d needed",
				say.Count{N: builds, Noun: "build"}, enoughBuilds)
			if !want && l.Why != tooFew(why) {
				t.Errorf("%d builds, %s: %s", builds, what, l.Why)
			}
		}
	}
}

// The p value is 0.05 exactly where the interval touches no change.
func TestLearnPValueAgreesWithInterval(t *testing.T) {
	for seed := range uint64(12) {
		l := Learn(kits(seed, 1+3*int(seed%2), 0.95))
		if (l.PValue < 0.05) == l.Interval.contains(1) {
			t.Errorf("p %v, %+v", l.PValue, l.Interval)
		}
		low := math.Log2(l.Interval.Low)
		near(t, "p at the limit", l.slope.pValue(low), 0.05, 1e-6)
	}
}

// What was done before the journal flattens the place of its sessions on the curve:
// the same hours then tell of a steeper curve, or of none.
func TestLearnAfter(t *testing.T) {
	ws := curveOf(20, 0.8, "flat")
	for i := range ws {
		ws[i].Hours *= unitFactor(0.8, 40+float64(10*i)+5.5) / unitFactor(0.8, float64(10*i)+5.5)
	}
	l := LearnAfter(ws, 40)
	near(t, "rate", l.Rate, 0.8, 1e-6)
	if blind := Learn(ws); !(blind.Rate > 0.83) {
		t.Errorf("without what was done before: %v", blind.Rate)
	}
	l.Claimed = true
	if s := l.Sentence("Clean", "part").String(); !strings.Contains(s, "each doubling of the parts done, counting the 40 you did before, cuts the time per part by 20 % (17 to 23 % shorter;") {
		t.Error(s)
	}
	far := LearnAfter(ws, 3000)
	why := Because("the number done doubled %s times, counting the %.0f you did before, %s needed",
		say.Decimal(far.Doublings, 1), 3000.0, say.Decimal(enoughDoublings, 1))
	if far.OK || far.Why != tooFew(why) {
		t.Errorf("%+v", far)
	}
	together := LearnTogether(ws, map[string]float64{"clean": 40, "paint": 9})
	near(t, "together", together.Rate, 0.8, 1e-6)
	if together.Before != 40 {
		t.Errorf("before %v", together.Before)
	}
}

// Sessions of one evening are one evening: said so, they tell less.
func TestLearnCountsEvenings(t *testing.T) {
	ws := kits(5, 1, 0.8)
	l := Learn(ws)
	if l.Evenings != 8 || l.N <= 8 {
		t.Fatalf("%d evenings of %d sessions", l.Evenings, l.N)
	}
	few := Learn(ws[:6])
	if few.OK || few.Why != tooFew(tooFewEvenings(few.Evenings)) {
		t.Errorf("%+v", few.Why)
	}
}

// Kinds of work that share their evenings' moods are not so many witnesses.
func TestLearnTogetherSharesMoods(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 1))
	var ws, one []Work
	last := ""
	for _, w := range (learner{learn: 0.9, sd: 0.4}).builds(rng, 1, 12) {
		if w.Evening == last {
			continue // a second session of an evening would tell of learning within it
		}
		last = w.Evening
		for kind := range 6 { // each of the kinds on each evening, by its mood and by chance
			w.Kind, w.Session = fmt.Sprint("kind ", kind), fmt.Sprint(w.Session, kind)
			p := w
			p.Parts = distuv.Poisson{Lambda: 10*w.Parts + 1, Src: rng}.Rand()
			if ws = append(ws, p); kind == 0 {
				one = append(one, p)
			}
		}
	}
	shared := LearnTogether(ws, nil)
	width := func(l Learning) float64 { return math.Log(l.Interval.High / l.Interval.Low) }
	// Independent of each other, six kinds would be 0.41 times as wide as one.
	if six, alone := width(shared), width(Learn(one)); !(six > 0.7*alone) {
		t.Errorf("of six kinds %.3f wide, of one %.3f", six, alone)
	}
	if got := LearnTogether(shuffled(ws, 3), nil); !reflect.DeepEqual(got, shared) {
		t.Errorf("shuffled: %+v\nwas %+v", got, shared)
	}
}
