package wording

import (
	"fmt"
	"strings"

	"rakelight/journal"
)

// ToDo is why there is something to do, lower case and without a period.
func ToDo(c journal.Cause) string {
	switch c := c.(type) {
	case journal.DoubtCause:
		return Doubts(c.Doubts)
	case journal.ZoneCause:
		return fmt.Sprintf("its file states no zone, and %s of that day was taken at %s: if this camera showed the time there, correct it",
			c.Name, c.At.Format("-07:00"))
	case journal.ClockCause:
		return "its camera's clock seems " + journal.SpellFault(c.Fast)
	case journal.StageCause:
		return fmt.Sprintf("it belongs to %s, and no stage is named", c.Build)
	case journal.PlaceCause:
		if !c.Why.Any() {
			return "nothing names its build and stage"
		}
		return Why(c.Why)
	case journal.CardCause:
		return cards(c.Cards)
	case journal.LapseCause:
		return fmt.Sprintf("the card %s held until %s, and no longer after %s without a photo; this one and those after it have no role by it",
			c.Role, c.Last.Format("15:04"), journal.Spell(c.Away))
	case journal.CopyCause:
		return Link(c.Why)
	case journal.FileCause:
		return string(c)
	}
	return unknown
}

// cards is what became of the cards of a photo that a person is asked about.
func cards(all []journal.CardSaid) string {
	var lines []string
	for _, c := range all {
		var why string
		switch {
		case c.Did.Idle():
			why = c.Why()
		case c.Over != nil:
			why = c.Over.String()
		}
		lines = append(lines, fmt.Sprintf("its card (%s): %s", c.Card, why))
	}
	return strings.Join(lines, "; ")
}
