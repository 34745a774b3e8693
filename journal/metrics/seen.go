// How much can be seen: the change that so few evenings could show, and the
// evenings that a change of a size would take.

package metrics

import (
	"math"

	"rakelight/journal/say"
)

const (
	// What can be seen is seen four times in five (the usual power, a convention).
	power = 0.8
	// Nobody's pace changes more than this many times over: evenings that could show
	// no less show nothing.
	mostChange = 100
	// More evenings than these on one kind of work are no advice.
	mostMore = 200
)

// Fifth is the change that is worth waiting for: less is hardly noticed between
// two evenings (narrowest).
const Fifth = 1.2

// Sight is how well two sets of evenings show a change of pace between them.
type Sight struct {
	Earlier, Later SightSide
	// Blind says that no change of any size can be told yet, because there is no
	// range: one evening shows nothing of its scatter.
	Blind bool
	OK    bool
	Why   Why // why nothing can be said, when !OK
}

// SightSide is what one side brings: evenings, the variance of the log pace of
// one of them, and the degrees of freedom that variance rests on (+Inf = known).
type SightSide struct {
	N        int
	Variance float64
	DF       float64
}

// more is the side after so many further evenings like these.
func (s SightSide) more(n int) SightSide {
	return SightSide{s.N + n, s.Variance, s.DF + float64(n)}
}

// error is the standard error of the log of the ratio of both paces, and its
// degrees of freedom (Satterthwaite F.E. 1946, Biometrics Bulletin 2, 110–114):
//
//	se² = Σ v/n      df = se⁴ / Σ (v/n)²/df
func (s Sight) error() (se, df float64) {
	var sum, over float64
	for _, side := range []SightSide{s.Earlier, s.Later} {
		v := side.Variance / float64(side.N)
		sum += v
		over += v * v / side.DF
	}
	return math.Sqrt(sum), sum * sum / over
}

// Power is the chance that these evenings give a range without 1, two-sided at
// 0.05, when the later pace is ratio times the earlier one:
//
//	P(|T| > t(0.975; df)),   T noncentral t on df with ncp = log(ratio)/se
//
// Cohen J. (1988), Statistical Power Analysis for the Behavioral Sciences, 2nd
// ed., chapter 2. With no cell in common and with known variances it is the power of
// a comparison of two rates (Zhu H., Lakkis H. 2014, Statistics in Medicine 33,
// 376–387).
func (s Sight) Power(ratio float64) float64 {
	se, df := s.error()
	return powerOf(math.Abs(math.Log(ratio))/se, df)
}

func powerOf(ncp, df float64) float64 {
	t := zQuantile()
	if !math.IsInf(df, 1) {
		t = tQuantile(df)
	}
	return 1 - noncentralT(t, df, ncp) + noncentralT(-t, df, ncp)
}

// Smallest is the least change that these evenings show four times in five, as
// the later pace over the earlier one: 1.45, or the other way round 1/1.45. The
// level is that of one range; a claim among many is held to a stricter one, and
// takes more.
func (s Sight) Smallest() float64 {
	se, df := s.error()
	low, high := 0.0, 1.0
	for powerOf(high, df) < power {
		low, high = high, 2*high
	}
	for high-low > 1e-6*high {
		if mid := (low + high) / 2; powerOf(mid, df) < power {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Exp(high * se)
}

// MoreFor is how many more later evenings, like those there are, would show a
// change to ratio times the pace; 0 when these do. ok is false above two hundred:
// then the earlier evenings are too few, however many follow.
func (s Sight) MoreFor(ratio float64) (n int, ok bool) {
	enough := func(n int) bool {
		with := s
		with.Later = s.Later.more(n)
		return with.Power(ratio) >= power
	}
	if !enough(mostMore) {
		return 0, false
	}
	low, high := -1, mostMore // not enough, enough
	for high-low > 1 {
		if mid := (low + high) / 2; enough(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high, true
}

// SightOf says how much the evenings of a comparison can show. Where the
// comparison has a range, standard error and degrees of freedom are those that range
// was made from, so that both say the same; else it is what is known of the person
// (Work.Scatter) beside the chance of counts. Both sides are taken to scatter alike.
func SightOf(c Comparison, earlier, later []Work) Sight {
	n1, parts1 := eveningsAndParts(earlier, c.EarlierSessions)
	n2, parts2 := eveningsAndParts(later, c.LaterSessions)
	switch {
	case !c.OK:
		return Sight{Why: c.Why}
	case n1 == 0 || n2 == 0 || !(parts1 > 0) || !(parts2 > 0):
		return Sight{Why: noCells}
	}
	known := scatterIn(pointers(later))
	out := Sight{OK: true, Blind: !c.Interval.OK}
	out.Earlier = SightSide{N: n1, DF: dfOf(n1, known), Variance: 1}
	out.Later = SightSide{N: n2, DF: dfOf(n2, known), Variance: 1}
	if c.Interval.OK {
		unit, df := out.error()
		for _, side := range []*SightSide{&out.Earlier, &out.Later} {
			side.Variance = c.spread.variance / (unit * unit)
			side.DF *= c.spread.df / df
		}
		out.Blind = out.Smallest() > mostChange
		return out
	}
	between := math.Log1p(known.CV * known.CV)
	out.Earlier.Variance, out.Later.Variance = float64(n1)/parts1+between, float64(n2)/parts2+between
	return out
}

// dfOf is what the scatter of n evenings rests on: that of one or two is judged
// by what is known of the person.
func dfOf(n int, known Scatter) float64 {
	if n < enoughForScatter {
		return float64(n-1) + known.DF
	}
	return float64(n - 1)
}

// eveningsAndParts counts the evenings of some sessions, and their parts. A Work
// without a session, or without an evening, is one by itself.
func eveningsAndParts(ws []Work, sessions []string) (n int, parts float64) {
	in := make(map[string]bool, len(sessions))
	for _, id := range sessions {
		in[id] = true
	}
	seen := map[string]bool{}
	for i := range ws {
		w := &ws[i]
		if !w.Counted || !w.timed() || w.Session != "" && !in[w.Session] {
			continue
		}
		parts += w.Parts
		switch {
		case w.Evening != "":
			seen["evening "+w.Evening] = true
		case w.Session != "":
			seen["session "+w.Build+" "+w.Session] = true
		default:
			n++
		}
	}
	return n + len(seen), parts
}

// Sentence says what these evenings could have shown, "" when that is unknown.
func (s Sight) Sentence() say.Text {
	if !s.OK {
		return say.Text{}
	}
	smallest := s.Smallest()
	could := say.Of("These evenings could have shown %s or more", ChangeOf(smallest))
	if s.Blind {
		could = say.Of("So few evenings show no change of any size")
	}
	switch n, ok := s.MoreFor(Fifth); {
	case !s.Blind && smallest <= Fifth:
		return say.Of("%s.", could)
	case !ok:
		return say.Of("%s; however many follow, one of 20 %% stays hidden, for there are too few before.", could)
	default:
		return say.Of("%s; about %d more would show one of 20 %%.", could, max(n, 1))
	}
}

// ChangeOf says a change of speed by its size: "a change of 45 %", or "a change
// to 3.20 times the speed" where per cent say little.
func ChangeOf(ratio float64) say.Text {
	if ratio < 2 {
		return say.Of("a change of %.0f %%", math.Max(1, math.Ceil(100*(ratio-1)-1e-9)))
	}
	return say.Of("a change to %s times the speed", Figure(ratio))
}
