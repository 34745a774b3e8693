// Learning: what each doubling of the parts done takes off the hours per part.

package metrics

import (
	"math"

	"rakelight/journal/say"
)

const (
	// Below this many evenings, or this many doublings of the parts done
	// between the first session and the last, a slope is a slope through
	// luck. Both are our choice, held to by the simulation of coverage.
	enoughToLearn   = 6
	enoughDoublings = 1.5
	// Kits differ by themselves: fewer than this many builds do not show by how
	// much, and learning cannot be told from a kit that is easier. Our choice.
	enoughBuilds = 4
	// A bend needs a slope on either side of it.
	enoughToBend = 12
)

// Learning is the learning curve of one stage kind, or of several together.
type Learning struct {
	Claim             // of a rate that is not 1
	Rate     float64  // hours per part after a doubling over those before: 0.86 takes 14 % off
	Interval Interval // of Rate, 95 %

	N         int     // timed sessions it rests on
	Evenings  int     // of them; a session without a day stands for itself
	Builds    int     // of them: one, or at least four
	Parts     float64 // parts done in them
	Before    float64 // parts done before the journal began, counted as done at its start
	Doublings float64 // of the parts done, from the middle of the first session to the end
	// Flat says that the curve has flattened: over the later half of the
	// sessions it is clearly less steep than before, and Recent's interval has 1 in it.
	Flat   bool
	Recent float64 // the rate over the later half; 0 when it is not judged

	Undated  int // counted sessions left out because nobody knows when they were
	OK       bool
	Why      Why // why there is no rate, when !OK
	Sessions []string

	slope     mixture // what is known of b
	b, se, df float64
}

// Learn fits a learning curve to the counted, timed, dated sessions of ws, all
// of one stage kind, in one build or in several:
//
//	hours per part = a · n^b     Rate = 2^b
//
// n counts the parts done of that kind (Crawford's unit model: n^b is the time
// of the n-th part, not the mean of the first n), from the parts done before the
// first session of ws on. On log–log axes that is a straight line. Why the steps
// are as they are:
//
//   - Each cell (class and finish) has its own a, and all share b: otherwise a
//     move to easier parts would pass for learning.
//   - A session is put at the middle of its parts. The middle is reckoned from
//     the parts its hours should bring, not from those it brought: a lucky
//     first evening would stand both higher and further right and tilt the line.
//   - The fit is by penalized quasi-likelihood: its steps are weighted log–log
//     regressions. An evening that brought no part has no logarithm of hours per
//     part; here it counts all the same.
//   - A session's log pace varies by φ·(1/parts + c²), with c the person's Scatter
//     and φ from the sessions. Three quarters of c² are the mood of its evening, which
//     the sessions of it share.
//   - Moods follow each other from evening to evening. Six or twenty evenings do not
//     show how much, so the curve is averaged over correlations from 0 to 0.8.
//   - Each build has a difficulty of its own, drawn at random: the kit is harder or
//     easier than the last one, all the way through. By how much kits differ is known
//     from few builds, so the curve is averaged over that too, each spread weighing
//     as its restricted likelihood. An estimate alone would be 0 in half of the
//     journals of four builds, and the interval then as narrow as if all kits were
//     alike.
//   - Interval and p value come from that average, so they always agree.
//
// It refuses below six evenings, below one and a half doublings, for two or three
// builds, and without degrees of freedom.
//
// Wright T.P. (1936), Journal of the Aeronautical Sciences 3, 122–128; Breslow N.E.,
// Clayton D.G. (1993), JASA 88, 9–25; the variance between groups averaged over a
// weak prior: Gelman A. (2006), Bayesian Analysis 1, 515–533.
func Learn(ws []Work) Learning { return LearnAfter(ws, 0) }

// LearnAfter is Learn for a person who had done some parts of the kind before the
// first session of ws.
func LearnAfter(ws []Work, before float64) Learning {
	before = max(before, 0)
	all := pointers(ws)
	var l Learning
	lessons := l.lessons(all, func(string) float64 { return before })
	l.Before = before
	switch {
	case !l.enough(before, lessons) || !l.comparable():
	case l.settle(fitCurve(lessons, math.Inf(1), scatterOf(all...))):
		l.tell()
		l.bend(lessons, scatterOf(all...))
	}
	return l
}

// learnFrom is LearnAfter from builds however few, for those who reckon with a slope
// and its standard error alone.
func learnFrom(ws []*Work, before float64) (l Learning) {
	lessons := l.lessons(ws, func(string) float64 { return before })
	if l.enough(before, lessons) {
		l.settle(fitRoughly(lessons, scatterOf(ws...)))
	}
	return l
}

// scatterOf is that of the person, which all of a person's Works have.
func scatterOf(ws ...*Work) Scatter {
	for _, w := range ws {
		if w.Scatter.CV > 0 {
			return w.Scatter
		}
	}
	return Scatter{CV: usualScatter, DF: usualWorth}
}

// enough says whether the evenings and the doublings allow a curve.
func (l *Learning) enough(before float64, lessons []lesson) bool {
	if l.Evenings < enoughToLearn {
		return l.refuse(tooFewEvenings(l.Evenings))
	}
	if l.Parts > 0 {
		l.Doublings = doublings(before, lessons[0].parts, before+l.Parts)
	}
	if l.Doublings < enoughDoublings {
		times, needed := say.Decimal(l.Doublings, 1), say.Decimal(enoughDoublings, 1)
		if before > 0 {
			return l.refuse(Because("the number done doubled %s times, counting the %.0f you did before, %s needed", times,
				before, needed))
		}
		return l.refuse(Because("the number done doubled %s times, %s needed", times, needed))
	}
	return true
}

func tooFewEvenings(n int) Why {
	return Because("%s, %d needed", say.Count{N: n, Noun: "evening"}, enoughToLearn)
}

// comparable says whether the builds are one, or show how kits differ.
func (l *Learning) comparable() bool {
	if l.Builds > 1 && l.Builds < enoughBuilds {
		return l.refuse(Because("kits differ, and %s do not show by how much; %d needed",
			say.Count{N: l.Builds, Noun: "build"}, enoughBuilds))
	}
	return true
}

// settle takes a slope that was found.
func (l *Learning) settle(c curve, ok bool) bool {
	if !ok {
		return l.refuse(Because("practice and the change of parts cannot be told apart"))
	}
	l.OK, l.slope = true, c.slope
	l.b, l.se, l.df = c.slope.mean(), c.slope.se(), c.slope.df
	l.Rate = math.Exp2(l.b)
	return true
}

// tell sets the interval and the p value.
func (l *Learning) tell() {
	low, high := l.slope.interval()
	l.Interval = Interval{Low: math.Exp2(low), High: math.Exp2(high), OK: true}
	l.Tested, l.PValue = true, l.slope.pValue(0)
}

// doublings is how often the parts done doubled from the middle of the first
// session, before which some were done, to the end.
func doublings(before, first, done float64) float64 {
	return math.Log2(done / max(before+first/2, 0.5))
}

func (l *Learning) refuse(why Why) bool {
	l.Why, l.Interval.Why = tooFew(why), why
	return false
}

// bend looks whether the curve is flat over the later half of the sessions.
func (l *Learning) bend(lessons []lesson, person Scatter) {
	if l.Evenings < enoughToBend {
		return
	}
	c, ok := fitCurve(lessons, math.Log(lessons[len(lessons)/2].before+0.5), person)
	if !ok {
		return
	}
	l.Recent = math.Exp2(c.sum.mean())
	bent, _ := c.later.below(0)
	falls, _ := c.sum.below(0)
	l.Flat = bent < (1-level)/2 && falls <= (1+level)/2
}
