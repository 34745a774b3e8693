// This file brings what bench cards said to the photos, and whole runners to
// their sessions. The rules are those of the table in cards.go.

package journal

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"rakelight/journal/reason"
)

// cardRunner is a card that says a whole runner is done.
type cardRunner struct {
	photo, text string
	session     *Session
}

// countRunners counts the parts of whole runners, once all other parts of their
// stage are known.
func (f *folding) countRunners() {
	for _, one := range f.runners {
		said := slices.IndexFunc(f.state.Cards, func(c CardSaid) bool {
			return c.Photo == one.photo &&
				c.Text == one.text
		})
		c := &f.state.Cards[said]
		parts, came := f.runnerParts(one.session, c.Card)
		if came.Idle() {
			c.Did = came
			continue
		}
		var left []PartRef
		for _, p := range parts {
			done := 0
			for _, s := range slices.AppendSeq(slices.Clone(f.base), maps.Values(f.sessions)) {
				if s.Build == one.session.Build && s.Stage == one.session.Stage {
					done += countOf(s.Parts, p)
				}
			}
			if done == 0 && !f.taken[one.session.ID+" "+p.Key()] && !f.replaced[one.session.ID] {
				left = append(left, p)
			}
		}
		if len(left) == 0 {
			c.Did = CardCame{What: RunnerBefore, Runner: came.Runner}
			continue
		}
		one.session.Parts, one.session.Counted = append(one.session.Parts, left...), true
		one.session.Tallies = append(one.session.Tallies, Tally{At: c.At, Parts: left, Photo: c.Photo})
		c.Did = CardCame{What: RunnerDone, Runner: came.Runner, N: len(left), Bare: one.session.Bare}
	}
}

// runnerParts are the parts of the runner a card means that are for use. The
// outcome says which runner it is, or why it is none.
func (f *folding) runnerParts(s *Session, c Card) ([]PartRef, CardCame) {
	b := f.state.Build(s.Build)
	if b == nil {
		return nil, CardCame{What: BuildUnknown, Build: s.Build}
	}
	type place struct {
		kit    int
		runner Runner
	}
	var found []place
	for i, k := range b.Kits {
		kit := i + 1
		if len(b.Kits) == 1 {
			kit = 0
		}
		for _, r := range k.Runners {
			if (c.Word == "" || strings.EqualFold(r.Letter, c.Word)) && (c.Kit == 0 || c.Kit == i+1) &&
				(c.Kit != 0 || s.Kit == 0 || s.Kit == i+1) {
				found = append(found, place{kit, r})
			}
		}
	}
	if len(found) == 0 {
		return nil, noRunner(b, c)
	}
	if len(found) != 1 {
		return nil, CardCame{What: ManyRunners, Build: b.ID, N: len(found)}
	}
	var parts []PartRef
	for _, n := range found[0].runner.Parts {
		if !slices.Contains(found[0].runner.NotUsed, n) {
			parts = append(parts, PartRef{Kit: found[0].kit, Runner: found[0].runner.Letter, Number: n, Count: 1})
		}
	}
	return parts, CardCame{What: RunnerDone, Runner: found[0].runner.Letter}
}

// noRunner says which runners the build has instead of the card's.
func noRunner(b *Build, c Card) CardCame {
	var has []string
	for _, k := range b.Kits {
		for _, r := range k.Runners {
			if !slices.Contains(has, r.Letter) {
				has = append(has, r.Letter)
			}
		}
	}
	if len(has) == 0 {
		return CardCame{What: NoRunners, Build: b.ID}
	}
	runner := c.Word
	if c.Kit > 0 {
		runner = fmt.Sprintf("%d/%s", c.Kit, c.Word)
	}
	return CardCame{What: NoRunner, Build: b.ID, Runner: runner, Among: has}
}

// holding is a role, view, light or trial that holds for one camera.
type holding struct {
	card CardSaid
	last time.Time // of the latest photo it held for
}

// tagByCards gives photos what the cards say: the build and stage of a begin
// card in the picture, and the role, view, light and trial that hold. It comes
// above folders and keywords, and below what a person said.
func (f *folding) tagByCards() {
	said := map[string][]CardSaid{}
	for _, c := range f.state.Cards {
		said[c.Photo] = append(said[c.Photo], c)
	}
	if len(said) == 0 && !f.cardsBefore() {
		return
	}
	photos := make([]*Photo, 0, len(f.photos))
	for _, hash := range sortedKeys(f.photos) {
		photos = append(photos, f.photos[hash])
	}
	slices.SortStableFunc(photos, func(a, b *Photo) int { return a.Instant.At.Compare(b.Instant.At) })
	hold := map[Camera]map[CardVerb]*holding{}
	for _, p := range photos {
		if p.wantsSession() {
			f.state.tagAgain(p) // the cards' sessions may have come after it
		}
		if !certain(p.Instant) {
			continue
		}
		for _, c := range said[p.Hash] {
			if c.Did.Idle() {
				continue
			}
			switch c.Card.Says {
			case BeginCard, EndCard, PauseCard:
				if c.Did.What != Lies {
					clear(hold) // another stage, another set of pictures
				}
			case RoleCard, ViewCard, LightCard, TrialCard:
				if hold[p.Camera] == nil {
					hold[p.Camera] = map[CardVerb]*holding{}
				}
				hold[p.Camera][c.Card.Says] = &holding{c, p.Instant.At}
			}
			s := f.sessions[c.Session]
			switch {
			case c.Card.Says == BeginCard && s != nil:
				p.Tags.Build, p.Tags.Stage, p.Guess = s.Build, s.Stage, false
				p.Why["build"], p.Why["stage"] = cardInPicture, cardInPicture
			case c.Card.Says == PauseCard:
				i := slices.IndexFunc(f.state.Pauses, func(one Pause) bool { return one.Photo == p.Hash })
				named := c.Card.Build != "" && p.Why["build"].BySession()
				if build := p.Tags.Build; i >= 0 && (build == "" || named) {
					p.Tags.Build, p.Why["build"] = f.state.Pauses[i].Build, cardInPicture
					if build != "" && build != p.Tags.Build {
						p.Tags.Kit, p.Tags.Stage, p.Guess = 0, "", false // they were of the other build
						delete(p.Why, "kit")
						delete(p.Why, "stage")
					}
				}
			}
		}
		for verb, h := range hold[p.Camera] {
			if away := p.Instant.At.Sub(h.last); away > CardHold {
				delete(hold[p.Camera], verb)
				// After a longer silence the session is over, and nobody expects it.
				if verb == RoleCard && away <= f.state.Config.Silence() && !p.OfCards() {
					p.Lapsed = Lapse{h.card.Card.Word, h.last}
				}
				continue
			}
			h.last = p.Instant.At
			if !p.OfCards() {
				p.hold(h.card, f.state.Zone)
			}
		}
	}
}

// cardInPicture is the reason of a tag that a card in the picture gives.
var cardInPicture = reason.Why{By: reason.Card}

// OfCards reports whether the photo shows bench cards and hardly anything
// else: it was taken to say something, and is no picture of the work. One card
// over half the picture's width is enough, also of a picture held upright. Cards
// that say nothing of the picture (begin, end, pause, counts) need to cover less
// than those laid beside the work to tell what is shown.
func (p *Photo) OfCards() bool {
	const (
		bySymbol = 95 * 76 / (40.0 * 40) // how much larger a card is than its symbol
		beside   = 0.2                   // two cards beside the work cover less
		shown    = 0.14                  // half the width of an upright picture covers more
	)
	covered, most := 0.0, shown
	for _, c := range p.Cards {
		switch said, _ := ParseCard(c.Text); said.Says {
		case RoleCard, ViewCard, LightCard:
			most = beside
		}
		twice := 0.0
		for i := range 4 {
			k := (i + 1) % 4
			twice += c.Corners[2*i]*c.Corners[2*k+1] - c.Corners[2*k]*c.Corners[2*i+1]
		}
		covered += math.Abs(twice) / 2 * bySymbol
	}
	return covered > most*float64(p.Width)*float64(p.Height)
}

// hold gives the photo what a card says.
func (p *Photo) hold(c CardSaid, zone *time.Location) {
	why := cardInPicture
	if c.Photo != p.Hash {
		why = reason.Why{By: reason.CardHeld, Name: c.At.In(zone).Format("15:04")}
	}
	switch c.Card.Says {
	case RoleCard:
		p.Tags.Role, p.Why["role"] = c.Card.Word, why
	case ViewCard:
		p.Tags.View, p.Why["view"] = c.Card.Word, why
	case LightCard:
		p.Tags.Light, p.Why["light"] = c.Card.Word, why
	case TrialCard:
		p.Trial, p.Why["trial"] = c.Card.Count, why
	}
}
