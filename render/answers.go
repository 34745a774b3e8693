// The answers that stand first on the pages of pace and skill: one plain
// sentence each, before the charts and the figures they rest on.

package render

import (
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
func (in voice) paceAnswer(c metrics.Comparison, earlier, later string) Answer {
	var a Answer
	switch {
	case !c.OK || !c.Interval.OK:
		a.Lead = in.Say("Your speed cannot be compared yet")
	case c.Verdict() == metrics.Faster:
		a.Lead = in.Say("You work faster now")
	case c.Verdict() == metrics.Slower:
		a.Lead = in.Say("You work slower now")
	default:
		a.Lead = in.Say("No clear change of speed")
	}
	a.Words = in.of(c.Sentence(earlier, later))
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
	a.Lead = v.leadOf(ch, was.named())
	a.Words = v.of(ch.Picked(is.named()))
	a.Note = journal.Capital(v.Say("%s.", ch.Rests(all.Judges)))
	return a, true
}

// leadOf is what a hurried reader takes away from a chance.
func (in voice) leadOf(ch metrics.Chance, earlier string) string {
	switch {
	case ch.Claimed && ch.P > 0.5:
		return in.Say("Your work looks better than on %s", earlier)
	case ch.Claimed:
		return in.Say("Your work looks less good than on %s", earlier)
	case ch.Missing() != [2]int{}:
		return in.Say("Too few photos to compare with %s", earlier)
	}
	return in.Say("No clear difference from %s", earlier)
}
