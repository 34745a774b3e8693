// Drawn photos of cards alone and of cards beside the work, told apart.

package media

import (
	"testing"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/shot"
)

// TestCardsAloneAndBeside holds that a card shown at half the picture's width
// makes a picture of cards, lying or upright, and that what lies beside the work
// leaves it one of the work.
func TestCardsAloneAndBeside(t *testing.T) {
	begin := journal.Card{Says: journal.BeginCard, Build: journal.BuildKey("pilot-boat"), Stage: journal.StageKey("clean")}
	before := journal.Card{Says: journal.RoleCard, Word: "before"}
	front := journal.Card{Says: journal.ViewCard, Word: "front"}
	for _, one := range []struct {
		name          string
		cards         []journal.Card
		share         float64
		width, height int
		alone         bool
	}{
		{"half the width", []journal.Card{begin}, 0.5, 1120, 840, true},
		{"half the width, upright", []journal.Card{begin}, 0.5, 840, 1120, true},
		{"a role at half the width", []journal.Card{before}, 0.5, 1120, 840, true},
		{"beside the work", []journal.Card{before}, 0.35, 1120, 840, false},
		{"two beside the work", []journal.Card{before, front}, 0.29, 1120, 840, false},
		{"a begin card beside the work", []journal.Card{begin}, 0.33, 1120, 840, false},
		{"beside the work, upright", []journal.Card{before}, 0.45, 840, 1120, false},
	} {
		s := shot.Shot{Width: one.width, Height: one.height, Seed: 7}
		for i, c := range one.cards {
			s.Cards = append(s.Cards, shot.Placed{Face: card.Face{Card: c, Words: c.String()}, Share: one.share, X: 0.3 + 0.4*float64(i), Y: 0.5, Turn: 0.1, Tilt: 0.2})
		}
		img, err := s.Draw()
		if err != nil {
			t.Fatal(err)
		}
		p := journal.Photo{Width: one.width, Height: one.height, Cards: cardsOf(img)}
		if len(p.Cards) != len(one.cards) {
			t.Errorf("%s: %d cards read of %d", one.name, len(p.Cards), len(one.cards))
			continue
		}
		if p.OfCards() != one.alone {
			t.Errorf("%s: of cards alone is %v", one.name, p.OfCards())
		}
	}
}
