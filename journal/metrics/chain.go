// Like for like over the years: each build beside the one before, and beside
// all before.

package metrics

import (
	"fmt"
	"slices"
)

// ChainLink is a build in a chain.
type ChainLink struct {
	Build      string
	Comparison Comparison // with the build before it in the chain; zero value in the first
	Speed      float64    // over the first build of the chain; 1 in the first, 0 when !OK
	Interval   Interval   // of Speed, 95 %; none in the first
	OK         bool
	Why        string // why it does not hang on the chain
}

// Chain compares builds, given in their order, each with the one before it, and
// multiplies the speeds. A build that shares no kind of work with the build
// before it does not hang on the chain; the next is compared with the last that
// does. A chain can drift where a link compares few cells: beside it belongs the
// comparison with all earlier builds, which is Compare with their Works together.
//
// The interval of a speed over several links takes each build's evenings once for
// both links it stands in, because a lucky evening of the build in the middle slows
// the one link as it speeds the other.
//
// Methods as in the Producer Price Index Manual (2004), chapter 15 (chaining).
func Chain(builds [][]Work, o Options) []ChainLink {
	out := make([]ChainLink, len(builds))
	links := links{at: map[place]int{}}
	last := -1
	var before used
	speed := 1.0
	for i, ws := range builds {
		this := o.use(ws)
		out[i] = ChainLink{Build: this.builds}
		if last < 0 {
			if len(this.works) == 0 {
				out[i].Why = "no counted sessions with measured time"
				continue
			}
			out[i].OK, out[i].Speed = true, 1
			out[i].Interval.Why = "the chain begins here"
			last, before = i, this
			continue
		}
		c := compare(before, this)
		out[i].Comparison = c.Comparison
		if !c.OK {
			out[i].Why = c.Why
			continue
		}
		speed *= c.Speed
		out[i].OK, out[i].Speed = true, speed
		out[i].Interval = links.add(last, i, c, speed)
		last, before = i, this
	}
	return out
}

// place is one cell of one build.
type place struct {
	build int
	cell  Cell
}

// links are the builds of a chain so far. A cell that all builds share moves out
// again at the link after: the chain then compares its ends.
type links struct {
	at     map[place]int // in the moves of its build
	builds []linked
	why    string // why the chain so far has no interval
}

// linked is a build with all that it brings to the log of the chain.
type linked struct {
	build    int
	calendar *calendar
	moves    []moved
	extra    []float64
	spread   spread
}

// add hangs a comparison on the chain and returns the interval of its end.
func (l *links) add(from, to int, c compared, speed float64) Interval {
	if !c.Interval.OK && l.why == "" {
		l.why = "too few to tell: a link has too few evenings in its cells"
	}
	spreads := make([]spread, 0, len(l.builds)+2)
	for k, build := range []int{from, to} {
		l.join(build, c, k)
	}
	if l.why != "" {
		return Interval{Why: l.why}
	}
	for _, b := range l.builds {
		spreads = append(spreads, b.spread)
	}
	iv, _ := together(spreads...).judge(speed)
	return iv
}

// join adds what a build brings to a link, and works its spread out anew.
func (l *links) join(build int, c compared, k int) {
	n := len(l.builds) - 1
	if n < 0 || l.builds[n].build != build {
		l.builds = append(l.builds, linked{build: build, calendar: c.sides[k].calendar,
			extra: make([]float64, c.sides[k].calendar.n)})
		n++
	}
	b := &l.builds[n]
	for i, m := range c.moves[k] {
		p := place{build, c.Cells[i].Cell}
		at, ok := l.at[p]
		if !ok {
			at = len(b.moves)
			l.at[p] = at
			b.moves = append(b.moves, moved{of: m.of})
		}
		b.moves[at].by += m.by
	}
	for at, x := range c.sides[k].extra {
		b.extra[at] += x
	}
	b.spread = b.calendar.spreadOf(b.moves, c.known, b.extra, false)
}

// ChainSentence says where the chain ends, which no claim rests on: what is off in one
// link is off in all after it; title names a build by its id.
func ChainSentence(chain []ChainLink, title func(id string) string) string {
	first := slices.IndexFunc(chain, func(l ChainLink) bool { return l.OK })
	last := len(chain) - 1
	for last >= 0 && !chain[last].OK {
		last--
	}
	if first < 0 || last <= first {
		return "No two builds in a row share a kind of work that can be compared."
	}
	a, b := chain[first], chain[last]
	if !b.Interval.OK {
		return fmt.Sprintf("Build by build from %s to %s: %s times the speed (%s).", title(a.Build), title(b.Build),
			Figure(b.Speed), b.Interval.Why)
	}
	return fmt.Sprintf("Build by build from %s to %s: %s times the speed (%s to %s; %s); a chain is shown and not claimed.",
		title(a.Build),
		title(b.Build), Figure(b.Speed),
		Figure(b.Interval.Low), Figure(b.Interval.High), Count(last-first, "link"))
}
