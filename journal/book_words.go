// This file has the words of the bench book that commands, remarks and pages share.

package journal

import (
	"strings"
	"time"

	"rakelight/journal/say"
)

// StateWords says what was found of a part, in the words of the trade.
func StateWords(state string) string { return StateSaid(state).In(say.English()) }

// StateSaid is the same for any language.
func StateSaid(state string) say.Wording {
	return saidOf(stateWords, state)
}

var stateWords = map[string]say.Key{"seen": "part¦seen", "missing": "part¦missing", "damaged": "part¦damaged",
	"not-used": "not for use", "asked": "replacement asked for", "come": "replacement arrived"}

// On is what an entry of the bench book is about: "cab", "A1-A4,B3".
func (n Noted) On() string {
	if n.Sub != "" {
		return n.Sub
	}
	return Ranges(n.Parts)
}

// Lacks says what is lacking: "A5 missing; B2,B3 replacement asked for".
func Lacks(all []Found) string {
	var states []string
	parts := map[string][]PartRef{}
	for _, f := range all {
		if parts[f.State] == nil {
			states = append(states, f.State)
		}
		parts[f.State] = append(parts[f.State], f.Part)
	}
	var words []string
	for _, state := range states {
		words = append(words, Ranges(parts[state])+" "+StateWords(state))
	}
	return strings.Join(words, "; ")
}

// HoldWords says how parts are held: "filler curing", "dry-fitted, not glued", "masks
// on".
func (h Hold) HoldWords() string { return h.Said(say.English()) }

// Said says it in a language.
func (h Hold) Said(in *say.Speaker) string {
	switch h.Is {
	case "unglued":
		return in.Say("dry-fitted, not glued")
	case "masked":
		return in.Say("masks on")
	}
	if h.Of == "" {
		return in.Say("hold¦curing")
	}
	return in.Say("%s curing", h.Of)
}

// TellHold says what has to be remembered, and since when: "cab: filler curing since
// 2026-03-14 20:10, ready 2026-03-15 20:10".
func (s *State) TellHold(h Hold) string {
	words := h.On() + ": " + s.HeldSince(h)
	if h.Text != "" {
		words += "; " + h.Text
	}
	return words
}

// HeldSince says how parts are held and since when: "filler curing since 2026-03-14
// 20:10, ready 2026-03-15 20:10".
func (s *State) HeldSince(h Hold) string {
	words := h.HoldWords() + " since " + s.told(h.At)
	if ready := s.ReadyAt(h); !ready.IsZero() {
		words += ", ready " + s.told(ready)
	}
	return words
}

// told is a moment in the journal's zone.
func (s *State) told(at time.Time) string { return at.In(s.zone()).Format(minute) }

// PrepWords says what was done to a part: "gates cut together with B3", "pegs cut at
// 45°, left one short".
func (p Prep) PrepWords() string { return p.Said(say.English()) }

var prepWords = map[string]say.Key{"gates-together": "gates cut together", "gates-apart": "gates cut apart",
	"pegs": "pegs cut", "pull": "pull", "shim": "shimmed", "pin": "pinned", "swap": "swapped", "store": "stored"}

// Said says it in a language.
func (p Prep) Said(in *say.Speaker) string {
	words := ""
	if key, ok := prepWords[p.Is]; ok {
		words = in.Say(key)
	}
	switch {
	case len(p.With) == 0:
	case p.Is == "swap":
		words = in.Say("%s for %s", words, Ranges(p.With))
	default:
		words = in.Say("prep¦%s with %s", words, Ranges(p.With))
	}
	if p.Angle != "" {
		words = in.Say("prep¦%s at %s", words, p.Angle)
	}
	var more []string
	for _, one := range []string{p.Side, p.Text} {
		if one != "" {
			more = append(more, one)
		}
	}
	if words == "" {
		return strings.Join(more, "; ")
	}
	if len(more) > 0 {
		words += ": " + strings.Join(more, "; ")
	}
	return strings.TrimSpace(words)
}

// HandsWords says how the hands were: "sore, left thumb".
func (h Hands) HandsWords() string {
	var words []string
	what := h.Is
	if what == "rest" {
		what = "rest taken"
	}
	for _, one := range []string{what, h.Where, h.Text} {
		if one != "" {
			words = append(words, one)
		}
	}
	return strings.Join(words, ", ")
}

// LackWords says how a part is lacking, "" if it is not.
func (p PartLedger) LackWords() string { return p.LackSaid(say.English()) }

// LackSaid says it in a language.
func (p PartLedger) LackSaid(in *say.Speaker) string {
	switch {
	case p.Use != Missing:
		return ""
	case p.Found == "missing":
		return in.Say("missing from the box")
	}
	return StateSaid(p.Found).In(in)
}
