// To sort: photos that lack a build or a stage, whose place is a guess, whose
// time is doubtful, or that cannot be shown; with what to type next.

package render

import (
	"fmt"

	"rakelight/journal"
)

// SortPage is to-sort.html. A photo stands in one part only, the first that
// fits, with all that there is to say about it.
type SortPage struct {
	Frame
	Parts []SortPart
	Sum   string // "3 photos: 2 without a build or a stage, 1 whose place is a guess"
	Total int
}

// SortPart is the photos that want the same thing first.
type SortPart struct {
	Title string
	Lines []SortLine
}

// SortLine is one photo and the commands that would settle it.
type SortLine struct {
	Picture Picture
	Reasons []Reason
}

// Reason is what is wrong with a photo and what to type about it.
type Reason struct{ What, Type string }

// toSort are the photos that want a person's hand.
func (v *view) toSort() []*journal.Photo {
	return keepPhotos(v.Photos, func(p *journal.Photo) bool {
		return p.ToSort() || p.Guess || p.Instant.Doubt != "" || v.unshown[p.Hash] != ""
	})
}

func (v *view) sortPage() SortPage {
	s := SortPage{Frame: v.frame("", "sort", "To sort")}
	parts := [...]struct {
		SortPart
		word string
	}{
		{SortPart{Title: "Without a build or a stage"}, "without a build or a stage"},
		{SortPart{Title: "Their place is a guess"}, "whose place is a guess"},
		{SortPart{Title: "Their time is in doubt"}, "whose time is in doubt"},
		{SortPart{Title: "They cannot be shown"}, "that cannot be shown"},
	}
	for _, p := range v.toSort() {
		s.Total++
		line := SortLine{Picture: v.picture("", p, asPrint)}
		place := -1
		add := func(part int, what, command string) {
			if place < 0 {
				place = part
			}
			line.Reasons = append(line.Reasons, Reason{what, command})
		}
		switch {
		case p.ToSort() && p.Tags.Build == "":
			add(0, "no build, no stage", v.tagCommand(p))
		case p.ToSort():
			add(0, line.Picture.Where+": no stage", v.tagCommand(p))
		case p.Guess:
			add(1, line.Picture.Where+": a guess from the nearest session", v.tagCommand(p))
		}
		if p.Instant.Doubt != "" {
			add(2, "time in doubt: "+p.Instant.Doubt, "rakelight why "+v.stem[p.Hash])
		}
		if why := v.unshown[p.Hash]; why != "" {
			add(3, "no picture: "+why, "rakelight check")
		}
		parts[place].Lines = append(parts[place].Lines, line)
	}
	for _, part := range parts {
		if n := len(part.Lines); n > 0 {
			s.Parts = append(s.Parts, part.SortPart)
			s.Sum = joinWords(", ", s.Sum, fmt.Sprintf("%d %s", n, part.word))
		}
	}
	s.Sum = count(s.Total, "photo") + ": " + s.Sum
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
		return "rakelight tag " + v.stem[p.Hash] + " mail-seaplane clean"
	}
	if stage == "" && len(b.Stages) > 0 {
		stage = b.Stages[0].ID
	}
	return joinWords(" ", "rakelight tag", v.stem[p.Hash], b.ID, stage)
}
