// What pages say of the bench book.

package render

import (
	"time"

	"rakelight/journal"
)

// prepTitles are what was done to parts, in the words of the trade.
var prepTitles = map[string]string{
	"gates-together": "Gates cut together", "gates-apart": "Gates cut apart", "pegs": "Pegs cut", "pull": "Pull",
	"shim": "Shimmed", "pin": "Pinned", "swap": "Swapped", "store": "Lies in",
}

func prepTitle(what string) string {
	if t := prepTitles[what]; t != "" {
		return t
	}
	return "Note"
}

// prepWords are the angle, the side and the words of what was done to a part.
func prepWords(p journal.Prep) string {
	angle := p.Angle
	if angle != "" {
		angle = "at " + angle
	}
	return joinWords("; ", angle, p.Side, p.Text)
}

// heldWords says how parts are held, since when, and when they will be ready.
func (v *view) heldWords(h journal.Hold) string {
	return h.HoldWords() + " since " + v.sinceMoment(h)
}

// sinceWords are the same where the head of the line says how they are held: "filler
// since 3 May 2024, 20:10, ready 4 May 2024, 20:10".
func (v *view) sinceWords(h journal.Hold) string {
	words := "since " + v.sinceMoment(h)
	if h.Is == "curing" && h.Of != "" {
		words = h.Of + " " + words
	}
	return words
}

func (v *view) sinceMoment(h journal.Hold) string {
	words := v.minute(h.At)
	if ready := v.ReadyAt(h); !ready.IsZero() {
		words += ", ready " + v.minute(ready)
	}
	return words
}

// minute writes a moment as "3 May 2024, 20:10", or its day alone where no time of day
// is shown.
func (v *view) minute(t time.Time) string {
	if v.times() {
		return t.In(v.zone()).Format("2 January 2006, 15:04")
	}
	return v.day(t.In(v.zone()))
}

// holdTitles are how parts are held, as heads.
var holdTitles = map[string]string{"unglued": "Dry-fitted, not glued", "masked": "Masks on", "curing": "Curing"}

// additionTitle is what an addition is called.
func additionTitle(kind string) string {
	if kind == "reference" {
		return "Reference"
	}
	return "Not from the box"
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
