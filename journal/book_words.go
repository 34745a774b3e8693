// This file has the words of the bench book that commands, remarks and pages share.

package journal

import (
	"strings"
	"time"
)

// StateWords says what was found of a part, in the words of the trade.
func StateWords(state string) string {
	switch state {
	case "not-used":
		return "not for use"
	case "asked":
		return "replacement asked for"
	case "come":
		return "replacement arrived"
	}
	return state
}

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
func (h Hold) HoldWords() string {
	switch h.Is {
	case "unglued":
		return "dry-fitted, not glued"
	case "masked":
		return "masks on"
	}
	if h.Of == "" {
		return "curing"
	}
	return h.Of + " curing"
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
func (p Prep) PrepWords() string {
	with := ""
	if len(p.With) > 0 {
		with = " with " + Ranges(p.With)
	}
	words := map[string]string{
		"gates-together": "gates cut together" + with, "gates-apart": "gates cut apart" + with,
		"pegs": "pegs cut", "pull": "pull", "shim": "shimmed" + with, "pin": "pinned" + with,
		"swap": "swapped", "store": "stored", "": "",
	}[p.Is]
	if p.Is == "swap" && len(p.With) > 0 {
		words += " for " + Ranges(p.With)
	}
	if p.Is != "swap" && !strings.Contains(words, " with ") && with != "" {
		words += with
	}
	if p.Angle != "" {
		words += " at " + p.Angle
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
func (p PartLedger) LackWords() string {
	switch {
	case p.Use != Missing:
		return ""
	case p.Found == "missing":
		return "missing from the box"
	}
	return StateWords(p.Found)
}
