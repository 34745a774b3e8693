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

// paceAnswer says whether a build went faster than some earlier work.
func paceAnswer(c metrics.Comparison, earlier, later string) Answer {
	var a Answer
	switch {
	case !c.OK || !c.Interval.OK:
		a.Lead, a.Words = "Your speed cannot be compared yet", c.Sentence(earlier, later)
		return a
	case c.Verdict() == metrics.Faster:
		a.Lead = "You work faster now"
	case c.Verdict() == metrics.Slower:
		a.Lead = "You work slower now"
	default:
		a.Lead = "No clear change of speed"
	}
	a.Words = c.Sentence(earlier, later)
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
	a.Lead = leadOf(ch, was.named())
	a.Words = fmt.Sprintf("of two photos of the same stage, the one of %s would be picked %s%s.", is.named(),
		ch.Odds(), ch.Unclaimed())
	a.Note = capital(ch.Rests(all.Judges)) + "."
	return a, true
}

// leadOf is what a hurried reader takes away from a chance.
func leadOf(ch metrics.Chance, earlier string) string {
	switch {
	case ch.Claimed && ch.P > 0.5:
		return "Your work looks better than on " + earlier
	case ch.Claimed:
		return "Your work looks less good than on " + earlier
	case ch.Missing() != [2]int{}:
		return "Too few photos to compare with " + earlier
	}
	return "No clear difference from " + earlier
}
