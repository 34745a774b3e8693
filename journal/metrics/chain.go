// Like for like over the years: each build beside the one before, and beside
// all before.

package metrics

import (
	"math"
	"slices"

	"rakelight/journal/say"
)

// ChainLink is a build in a chain.
type ChainLink struct {
	Build      string
	Comparison Comparison // with the build before it in the chain, Short; zero value in the first
	Speed      float64    // over the first build of the chain; 1 in the first, 0 when !OK
	Interval   Interval   // of Speed, 95 %; none in the first
	OK         bool
	Why        Why // why it does not hang on the chain
}

// Chain compares builds, given in their order, each with the one before it, and
// multiplies the speeds. A build that shares no kind of work with the build
// before it does not hang on the chain; the next is compared with the last that
// does. A chain can drift where a link compares few cells: beside it belongs the
// comparison with all earlier builds, which is Compare with their Works together.
//
// The interval of a speed over several links takes each build's evenings once for
// both links it stands in, because a lucky evening of the build in the middle slows
// the one link as it speeds the other. What is not known of the minutes a part is off in all
// links alike.
//
// Methods as in the Producer Price Index Manual (2004), chapter 15 (chaining).
func Chain(builds [][]Work, o Options) []ChainLink {
	out := make([]ChainLink, len(builds))
	links := links{}
	last := -1
	var before used
	speed := 1.0
	for i, ws := range builds {
		this := o.use(ws)
		out[i] = ChainLink{Build: this.builds}
		if last < 0 {
			if len(this.works) == 0 {
				out[i].Why = Because("no counted sessions with measured time")
				continue
			}
			out[i].OK, out[i].Speed = true, 1
			out[i].Interval.Why = Because("the chain begins here")
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
		out[i].Interval = links.add(c, speed)
		last, before = i, this
	}
	return out
}

// links are the comparisons of a chain so far, and what is known of their product.
type links struct {
	last    []*compared
	evening float64 // variance of the log of the chain by the evenings
	alone   spread  // as if the links had nothing to do with each other
	minutes float64 // its variance by the minutes a part
	why     Why     // why the chain so far has no interval
}

// add hangs a comparison on the chain and returns the interval of its end. The
// evenings of the build in the middle are in the link before too: their covariance in both
// links is taken from the working model, by the sizes that the links were seen to have.
func (l *links) add(c compared, speed float64) Interval {
	if !c.Interval.OK && !l.why.Any() {
		l.why = tooFew(Because("a link has too few evenings"))
	}
	if l.why.Any() {
		return Interval{Why: l.why}
	}
	if n := len(l.last); n > 0 {
		before := l.last[n-1]
		l.evening += 2 * before.voices[1].hears(c.voices[0], c.known) *
			math.Sqrt(before.evenings.variance*c.evenings.variance/(before.modeled()*c.modeled()))
	}
	for _, before := range l.last {
		l.minutes += c.doubt(before) + before.doubt(&c)
	}
	l.minutes += c.doubt(&c)
	l.last = append(l.last, &c)
	l.evening += c.evenings.variance
	l.alone = together(l.alone, c.evenings)
	s := spread{variance: max(l.evening, c.evenings.floor), df: l.alone.df}
	iv, _ := s.blurred(l.minutes).judge(speed)
	return iv
}

// modeled is the variance of log speed by the evenings under the working model.
func (c *compared) modeled() float64 {
	return c.voices[0].hears(c.voices[0], c.known) + c.voices[1].hears(c.voices[1], c.known)
}

// ChainSentence says where the chain ends, which no claim rests on: what is off in one
// link is off in all after it; title names a build by its id.
func ChainSentence(chain []ChainLink, title func(id string) string) say.Text {
	first := slices.IndexFunc(chain, func(l ChainLink) bool { return l.OK })
	last := len(chain) - 1
	for last >= 0 && !chain[last].OK {
		last--
	}
	if first < 0 || last <= first {
		return say.Of("No two builds in a row share work that can be compared.")
	}
	a, b := chain[first], chain[last]
	if !b.Interval.OK {
		return say.Of("Build by build from %s to %s: %s times the speed (%s).", title(a.Build), title(b.Build),
			Figure(b.Speed), b.Interval.Why)
	}
	return say.Of("Build by build from %s to %s: %s times the speed (%s to %s; %s); a chain is shown, not claimed.",
		title(a.Build),
		title(b.Build), Figure(b.Speed),
		Figure(b.Interval.Low), Figure(b.Interval.High), say.Count{N: last - first, Noun: "link"})
}
