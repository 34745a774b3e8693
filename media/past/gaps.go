// Likely builds by time alone, where all pictures lie in one folder. Somebody is at the
// bench or is not, for weeks; the bench has its hours, and pictures of all else are
// taken at any. Which evenings are which is nowhere said; so both are found together
// from those at the usual hours, as a hidden Markov model with two states, a day a
// step, whose rates come from the evenings themselves (Baum and Welch's re-estimation,
// after L. Rabiner, A tutorial on hidden Markov models, Proc. IEEE 77 (1989), 257–286,
// equations 19 to 40). Likely builds are then tracks through the evenings (tracks.go).

package past

import (
	"math"
	"slices"
	"time"
)

// What is expected before anything is seen (common practice, no source): a build is
// worked on for some weeks on end, some weeks lie between two; pictures of all else are
// taken every other week. The first two and the pace were chosen on invented pasts,
// others than those of TestGroupsAreFound.
const (
	daysOn, daysOff = 40.0, 25.0
	elseRate        = 1.0 / 14 // evenings a day
	benchPace       = 1.15     // evenings of the bench in the time of the middle gap
	rounds          = 10       // of re-estimation; the last change nothing to speak of
)

// A likely build by time alone has so many evenings: less is a visit.
const leastSits = 4

// kinds of evenings: by their hours, by how many pictures there are (one; two or three;
// more), and whether the day is one of the weekend.
const (
	hourBins = 8 // of three hours
	sizeBins = 3
	kinds    = 2 * hourBins * sizeBins
)

func kindOf(e *Evening) int {
	size := 2
	switch n := len(e.Pictures); {
	case n == 1:
		size = 0
	case n <= 3:
		size = 1
	}
	kind := e.middle()/(24/hourBins)*sizeBins + size
	if wd := e.First.Weekday(); wd == time.Saturday || wd == time.Sunday {
		kind += kinds / 2
	}
	return kind
}

// dayOut is an evening that is so long that nobody was at the bench on that day.
const dayOut = 6 * time.Hour

func (e *Evening) out() bool { return e.Last.Sub(e.First) > dayOut }

// middle is the hour of day around which an evening is.
func (e *Evening) middle() int { return e.First.Add(e.Last.Sub(e.First) / 2).Hour() }

// mostOf is the share of the evenings of some pictures that lie at the usual hours.
const mostOf = 0.75

// usual finds the fewest hours of the day at which most evenings of some pictures are.
func usual(all []*Evening) (is [24]bool) {
	var of [24]int
	sum := 0
	for _, e := range all {
		if kindOf(e)%sizeBins == sizeBins-1 && !e.out() {
			of[e.middle()]++
			sum++
		}
	}
	for wide := 1; wide <= 24; wide++ {
		for from := range 24 {
			n := 0
			for h := range wide {
				n += of[(from+h)%24]
			}
			if float64(n) >= mostOf*float64(sum) {
				for h := range wide {
					is[(from+h)%24] = true
				}
				return is
			}
		}
	}
	return is
}

// byGaps makes groups of the evenings that have none.
func (g *grouping) byGaps() {
	var left []*Evening
	for _, e := range g.evenings {
		if g.groupOf(e) == 0 && !e.First.IsZero() {
			left = append(left, e)
		}
	}
	if len(left) < leastSits {
		return
	}
	m := newModel(left)
	for range rounds {
		m.learn()
	}
	of, rested := m.tracks(left, nil)
	alone := builds(of)
	for range lookRounds { // what looks say is learned from the tracks, which then follow them
		l := looksOf(left, of)
		if l == nil {
			break
		}
		seen, why := m.tracks(left, l)
		if 2*builds(seen) < alone {
			break // looks by which most builds were one are none to go by
		}
		of, rested = seen, why
	}
	g.follow(left, of, rested)
}

// builds is how many tracks are long enough for a likely build.
func builds(of []int) (n int) {
	sits := map[int]int{}
	for _, t := range of {
		if sits[t]++; t > 0 && sits[t] == leastSits {
			n++
		}
	}
	return n
}

// lookRounds: after the second nothing changes to speak of.
const lookRounds = 2

// follow makes groups of the tracks that are long enough.
func (g *grouping) follow(left []*Evening, of []int, rested map[int]int) {
	sits, first, last := map[int]int{}, map[int]int{}, map[int]int{}
	for i, t := range of {
		if sits[t]++; sits[t] == 1 {
			first[t] = i
		}
		last[t] = i
	}
	group := map[int]int{}
	for i, t := range of {
		if t == 0 || sits[t] < leastSits {
			continue
		}
		if group[t] == 0 {
			group[t] = g.newGroup()
			g.rested[group[t]] = rested[t]
			g.begun(left[:i], left[i].First, group[t])
		}
		g.setAll(left[i], group[t])
	}
	for i, e := range left {
		if group[of[i]] > 0 || e.out() {
			continue
		}
		if t := nearest(left, i, func(k int) bool {
			t := of[k]
			return group[t] > 0 && first[t] < i && i < last[t]
		}); t >= 0 {
			g.setAll(e, group[of[t]])
		}
	}
}

// nearest is the place of the evening nearest to another one of those asked for, no
// farther than nearBy; -1 = none.
func nearest(all []*Evening, i int, is func(k int) bool) int {
	best, away := -1, time.Duration(nearBy)
	look := func(k int) (goOn bool) {
		d := all[k].First.Sub(all[i].First).Abs()
		if d < away && is(k) {
			best, away = k, d
		}
		return d < away
	}
	for k := i - 1; k >= 0 && look(k); k-- {
	}
	for k := i + 1; k < len(all) && look(k); k++ {
	}
	return best
}

// nearBy is how near an evening at no usual hour lies to the build it goes with (common
// practice, no source); what lies farther from all is of none.
const nearBy = 10 * 24 * time.Hour

// begun gives the evenings before a likely build that belong to its beginning its group:
// a kit is unpacked and looked over by daylight, at no usual hour, and of that there is
// more than one picture.
func (g *grouping) begun(before []*Evening, first time.Time, group int) {
	for _, e := range slices.Backward(before) {
		if first.Sub(e.Last) > nearBy || e.out() || len(e.Pictures) < 2 || g.groupOf(e) > 0 {
			return
		}
		g.setAll(e, group)
	}
}

// model is the hidden Markov model. State 0 is away from the bench, 1 at it.
type model struct {
	from time.Time
	days []oneDay

	stay  [states]float64 // probability that the state is the same on the next day
	bench [states]float64 // evenings a day at the bench
	other float64         // evenings a day of all else, in either state

	kinds [2][kinds]float64 // shares of the kinds among those of all else, and of the bench
}

const states = 2

// oneDay is what was taken on a day.
type oneDay struct {
	kinds []int
	out   bool // nobody was at the bench, whatever the weeks around are
}

// newModel is what is expected of evenings before they are looked at: those of the
// bench are at the usual hours.
func newModel(all []*Evening) *model {
	m := &model{from: dayStart(all[0].First), other: elseRate,
		stay: [states]float64{1 - 1/daysOff, 1 - 1/daysOn}, bench: [states]float64{0, 0.2}}
	hours := usual(all)
	for k := range kinds {
		m.kinds[0][k], m.kinds[1][k] = 1, 0.02
	}
	var gaps []float64
	var last time.Time
	for _, e := range all {
		at := m.dayOf(e)
		for len(m.days) <= at {
			m.days = append(m.days, oneDay{})
		}
		if e.out() {
			m.days[at].out = true
			continue
		}
		k := kindOf(e)
		m.days[at].kinds = append(m.days[at].kinds, k)
		if hours[e.middle()] {
			m.kinds[1][k]++
			if !last.IsZero() {
				gaps = append(gaps, e.First.Sub(last).Hours()/24)
			}
			last = e.First
		}
	}
	normalize(m.kinds[0][:])
	normalize(m.kinds[1][:])
	// Half of the gaps are shorter than the middle one, also where some are very long.
	slices.Sort(gaps)
	if len(gaps) > 0 {
		m.bench[1] = benchPace / max(0.7, gaps[len(gaps)/2])
	}
	return m
}

func dayStart(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
}

// dayOf is the place of an evening's day. A time.Duration would end after 292 years, which
// a scan that is dated absurdly lies back.
func (m *model) dayOf(e *Evening) int {
	const day = 24 * 60 * 60
	return max(0, int((dayStart(e.First).Unix()-m.from.Unix())/day))
}

// likelihood is how likely the evenings of a day are in each state.
func (m *model) likelihood(d oneDay) (p [states]float64) {
	for s := range p {
		if p[s] = 1; d.out {
			continue
		}
		p[s] = math.Exp(-m.other - m.bench[s])
		for _, k := range d.kinds {
			p[s] *= m.other*m.kinds[0][k] + m.bench[s]*m.kinds[1][k]
		}
	}
	return p
}

// moves is how probable a state comes after another.
func (m *model) moves(s, to int) float64 {
	if s == to {
		return m.stay[s]
	}
	return 1 - m.stay[s]
}

// learn re-estimates the kinds and the rate of all else once. How long builds and the
// times between them last, and how fast they go, is left as it is expected: six of
// each say little.
func (m *model) learn() {
	n := len(m.days)
	forward, scale, likely := make([][states]float64, n), make([]float64, n), make([][states]float64, n)
	of := [states]float64{0.5, 0.5}
	for i, day := range m.days {
		if i > 0 {
			of = [states]float64{}
			for s := range of {
				for to := range of {
					of[to] += forward[i-1][s] * m.moves(s, to)
				}
			}
		}
		likely[i] = m.likelihood(day)
		for s := range of {
			of[s] *= likely[i][s]
			scale[i] += of[s]
		}
		for s := range of {
			forward[i][s] = of[s] / scale[i]
		}
	}
	back := [states]float64{1, 1}
	var days, others float64
	var shares [2][kinds]float64
	for i := n - 1; i >= 0; i-- {
		sum := 0.0
		for s := range back {
			sum += forward[i][s] * back[s]
		}
		if !m.days[i].out {
			days++
			for _, k := range m.days[i].kinds {
				here := 0.0
				for s := range back {
					bench, other := m.bench[s]*m.kinds[1][k], m.other*m.kinds[0][k]
					here += forward[i][s] * back[s] / sum * bench / (bench + other)
				}
				shares[1][k] += here
				shares[0][k] += 1 - here
				others += 1 - here
			}
		}
		var was [states]float64
		for s := range was {
			for to := range was {
				was[s] += m.moves(s, to) * likely[i][to] * back[to] / scale[i]
			}
		}
		back = was
	}
	// A little of what was expected is left, so that nothing becomes certain.
	m.other = (others + 30*elseRate) / (days + 30)
	for s := range shares {
		for k := range shares[s] {
			shares[s][k] += 5 * m.kinds[s][k]
		}
		normalize(shares[s][:])
	}
	m.kinds = shares
}

func normalize(shares []float64) {
	sum := 0.0
	for _, v := range shares {
		sum += v
	}
	for i := range shares {
		shares[i] /= sum
	}
}
