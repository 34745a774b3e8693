// What the bench cards in photos just taken in said, for take and watch.

package main

import (
	"strings"

	"rakelight/journal"
)

// tellCards says in one line what the cards of photos just taken in said and which
// of them did nothing, and then what the sessions they belong to leave open.
func (a *app) tellCards(s *journal.State, taken map[string]bool) { a.tellCardsAs("cards", s, taken) }

// tellCardsAs is tellCards with a beginning of its own.
func (a *app) tellCardsAs(title string, s *journal.State, taken map[string]bool) {
	var cards []journal.CardSaid
	for _, c := range s.Cards {
		if taken[c.Photo] {
			cards = append(cards, c)
		}
	}
	if line := journal.CardsTold(cards, s.Zone); line != "" {
		a.println(title + ": " + line)
	}
	a.tellUnseen(s, cards)
}

// tellUnseen remarks on the sessions of some cards that hold hours without a photo.
func (a *app) tellUnseen(s *journal.State, cards []journal.CardSaid) {
	of := map[string]bool{}
	for _, c := range cards {
		of[c.Session] = true
	}
	for _, one := range s.Sessions {
		if words := s.SaysUnseen(one); of[one.ID] && words != "" {
			a.println("remark: " + words)
		}
	}
}

// tellCardsOf says in one line what the cards of one photo did, and what to type
// about those that did nothing.
func (a *app) tellCardsOf(s *journal.State, p *journal.Photo) {
	var cards []journal.CardSaid
	var said []string
	var asks []journal.ToDo
	for _, c := range s.Cards {
		if c.Photo != p.Hash {
			continue
		}
		cards, said = append(cards, c), append(said, c.Card.String()+": "+c.Came())
		if row, ok := s.CardAsks(p, c); ok && (len(asks) == 0 || asks[len(asks)-1].Command != row.Command) {
			asks = append(asks, row)
		}
	}
	if len(cards) == 0 {
		return
	}
	a.println("  cards: " + strings.Join(said, "; "))
	for _, row := range asks {
		a.println("      " + row.Command)
		if row.Else != "" {
			a.println("      or " + row.Else)
		}
	}
	a.tellUnseen(s, cards)
}
