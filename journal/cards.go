// This file tells what photographed bench cards say, and the rules by which
// sessions, counts, pauses, roles and views are made of them. cards_run.go is the
// state machine over the cards of all cameras, ordered by their corrected instants. It sees no order of
// arrival: a card that comes weeks late has the effect it would have had in
// time (TestCardsComeInAnyOrder).
//
// Nothing running means no session by card and no timer at that moment.
//
//	card       while nothing runs          while a session runs
//	begin      a session begins            same stage: it goes on; else it ends
//	                                       there, measured, and the next begins
//	end        listed                      it ends there, measured; a card of
//	                                       another build: listed, it goes on
//	pause      the build is put aside; of  it ends there, measured, and its build
//	           no build: listed            is put aside; of another build: only
//	                                       that one is put aside
//	break      listed                      a break begins in it; the break ends with
//	                                       the same card shown anew or a begin card
//	                                       of the stage, measured; with a count, a
//	                                       runner or a photo of the work more than
//	                                       CardAfter later, estimated
//	N parts    listed; within CardAfter    counted in it
//	           of an end or a pause card:
//	           to the session it ended
//	runner     the same                    the runner's parts that are not done
//	                                       yet are; none left: listed
//	role, view, light: the photo, unless it shows cards alone, and those that
//	           follow of the same camera, until the next of its kind, a begin, end or pause, or half an hour
//	           without a photo of that camera
//	trial      the same; and the session that runs notes it
//	silence    a session that no end, break, pause or count card speaks for ends with
//	           the last photo before a gap longer than card-silence, estimated;
//	           one that such a card speaks for, before a gap longer than the
//	           longest timer. No photo until now is such a gap
//
// Whole runners give their session the class and the kit that all its parts have.
// Begin puts an end to the pause of its build. A begin of any build (a card of
// the generic set) means the build that runs, or was worked on last, or the only
// one that is not finished. A begin, an end, a break, a pause, a count and a runner say
// what they say once: cards_again.go tells a card shown anew from one that was
// photographed twice or left lying. Cards in one picture count in the order count,
// break, end, pause, begin, the rest; two different begins in one picture are listed, and
// neither counts; a begin beside the card that ends its stage begins nothing. A
// card whose photo has a doubtful instant is listed.
// While a timer runs, counts, breaks and the end card go to it, and a begin card is
// listed: the two would count the same hour.
//
// What a person says stays above it: a card record replaces what a photo's cards
// say, and all records that name a session may name one by card, whose id is
// card- and the beginning of the photo's hash (of any photo of the same begin).

package journal

import (
	"errors"
	"fmt"
	"slices"
	"time"
)

// CardSeen is a card found in a photo. Corners are those of its symbol in
// pixels as stored: x, y of upper left, upper right, lower right, lower left as
// the card is read.
type CardSeen struct {
	Text    string     `json:"text"`
	Corners [8]float64 `json:"corners"`
	Error   float64    `json:"error,omitempty"` // standard error of a corner, pixels; 0 = not known
}

// CardBody ("card") is what a person says the cards in a photo say, in place of
// what was read. No cards: they say nothing.
type CardBody struct {
	Photo string   `json:"photo"`
	Cards []string `json:"cards,omitempty"`
}

// CardSaid is one card in one photo and what came of it.
type CardSaid struct {
	At      time.Time
	Photo   string // hash
	Text    string
	Card    Card     // the zero Card when Text is none this version knows
	Session string   // id of the session it touched, "" = none
	Did     CardCame // what it did, or why it did nothing
	Over    *Over    // that more is done with it than there is, nil = it is not
}

// CardHold is how long a role, view or light by card holds without a photo.
const CardHold = 30 * time.Minute

// CardAfter is how long after an end or a pause card a count still belongs to
// the session that ended there.
const CardAfter = 5 * time.Minute

func (f *folding) card(r Record) error {
	b, err := read[CardBody](r)
	if err != nil {
		return err
	}
	if b.Photo == "" {
		return errors.New("it names no photo")
	}
	for _, text := range b.Cards {
		if _, err := ParseCard(text); err != nil {
			return fmt.Errorf("%q: %w", text, err)
		}
	}
	f.cardSaid[b.Photo], f.cardsBy[b.Photo] = slices.Clone(b.Cards), r.ID()
	if f.cardSaid[b.Photo] == nil {
		f.cardSaid[b.Photo] = []string{}
	}
	return nil
}
