// Like for like: is the later build quicker, the kinds of parts being equal?

package metrics

import (
	"slices"
	"strings"
)

// Verdicts of a Comparison.
const (
	Faster = "faster"
	Slower = "slower"
	Same   = "about the same"  // the interval spans 1
	TooFew = "too few to tell" // there is no interval, or no comparison
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
	Interval            Interval // of Speed, bootstrap over sessions, 95 %
	Coverage            float64  // share of the later build's counted hours that the comparison speaks for

	Cells   []CellRow // shared cells, sorted
	LeftOut []CellRow // cells that cannot be compared, each with Why
	Verdict string    // Faster, Slower, Same or TooFew

	N1, N2                         int      // sessions in the shared cells, earlier and later
	EarlierSessions, LaterSessions []string // their ids
	LeftOutEarlier, LeftOutLater   Unused   // counted sessions kept out by how their time was known
	Remembered                     int      // remembered sessions that are in, when asked for: flag the number

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
}

// LikeForLike compares two builds by measured time. See Compare.
func LikeForLike(earlier, later []Work, seed uint64) Comparison {
	return Compare(earlier, later, seed, Options{})
}

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
// No shared cell gives OK false. A shared cell with one session on a side shows
// nothing of its scatter: it is left out, so that one evening of priming does not
// silence fifty of cleaning, and Coverage falls. Where every shared cell is like
// that, the indices are given without an interval, and the verdict is TooFew. The
// order of the Works plays no part; the same seed gives the same interval.
func Compare(earlier, later []Work, seed uint64, o Options) Comparison {
	c, _ := compare(o.use(earlier), o.use(later), seed)
	return c
}

// compare is Compare, with the strata of the shared cells.
func compare(earlier, later used, seed uint64) (Comparison, [2]side) {
	c := Comparison{Earlier: earlier.builds, Later: later.builds, Verdict: TooFew, LeftOutEarlier: earlier.out,
		LeftOutLater: later.out}
	c.RawEarlier = paceOfSessions(bySession(earlier.works))
	c.RawLater = paceOfSessions(bySession(later.works))
	if c.RawEarlier.PerHour > 0 && c.RawLater.OK {
		c.RawRatio = c.RawLater.PerHour / c.RawEarlier.PerHour
	}
	c.RawUnits = unitsOf(earlier.works, later.works)

	shared, leftOut, of := cellRows(earlier.works, later.works)
	c.Cells, c.LeftOut = judgeable(shared, leftOut)
	for _, rows := range [][]CellRow{c.Cells, c.LeftOut} {
		for i := range rows {
			if later.hours > 0 {
				rows[i].Share = rows[i].Later.Hours / later.hours
			}
		}
	}
	if len(c.Cells) == 0 {
		c.Why, c.Interval.Why = noCells, noCells
		return c, [2]side{}
	}
	c.OK = true
	c.countSessions(earlier.works, later.works)

	sides := sidesOf(c.Cells, of)
	c.Laspeyres, c.Paasche, c.Fisher = Indices(sides[0].h, sides[0].q, sides[1].h, sides[1].q)
	c.Speed, c.SpeedAtEarlierRates = 1/c.Fisher, 1/c.Paasche
	for _, r := range c.Cells {
		c.Coverage += r.Share
	}
	c.Coverage = min(c.Coverage, 1) // the sum of shares may round past 1
	c.Interval = speedInterval(sides, c.Speed, seed)
	c.Verdict = verdict(c.Speed, c.Interval)
	return c, sides
}

// verdict puts a speed and its interval into words. What prints as 1.00 is no
// change.
func verdict(speed float64, iv Interval) string {
	switch {
	case !iv.OK:
		return TooFew
	case !LeavesOne(speed, iv):
		return Same
	case iv.Low > 1:
		return Faster
	}
	return Slower
}

// used is what a build brings to a comparison.
type used struct {
	builds string
	works  []Work // that may be compared, ordered
	out    Unused
	hours  float64 // of all counted Works, those left out too
}

func (o Options) use(ws []Work) used {
	u := used{builds: buildsOf(ws)}
	all := ordered(ws)
	u.works = make([]Work, 0, len(all))
	var left []Work
	for i := range all {
		w := &all[i]
		if !w.Counted {
			continue
		}
		if w.timed() {
			u.hours += w.Hours
		}
		if w.Known == Measured || (w.Known == Remembered && o.Remembered) ||
			(w.Known == Estimated && o.Estimated) {
			u.works = append(u.works, *w)
		} else {
			left = append(left, *w)
		}
	}
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
