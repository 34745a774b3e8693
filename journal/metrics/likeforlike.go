// Like for like: is the later build quicker, the kinds of parts being equal?

package metrics

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// Verdicts of a Comparison.
const (
	Faster  = "faster"          // claimed
	Slower  = "slower"          // claimed
	Same    = "about the same"  // no change is claimed, and the interval leaves room for none that matters
	Unclear = "unclear"         // no change is claimed, and the interval leaves room for one
	TooFew  = "too few to tell" // there is no interval, or no comparison
)

var noCells = Because("no kind of work with parts and hours in both builds")

// Comparison is the later build beside the earlier one. Numbers are 0 where they
// do not exist; Speed is above 1 when the later build is quicker.
type Comparison struct {
	Claim                       // of a change of speed
	Earlier, Later       string // build ids
	RawEarlier, RawLater Pace   // all used sessions, whatever their cell
	RawRatio             float64
	RawUnits             []string // units pooled in the raw paces; with more than one they mean little

	Laspeyres float64 // time index at the earlier build's mix
	Paasche   float64 // time index at the later build's mix
	Fisher    float64 // their geometric mean

	Speed               float64  // the common ratio of the paces, see Compare
	SpeedAtEarlierRates float64  // 1/Paasche: the later build's mix at the earlier rates, over the hours it took
	Interval            Interval // of Speed, 95 %, by evenings
	Coverage            float64  // share of the later build's counted hours that Speed speaks for

	Cells   []CellRow // shared cells, sorted: what the indices are of
	LeftOut []CellRow // cells without a speed of their own, each with Why

	N1, N2                         int      // sessions that Speed is of, earlier and later
	EarlierSessions, LaterSessions []string // their ids
	LeftOutEarlier, LeftOutLater   Unused   // counted sessions kept out by how their time was known
	Remembered                     int      // remembered sessions that are in, when asked for: flag the number
	Split                          int      // sessions on several classes whose hours were split by the minutes a part
	Rework                         bool     // the hours of repairs are in the work that caused them
	ReworkEarlier, ReworkLater     float64  // those hours

	OK  bool
	Why Why // why there is no comparison, when !OK

	spread spread // of the log of Speed: what Interval was made from
}

// Unused counts the sessions a comparison left out because of how their time
// was known.
type Unused struct {
	Estimated, Remembered, Unsaid int
	Hours                         float64 // of all of them
}

// Options widen what a comparison takes in. The zero value takes measured time
// alone.
type Options struct {
	Remembered bool
	Estimated  bool
	Rework     bool // the hours of a repair are charged to the kind of work that caused it
	// Short leaves out what only a table shows: the cells with their paces and indices,
	// the raw paces, and what was split or left out of them. Speed and all that is said of
	// it are the same.
	Short bool
}

// LikeForLike compares two builds by measured time. See Compare.
func LikeForLike(earlier, later []Work) Comparison { return Compare(earlier, later, Options{}) }

// Compare compares two builds inside kinds of work, stage kind × finish. Speed is the
// common ratio φ of their paces (CommonRatio): with hours h and parts p of each kind of
// work, 0 the earlier build and 1 the later one,
//
//	Σ w·(p1·h0 − φ·p0·h1)/(h0+h1) = 0
//
// Parts are counted by their minutes: a part of a class that takes twice as long as the
// usual part of its kind of work is two (minutesOf). What the sessions tell of the minutes, and
// what is held of them where they tell nothing, is from both builds together, and its
// doubt is in the interval: it costs nothing where both builds have one mix of classes,
// and makes the interval wide where the mixes differ and nothing tells the classes apart. w
// is one over the variance of a count per part (matched.weigh). Where the ratio differs
// between kinds of work, Speed is a mean of it, those with more hours on both sides and surer
// counts weighing more. Exchange the builds and it turns into its reciprocal.
//
// Beside it stand the indices of the cells, stage kind × part class × finish. With hours
// per part h and parts q of each cell that both builds share
//
//	Laspeyres = Σ h1·q0 / Σ h0·q0     the earlier build's mix
//	Paasche   = Σ h1·q1 / Σ h0·q1     this build's mix: hours taken over hours at the earlier rates
//	Fisher    = √(Laspeyres · Paasche)
//
// SpeedAtEarlierRates = 1/Paasche is the one that can be said in hours: "these parts at the
// old rates, 7.0 h; they took 5.8 h". Where Speed and 1/Fisher differ, they ask different
// things: how much quicker the hand is, and what that saves on these parts. Speed is the
// headline because it is surer. An index needs a pace of each cell on each side, and a
// cell with few evenings has hardly one.
// In simulated builds of 6, 12 and 24 evenings on eight kinds of work, one build against
// three, the standard deviation of the log of 1/Fisher was 0.40, 0.20 and 0.11, over 46, 70 and
// 94 % of the hours; that of Speed 0.21, 0.15 and 0.11, over 93 to 95 %.
//
// Only counted sessions enter, and by default only those whose time was
// measured. Estimated time comes from photos and is a lower bound: whichever
// build has more of it would look quicker. Remembered time is not biased by
// construction, but it is rounded by an unknown amount and told afterwards,
// often by someone who hopes to have become quicker; against measured time it
// compares memory with a clock. So neither is mixed in unasked, both can be asked
// for (a back-filled build has nothing else), LeftOutEarlier and LeftOutLater
// count what stayed out, and Remembered counts what came in, so that the page
// can flag it. Time of unsaid origin always stays out.
//
// Coverage has all counted hours of the later build below the line, those left
// out too: it says how much of the build the number speaks for.
//
// A session whose classes are not told is in LeftOut, and so is work on a class that
// the other build never touched. A session that did nothing, and so is of no class, goes to
// the classes of its kind by their hours. For the cells, the hours of a session on several
// classes are split by the minutes a part (apportion); Split counts those. Where the
// sessions do not tell the classes apart, there is a row in LeftOut, and the session is in
// Speed all the same.
//
// No kind of work in common gives OK false. A kind of work with one evening on a side is
// in, because the scatter is that of all evenings of a build; but a build of one
// evening shows none, and Speed is then without an interval. The order of the Works plays
// no part.
func Compare(earlier, later []Work, o Options) Comparison {
	before, after := o.use(earlier), o.use(later)
	c := compare(before, after)
	if !o.Short {
		c.tabulate(before, after)
	}
	return c.Comparison
}

// compared is a Comparison with what its interval rests on.
type compared struct {
	Comparison
	of       []*matched
	byMinute [][]float64 // by how much log speed moves with the logs of the minutes, of each
	voices   [2]voice
	evenings spread // of log speed, the minutes held
	known    Scatter
}

func compare(earlier, later used) compared {
	c := compared{Comparison: Comparison{Earlier: earlier.builds, Later: later.builds, LeftOutEarlier: earlier.out,
		LeftOutLater: later.out, Rework: earlier.charged, ReworkEarlier: earlier.rework, ReworkLater: later.rework}}
	c.known = scatterOr(earlier.works, later.works)
	on := [2]*calendar{earlier.calendar, later.calendar}
	c.of = matchedOf([2][]*Work{shareZeros(classed(earlier.works)), shareZeros(classed(later.works))}, on, c.known)
	if phi := commonRatio(c.of); phi > 0 && !math.IsInf(phi, 0) {
		c.OK, c.Speed = true, phi
	} else {
		c.Why, c.Interval.Why = noCells, noCells
		return c
	}
	c.countSessions()
	var hours float64
	for _, m := range c.of {
		hours += m.of[1].sumHours
	}
	c.Coverage = min(hours/later.hours, 1) // the sum may round past 1
	if why := whyNotJudged(c.of, on); why.Any() {
		c.Interval.Why = tooFew(why)
		return c
	}
	c.judge(on)
	return c
}

// tabulate fills in what stands beside Speed.
func (c *compared) tabulate(earlier, later used) {
	c.RawEarlier = paceOfSessions(bySession(earlier.works))
	c.RawLater = paceOfSessions(bySession(later.works))
	if c.RawEarlier.PerHour > 0 && c.RawLater.OK {
		c.RawRatio = c.RawLater.PerHour / c.RawEarlier.PerHour
	}
	c.RawUnits = unitsOf(earlier.works, later.works)
	c.index(earlier, later)
}

// index fills in the cells and their indices.
func (c *compared) index(earlier, later used) {
	pure, blends := apportion(earlier, later)
	pure, c.LeftOut = pureOnly(pure)
	for k := range pure {
		pure[k] = shareZeros(pure[k])
	}
	var leftOut []CellRow
	c.Cells, leftOut = cellRows(pure[0], pure[1])
	c.LeftOut = append(c.LeftOut, leftOut...)
	slices.SortStableFunc(c.LeftOut, func(a, b CellRow) int { return compareCells(a.Cell, b.Cell) })
	for _, rows := range [][]CellRow{c.Cells, c.LeftOut} {
		for i := range rows {
			if later.hours > 0 {
				rows[i].Share = rows[i].Later.Hours / later.hours
			}
		}
	}
	c.Split = countSplit(earlier.works, blends) + countSplit(later.works, blends)
	if len(c.Cells) == 0 {
		return
	}
	var h, q [2][]float64
	for _, r := range c.Cells {
		for k, p := range []Pace{r.Earlier, r.Later} {
			h[k], q[k] = append(h[k], p.Hours/p.Parts), append(q[k], p.Parts)
		}
	}
	c.Laspeyres, c.Paasche, c.Fisher = Indices(h[0], q[0], h[1], q[1])
	c.SpeedAtEarlierRates = 1 / c.Paasche
}

// classed leaves out the Works whose classes nothing tells.
func classed(ws []*Work) []*Work {
	if !slices.ContainsFunc(ws, func(w *Work) bool { return w.Unclassed }) {
		return ws
	}
	return slices.DeleteFunc(slices.Clone(ws), func(w *Work) bool { return w.Unclassed })
}

// pureOnly takes out the Works whose hours nobody can give to a class, and tells
// them as rows of a comparison.
func pureOnly(of [2][]*Work) (pure [2][]*Work, rows []CellRow) {
	type group struct {
		Cell
		why Why
	}
	var groups []group
	in := map[group]*[2][]*Work{}
	for k, ws := range of {
		pure[k] = make([]*Work, 0, len(ws))
		for _, w := range ws {
			g := group{Cell: cellOf(w)}
			switch {
			case w.Unclassed:
				g.why = notTold
			case len(w.Mix) > 0:
				g.why = notParted
			default:
				pure[k] = append(pure[k], w)
				continue
			}
			if in[g] == nil {
				in[g] = &[2][]*Work{}
				groups = append(groups, g)
			}
			in[g][k] = append(in[g][k], w)
		}
	}
	for _, g := range groups {
		row := CellRow{Cell: g.Cell, Why: g.why}
		row.Unit, _ = CountedKind(g.Kind)
		row.Earlier, row.Later = paceOfSessions(bySession(in[g][0])), paceOfSessions(bySession(in[g][1]))
		rows = append(rows, row)
	}
	slices.SortFunc(rows, func(a, b CellRow) int {
		return cmp.Or(compareCells(a.Cell, b.Cell), cmp.Compare(a.Why.String(), b.Why.String()))
	})
	return pure, rows
}

// Verdict is what may be said of the change: that a build is faster or slower only
// where it is Claimed.
func (c Comparison) Verdict() string {
	switch {
	case !c.OK || !c.Interval.OK:
		return TooFew
	case c.changed() && c.Speed > 1:
		return Faster
	case c.changed():
		return Slower
	case c.Interval.Low >= narrowest && c.Interval.High <= 1/narrowest:
		return Same
	}
	return Unclear
}

// changed says that the change is claimed, and is one as it is printed.
func (c Comparison) changed() bool { return c.Claimed && LeavesOne(c.Speed, c.Interval) }

// used is what a build brings to a comparison.
type used struct {
	builds   string
	works    []*Work   // that may be compared, ordered
	charged  bool      // with the hours of repairs
	rework   float64   // those hours
	calendar *calendar // of works
	out      Unused
	hours    float64 // of all counted Works, those left out too
}

func (o Options) use(ws []Work) used {
	u := used{builds: buildsOf(ws), charged: o.Rework}
	all := ordered(ws)
	u.works = make([]*Work, 0, len(all))
	var left []*Work
	for _, w := range all {
		if o.Rework && w.Causer != "" {
			mended := w.charged()
			w = &mended
		}
		if !w.Counted {
			continue
		}
		if w.timed() {
			u.hours += w.Hours
		}
		if w.Known == Measured || (w.Known == Remembered && o.Remembered) ||
			(w.Known == Estimated && o.Estimated) {
			u.works = append(u.works, w)
			if w.Causer != "" && w.timed() {
				u.rework += w.Hours
			}
		} else {
			left = append(left, w)
		}
	}
	u.calendar = calendarOf(u.works)
	for _, w := range bySession(left) {
		switch w.Known {
		case Estimated:
			u.out.Estimated++
		case Remembered:
			u.out.Remembered++
		default:
			u.out.Unsaid++
		}
		if w.timed() {
			u.out.Hours += w.Hours
		}
	}
	return u
}

// countSessions fills in how many sessions Speed is of, which, and how many of them
// are remembered.
func (c *compared) countSessions() {
	for k := range c.voices {
		var in []*Work
		for _, m := range c.of {
			for _, w := range m.works[k] {
				if w.timed() || w.empty() {
					in = append(in, w)
				}
			}
		}
		in = bySession(inOrder(in))
		for _, w := range in {
			if w.Known == Remembered {
				c.Remembered++
			}
		}
		if k == 0 {
			c.N1, c.EarlierSessions = len(in), sessionIDs(in)
		} else {
			c.N2, c.LaterSessions = len(in), sessionIDs(in)
		}
	}
}

// buildsOf names the build of ws; several are joined with ", ".
func buildsOf(ws []Work) string {
	var names []string
	for i := range ws {
		if name := ws[i].Build; (i == 0 || name != ws[i-1].Build) && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return strings.Join(names, ", ")
}

// unitsOf lists the units counted in both builds, sorted. A kind the package
// does not know is its own unit.
func unitsOf(sides ...[]*Work) []string {
	var units []string
	for _, ws := range sides {
		for _, w := range ws {
			u, ok := CountedKind(w.Kind)
			if !ok {
				u = w.Kind
			}
			if !slices.Contains(units, u) {
				units = append(units, u)
			}
		}
	}
	slices.Sort(units)
	return units
}
