// This file tells what to type about bench cards that did nothing, or count more
// than there is.

package journal

import (
	"fmt"
	"slices"
	"strings"
)

// cardRows lists the cards a person is asked about. Cards of one picture that were
// seen before are one row: one command counts them all.
func (s *State) cardRows() []ToDo {
	photos, of := map[string]*Photo{}, map[string][]CardSaid{}
	for _, c := range s.Cards {
		of[c.Photo] = append(of[c.Photo], c)
	}
	if len(of) == 0 {
		return nil
	}
	for _, p := range s.photos() {
		photos[p.Hash] = p
	}
	var rows []ToDo
	for _, c := range s.Cards {
		p := photos[c.Photo]
		if p == nil || !c.Did.Idle() && c.Over == nil {
			continue
		}
		row := s.cardRow(p, c, of[c.Photo])
		if n := len(rows); n > 0 && c.Did.again() && rows[n-1].Photo == p && rows[n-1].Command == row.Command {
			rows[n-1].Why = CardCause{append(rows[n-1].Why.(CardCause).Cards, c)}
			continue
		}
		rows = append(rows, row)
	}
	return rows
}

// CardAsks is the row of ToDo about a card of a photo, false if there is none.
func (s *State) CardAsks(p *Photo, c CardSaid) (ToDo, bool) {
	if !c.Did.Idle() && c.Over == nil {
		return ToDo{}, false
	}
	return s.cardRow(p, c, keep(s.Cards, func(one CardSaid) bool { return one.Photo == p.Hash })), true
}

// cardRow is what to do about a card; all are the cards of its photo.
func (s *State) cardRow(p *Photo, c CardSaid, all []CardSaid) ToDo {
	say := func(words string) string { return Typed("rakelight cards --say %s %s", p.Short(), words) }
	row := ToDo{Kind: CardWrong, Photo: p, Why: CardCause{[]CardSaid{c}}, Else: s.silence(p, all)}
	ignore := Typed("rakelight cards --ignore %s", p.Short())
	if c.Card.Says == BreakCard && c.Did.What == NothingRan {
		row.Command, row.Else = ignore, "" // a break outside of work changes nothing
		return row
	}
	switch c.Did.What {
	case InView, Retaken:
		row.Command = say(s.words(all, func(d CardCame) bool { return !d.Idle() || d.again() }))
	case NothingRan:
		row.Command = Typed("rakelight worked %s STAGE %s", s.onlyBuild(), "DAY, HOW LONG")
		if c.Card.Says == CountCard {
			row.Command += fmt.Sprintf(" --parts %d", c.Card.Count)
		}
	case TimeInDoubt:
		row.Command = Typed("rakelight clock --photo %s --really TIME", p.Short())
		if !p.TellsClock() {
			row.Command = Typed("rakelight date %s WHEN", p.Short()) // no clock told it, and a card needs the hour
		}
	case TimerRan, EndByHand, RunnerBefore:
		row.Command, row.Else = ignore, ""
	case NoRunners, ManyRunners:
		row.Command = say("NUMBER parts")
	default:
		row.Command = say(s.sayInstead(c))
	}
	return row
}

// silence is the command by which the cards that did nothing say nothing, and the
// others of the photo what they said.
func (s *State) silence(p *Photo, all []CardSaid) string {
	if words := s.words(all, func(d CardCame) bool {
		return !d.Idle() && d.What != Lies &&
			d.What != Once
	}); words != "" && !slices.ContainsFunc(all, func(c CardSaid) bool { return c.Over != nil }) {
		return Typed("rakelight cards --say %s %s", p.Short(), words)
	}
	return Typed("rakelight cards --ignore %s", p.Short())
}

// words are those cards of a photo that pass, as rakelight cards --say takes them.
func (s *State) words(all []CardSaid, pass func(CardCame) bool) string {
	var words []string
	for _, c := range all {
		if pass(c.Did) {
			words = append(words, s.Words(c.Card))
		}
	}
	return strings.Join(words, ", ")
}

// onlyBuild is the build of a journal that has one, else BUILD.
func (s *State) onlyBuild() string {
	if len(s.Builds) == 1 {
		return s.Builds[0].ID
	}
	return "BUILD"
}

// sayInstead is what a card that does not fit may have been to say, in the words
// of rakelight cards --say; what only the person knows is in capitals.
func (s *State) sayInstead(c CardSaid) string {
	build := s.onlyBuild()
	switch c.Card.Says {
	case BeginCard:
		stage := "STAGE"
		for _, b := range s.Builds {
			for _, st := range b.Stages {
				if StageKey(st.ID) == c.Card.Stage {
					stage = st.ID
				}
			}
		}
		return fmt.Sprintf("begin %s of %s", stage, build)
	case EndCard:
		return "end"
	case BreakCard:
		return "break"
	case PauseCard:
		return "pause of " + build
	case RunnerCard:
		return "runner LETTER"
	case CountCard:
		return "NUMBER parts"
	}
	return "WORDS"
}
