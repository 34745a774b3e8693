// What pages say of the bench book.

package render

import (
	"time"

	"rakelight/journal"
	"rakelight/journal/say"
)

// prepTitles are what was done to parts, in the words of the trade.
var prepTitles = map[string]say.Key{
	"gates-together": "Gates cut together", "gates-apart": "Gates cut apart", "pegs": "Pegs cut", "pull": "Pull",
	"shim": "Shimmed", "pin": "Pinned", "swap": "Swapped", "store": "Lies in",
}

func (in voice) prepTitle(what string) string {
	if t := prepTitles[what]; t != "" {
		return in.Say(t)
	}
	return in.Say("Note")
}

// prepWords are the angle, the side and the words of what was done to a part.
func (in voice) prepWords(p journal.Prep) string {
	angle := p.Angle
	if angle != "" {
		angle = in.Say("angle¦at %s", angle)
	}
	return joinWords("; ", angle, p.Side, p.Text)
}

// heldWords says how parts are held, since when, and when they will be ready.
func (v *view) heldWords(h journal.Hold) string {
	return v.Say("%s since %s", h.Said(v.Speaker), v.sinceMoment(h))
}

// sinceWords are the same where the head of the line says how they are held: "filler
// since 3 May 2024, 20:10, ready 4 May 2024, 20:10".
func (v *view) sinceWords(h journal.Hold) string {
	words := v.Say("since %s", v.sinceMoment(h))
	if h.Is == "curing" && h.Of != "" {
		words = h.Of + " " + words
	}
	return words
}

func (v *view) sinceMoment(h journal.Hold) string {
	words := v.minute(h.At)
	if ready := v.ReadyAt(h); !ready.IsZero() {
		words = joinWords(", ", words, v.Say("ready %s", v.minute(ready)))
	}
	return words
}

// minute writes a moment as "3 May 2024, 20:10", or its day alone where no time of day
// is shown.
func (v *view) minute(t time.Time) string {
	if v.times() {
		return v.day(t.In(v.zone())) + ", " + t.In(v.zone()).Format("15:04")
	}
	return v.day(t.In(v.zone()))
}

// holdTitles are how parts are held, as heads.
var holdTitles = map[string]say.Key{"unglued": "Dry-fitted, not glued", "masked": "Masks on", "curing": "hold¦Curing"}

// additionTitle is what an addition is called.
func (in voice) additionTitle(kind string) string {
	if kind == "reference" {
		return in.Say("Reference")
	}
	return in.Say("Not from the box")
}

// supplyWords says what is so of a supply: "ordered 3 May 2024, cost 4.50".
func (in voice) supplyWords(s journal.Supply) string {
	words := s.State
	switch {
	case s.State == journal.SupplyOrdered && s.Ordered != "":
		words += " " + in.dayOf(s.Ordered)
	case s.State == journal.SupplyCome && s.Come != "":
		words += " " + in.dayOf(s.Come)
	}
	if s.Cost != "" {
		words = joinWords(", ", words, "cost "+s.Cost)
	}
	return words
}
