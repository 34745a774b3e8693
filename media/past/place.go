// Where a picture is shown and grouped on the time axis: at its own instant, unless
// that is worth little and something else is known.

package past

import (
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
)

// Placing is why a picture stands where it stands.
type Placing string

// The codes. All but the first three are guesses.
const (
	AsTaken     Placing = ""          // at its own instant
	BySaid      Placing = "said"      // a person said when it was taken
	ByOriginal  Placing = "original"  // where the picture stands that it is a copy of
	ByClock     Placing = "clock"     // its camera's clock seems to have been wrong: see Survey.Clocks
	ByName      Placing = "name"      // at the moment in its name, since an editor changed the one within
	ByNeighbors Placing = "neighbors" // among the files of its folder that are numbered around it
	ByDay       Placing = "day"       // only the day is known, from its name or its file
	ByFileTime  Placing = "file-time" // at the file's own time, which copying may have changed
	ByScan      Placing = "scan"      // at the moment of its scanning
	ByNothing   Placing = "nothing"   // it states no date at all
)

// Doubtful reports whether the place is a guess. Of a copy its original answers for
// the date, and where that one's is a guess, it is counted there.
func (p Placing) Doubtful() bool { return p != AsTaken && p != BySaid && p != ByOriginal }

// hourKnown reports whether the place has an hour, at least a guessed one.
func (p Placing) hourKnown() bool {
	return p == AsTaken || p == ByClock || p == ByName || p == ByOriginal || p == ByNeighbors
}

// place finds the place of every picture.
func (s *Survey) place() {
	for _, p := range s.Pictures {
		p.At, p.Placed = p.Instant.At, placed(p.Instant)
	}
	s.guessClocks()
	s.placeAmongNeighbors()
	for _, p := range s.Pictures {
		// Of a copy of a copy nothing is known but the day in its name.
		if of := s.original(p); of != p && !of.bare() {
			p.At, p.Placed = of.At, ByOriginal
		}
	}
	for _, p := range s.Pictures {
		if p.own = p.At; p.Said != nil && p.Said.First != "" {
			p.At, p.Placed = s.middle(p.Said.First, p.Said.Last), BySaid
		}
	}
}

// placed is what an instant is worth.
func placed(in journal.Instant) Placing {
	switch {
	case in.Source == journal.TakenIn:
		return ByNothing
	case in.Source == journal.FileTime:
		return ByFileTime
	case in.Doubts.Has(reason.Scanned):
		return ByScan
	case in.Doubts.Has(reason.DayOnly):
		return ByDay
	}
	return AsTaken
}

// original is the picture at the end of the copies, the picture itself if it is none.
func (s *Survey) original(p *Picture) *Picture {
	for n := 0; p.CopyOf != "" && n < 8; n++ { // each is larger than the one before: there is no ring
		p = s.byHash[p.CopyOf]
	}
	return p
}

// middle is the middle of a stretch of days, both included.
func (s *Survey) middle(first, last string) time.Time {
	from, err1 := time.Parse(time.DateOnly, first)
	to, err2 := time.Parse(time.DateOnly, last)
	if err1 != nil || err2 != nil {
		return from
	}
	wall := from.Add(12 * time.Hour).Add(to.Sub(from) / 2)
	at, _ := journal.InZone(wall, s.zone(wall))
	return at
}
