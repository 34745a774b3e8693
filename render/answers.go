// The answers that stand first on the pages of pace and skill: one plain
// sentence each, before the charts and the figures they rest on.

package render

import (
	"fmt"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

// Answer says in one sentence what a page has found. Lead is what a hurried
// reader takes away: it names a change only where the range leaves no change
// out.
type Answer struct {
	Lead, Words    string
	Note           string
	Href, HrefText string // the way to what it rests on, "" = it stands below
}

// paceAnswer says whether a build went faster than an earlier one.
func paceAnswer(c metrics.Comparison, note string, earlier, later *build) Answer {
	a := Answer{Note: note}
	switch {
	case c.OK && c.Verdict() == metrics.Faster:
		a.Lead = "You are faster than on " + earlier.named()
	case c.OK && c.Verdict() == metrics.Slower:
		a.Lead = "You are slower than on " + earlier.named()
	case c.Verdict() == metrics.Same || c.Verdict() == metrics.Unclear:
		a.Lead = "No clear change of speed since " + earlier.named()
	default:
		a.Lead, a.Words = "Your speed cannot be compared yet", c.Sentence(earlier.named(), later.named())
		return a
	}
	a.Words = fmt.Sprintf("on the same kinds of work, %s went at %s times its speed (range %s to %s; %d and %s",
		later.named(), figure(c.Speed),
		figure(c.Interval.Low), figure(c.Interval.High), c.N1, count(c.N2, "session"))
	if c.Interval.Low <= 1 && c.Interval.High >= 1 {
		a.Words += "; the range holds 1, which is no change"
	}
	a.Words += ")."
	return a
}

// skillAnswer says whether the work on a build looks better than on an earlier
// one. ok is false where no pairs tell.
func (v *view) skillAnswer(q *journal.Quality, earlier, later string) (a Answer, ok bool) {
	all := q.Rankings[0]
	ch := all.Chance(later, earlier)
	was, is := v.builds[earlier], v.builds[later]
	if !ch.OK || was == nil || is == nil {
		return a, false
	}
	switch {
	case !ch.Told():
		a.Lead = "No clear difference from " + was.named()
	case ch.P > 0.5:
		a.Lead = "Your work looks better than on " + was.named()
	default:
		a.Lead = "Your work looks less good than on " + was.named()
	}
	a.Words = fmt.Sprintf("of two photos of the same step, the one of %s is picked %.0f times in 100 (range %.0f to %.0f; %s, %s",
		is.named(),
		100*ch.P, 100*ch.Interval.Low, 100*ch.Interval.High, count(ch.N, "pair"), count(all.Judges, "judge"))
	if !ch.Told() {
		a.Words += "; the range holds 50, which is no difference"
	}
	a.Words += ")."
	return a, true
}
