// Like for like: is the later build quicker, the kinds of parts being equal?

package metrics

import (
	"cmp"
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

const noCells = "no kind of work with parts and hours in both builds"

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

	Speed               float64  // 1/Fisher
	SpeedAtEarlierRates float64  // 1/Paasche: the later build's mix at the earlier rates, over the hours it took
	Interval            Interval // of Speed, 95 %, by evenings
	Coverage            float64  // share of the later build's counted hours that the comparison speaks for

	Cells   []CellRow // shared cells, sorted
	LeftOut []CellRow // cells that cannot be compared, each with Why

	N1, N2                         int      // sessions in the shared cells, earlier and later
	EarlierSessions, LaterSessions []string // their ids
	LeftOutEarlier, LeftOutLater   Unused   // counted sessions kept out by how their time was known
	Remembered                     int      // remembered sessions that are in, when asked for: flag the number
	Split                          int      // sessions on several classes whose hours were split by the minutes a part
	Rework                         bool     // the hours of repairs are in the work that caused them
	ReworkEarlier, ReworkLater     float64  // those hours

	OK  bool
	Why string // why there is no comparison, when !OK
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
}

// LikeForLike compares two builds by measured time. See Compare.
func LikeForLike(earlier, later []Work) Comparison { return Compare(earlier, later, Options{}) }

// Compare compares two builds inside cells of stage kind × part class × finish.
// With hours per part h and parts q of each cell that both builds share, 0 the
// earlier build and 1 the later one, the time indices are
//
//	Laspeyres = Σ h1·q0 / Σ h0·q0     the earlier build's mix
//	Paasche   = Σ h1·q1 / Σ h0·q1     this build's mix: hours taken over hours at the earlier rates
//	Fisher    = √(Laspeyres · Paasche)
//
// and Speed = 1/Fisher, because Fisher alone treats both builds alike: exchange
// them and it turns into its reciprocal. SpeedAtEarlierRates = 1/Paasche is the
// one that can be said in hours: "these parts at the old rates, 7.0 h; they
// took 5.8 h".
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
// The hours of a session on several classes are split by the minutes a part that
// all sessions of that kind of work tell (apportion), and the interval knows how
// surely; Split counts them. A session whose classes are not told, or whose classes
// the sessions do not tell apart, is in LeftOut. A session that did nothing, and so is
// of no class, goes to the classes of its kind by their hours.
//
// No shared cell gives OK false. A shared cell that rests on one evening on a side
// shows nothing of its scatter: it is left out, so that one evening of priming does
// not silence fifty of cleaning, and Coverage falls. Where every shared cell is like
// that, the indices are given without an interval. The order of the Works plays no
// part.
func Compare(earlier, later []Work, o Options) Comparison {
	return compare(o.use(earlier), o.use(later)).Comparison
}

// compared is a Comparison with what its interval rests on.
type compared struct {
	Comparison
	sides [2]side
	moves [2][]moved
	known Scatter
}

func compare(earlier, later used) compared {
	c := compared{Comparison: Comparison{Earlier: earlier.builds, Later: later.builds, LeftOutEarlier: earlier.out,
		LeftOutLater: later.out, Rework: earlier.charged, ReworkEarlier: earlier.rework, ReworkLater: later.rework}}
	c.RawEarlier = paceOfSessions(bySession(earlier.works))
	c.RawLater = paceOfSessions(bySession(later.works))
	if c.RawEarlier.PerHour > 0 && c.RawLater.OK {
		c.RawRatio = c.RawLater.PerHour / c.RawEarlier.PerHour
	}
	c.RawUnits = unitsOf(earlier.works, later.works)
	c.known = scatterOr(earlier.works, later.works)
	pure, blends := apportion(earlier, later)
	pure, c.LeftOut = pureOnly(pure)
	for k := range pure {
		pure[k] = shareZeros(pure[k])
	}
	on := [2]*calendar{earlier.calendar, later.calendar}
	shared, leftOut, of := cellRows(pure[0], pure[1], on)
	var why string
	c.Cells, c.LeftOut, why = judgeable(shared, append(c.LeftOut, leftOut...), of)
	for _, rows := range [][]CellRow{c.Cells, c.LeftOut} {
		for i := range rows {
			if later.hours > 0 {
				rows[i].Share = rows[i].Later.Hours / later.hours
			}
		}
	}
	if len(c.Cells) == 0 {
		c.Why, c.Interval.Why = noCells, noCells
		return c
	}
	c.OK = true
	c.countSessions(pure[0], pure[1])
	c.Split = countSplit(earlier.works, blends) + countSplit(later.works, blends)

	c.sides = sidesOf(c.Cells, of, on)
	s := &c.sides
	c.Laspeyres, c.Paasche, c.Fisher = Indices(s[0].h, s[0].q, s[1].h, s[1].q)
	c.Speed, c.SpeedAtEarlierRates = 1/c.Fisher, 1/c.Paasche
	for _, r := range c.Cells {
		c.Coverage += r.Share
	}
	c.Coverage = min(c.Coverage, 1) // the sum of shares may round past 1
	c.moves = movesOf(*s)
	for _, b := range blends {
		b.uncertain(s, c.up(b))
	}
	if why != "" {
		c.Interval.Why = "too few to tell: " + why
		return c
	}
	c.judge()
	return c
}

// up says by how much log Fisher moves with an hour of a class in a build.
func (c *compared) up(b *blend) func(side int, class string) float64 {
	return func(side int, class string) float64 {
		at := slices.IndexFunc(c.Cells, func(r CellRow) bool { return r.Cell == Cell{b.kind, class, b.finish} })
		if at < 0 {
			return 0
		}
		m := c.moves[side][at]
		return m.by / m.of.sumHours
	}
}

// pureOnly takes out the Works whose hours nobody can give to a class, and tells
// them as rows of a comparison.
func pureOnly(of [2][]Work) (pure [2][]Work, rows []CellRow) {
	type group struct {
		Cell
		why string
	}
	var groups []group
	in := map[group]*[2][]Work{}
	for k, ws := range of {
		pure[k] = make([]Work, 0, len(ws))
		for i := range ws {
			w := &ws[i]
			g := group{Cell: cellOf(w)}
			switch {
			case w.Unclassed:
				g.why = notTold
			case len(w.Mix) > 0:
				g.why = notParted
			default:
				pure[k] = append(pure[k], *w)
				continue
			}
			if in[g] == nil {
				in[g] = &[2][]Work{}
				groups = append(groups, g)
			}
			in[g][k] = append(in[g][k], *w)
		}
	}
	for _, g := range groups {
		row := CellRow{Cell: g.Cell, Why: g.why}
		row.Unit, _ = CountedKind(g.Kind)
		row.Earlier, row.Later = paceOfSessions(bySession(in[g][0])), paceOfSessions(bySession(in[g][1]))
		rows = append(rows, row)
	}
	slices.SortFunc(rows, func(a, b CellRow) int {
		return cmp.Or(compareCells(a.Cell, b.Cell), cmp.Compare(a.Why, b.Why))
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
	works    []Work    // that may be compared, ordered
	charged  bool      // with the hours of repairs
	rework   float64   // those hours
	calendar *calendar // of works
	out      Unused
	hours    float64 // of all counted Works, those left out too
}

func (o Options) use(ws []Work) used {
	u := used{builds: buildsOf(ws), charged: o.Rework}
	all := ordered(ws)
	u.works = make([]Work, 0, len(all))
	var left []Work
	for i := range all {
		w := &all[i]
		if o.Rework && w.Causer != "" {
			*w = w.charged()
		}
		if !w.Counted {
			continue
		}
		if w.timed() {
			u.hours += w.Hours
		}
		if w.Known == Measured || (w.Known == Remembered && o.Remembered) ||
			(w.Known == Estimated && o.Estimated) {
			u.works = append(u.works, *w)
			if w.Causer != "" && w.timed() {
				u.rework += w.Hours
			}
		} else {
			left = append(left, *w)
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

// countSessions fills in how many sessions the shared cells hold, which, and
// how many of them are remembered.
func (c *Comparison) countSessions(earlier, later []Work) {
	shared := make(map[Cell]bool, len(c.Cells))
	for _, r := range c.Cells {
		shared[r.Cell] = true
	}
	for k, ws := range [2][]Work{earlier, later} {
		var n int
		ids := make([]string, 0, len(ws))
		var last *Work
		for i := range ws {
			w := &ws[i]
			if !shared[cellOf(w)] || !w.timed() && !w.empty() {
				continue
			}
			if last != nil && w.Session != "" && w.Session == last.Session && w.Build == last.Build {
				continue
			}
			last = w
			n++
			if w.Known == Remembered {
				c.Remembered++
			}
			if w.Session != "" {
				ids = append(ids, w.Session)
			}
		}
		slices.Sort(ids)
		ids = slices.Compact(ids)
		if k == 0 {
			c.N1, c.EarlierSessions = n, ids
		} else {
			c.N2, c.LaterSessions = n, ids
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
func unitsOf(sides ...[]Work) []string {
	var units []string
	for _, ws := range sides {
		for i := range ws {
			u, ok := CountedKind(ws[i].Kind)
			if !ok {
				u = ws[i].Kind
			}
			if !slices.Contains(units, u) {
				units = append(units, u)
			}
		}
	}
	slices.Sort(units)
	return units
}
