// Builds of the years before of which nobody said what became.

package journal

import "slices"

// Untold reports whether nobody said what became of a build of the years before, and when
// its last photo was taken, as well as that is known: that photo was sorted among old
// pictures, nothing but photos tells of the build, and it was never finished, put aside or
// taken up again. Nothing claims that such a build is on the bench.
func (s *State) Untold(b *Build) (last When, ok bool) {
	if b.Finished != "" || !b.Resumed.IsZero() ||
		!slices.ContainsFunc(s.Past, func(p PastSaid) bool { return p.Tags.Build == b.ID }) ||
		slices.ContainsFunc(s.Pauses, func(p Pause) bool { return p.Build == b.ID }) ||
		slices.ContainsFunc(s.SessionsOf(b.ID), func(one *Session) bool {
			return one.Series == "" && one.Known != Remembered
		}) {
		return When{}, false
	}
	for _, p := range slices.Backward(s.photos()) {
		if p.Tags.Build != b.ID || p.OfCards() {
			continue
		}
		seen := s.shownOf(b.ID)
		last = seen.Latest
		if day := seen.Last; day != "" && last.from <= day {
			last = When{Date: day, from: day, to: day}
		}
		return last, s.PastOf(p.Hash) != nil
	}
	return When{}, false
}
