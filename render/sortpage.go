// To sort: photos that lack a build or a stage, whose place is a guess, whose
// time is doubtful, or that cannot be shown; with what to type next.

package render

import (
	"rakelight/journal"
)

// SortPage is to-sort.html.
type SortPage struct {
	Frame
	Missing []SortLine // no build or no stage
	Guessed []SortLine
	Doubt   []SortLine // the time
	Unshown []SortLine
	Alts    []SortLine // tags too few for words that stand for the picture
	Total   int
}

// SortLine is one photo and the command that would settle it.
type SortLine struct {
	Picture Picture
	What    string
	Type    string
}

// toSort are the photos that want a person's hand.
func (v *view) toSort() []*journal.Photo {
	return keepPhotos(v.Photos, func(p *journal.Photo) bool {
		return p.ToSort() || p.Guess || p.Instant.Doubt != "" || v.unshown[p.Hash] != ""
	})
}

func (v *view) sortPage() SortPage {
	s := SortPage{Frame: v.frame("", "sort", "To sort")}
	for _, p := range v.toSort() {
		s.Total++
		pic := v.picture("", p, asPrint)
		if p.ToSort() {
			what := "no build, no stage"
			if p.Tags.Build != "" {
				what = pic.Where + ": no stage"
			}
			s.Missing = append(s.Missing, SortLine{pic, what, v.tagCommand(p)})
		}
		if p.Guess && !p.ToSort() {
			s.Guessed = append(s.Guessed, SortLine{pic, pic.Where + ": a guess from the nearest session", v.tagCommand(p)})
		}
		if p.Instant.Doubt != "" {
			s.Doubt = append(s.Doubt, SortLine{pic, p.Instant.Doubt, "rakelight why " + p.Short()})
		}
		if why := v.unshown[p.Hash]; why != "" {
			s.Unshown = append(s.Unshown, SortLine{pic, why, "rakelight check"})
		}
	}
	return s
}

// tagCommand is what to type to say where a photo belongs: its own tags where
// it has them, else the build and the stage last worked on.
func (v *view) tagCommand(p *journal.Photo) string {
	b, stage := v.builds[p.Tags.Build], p.Tags.Stage
	if b == nil {
		// The session nearest before it is the likeliest place.
		for _, s := range v.Sessions {
			if s.Start.After(p.Instant.At) {
				break
			}
			if one := v.builds[s.Build]; one != nil && !s.Start.IsZero() {
				b, stage = one, s.Stage
			}
		}
	}
	if b == nil && len(v.order) > 0 {
		b = v.order[len(v.order)-1]
	}
	if b == nil {
		return "rakelight tag " + p.Short() + " mail-seaplane clean"
	}
	if stage == "" && len(b.Stages) > 0 {
		stage = b.Stages[0].ID
	}
	return joinWords(" ", "rakelight tag", p.Short(), b.ID, stage)
}
