// This file is what the records of the bench book hold: what has to be known of
// parts weeks later. As in bodies.go, fields are only added.

package journal

import "time"

// Noted is what the entries of the bench book have in common: what they are about,
// and the words and the photo beside them.
type Noted struct {
	Build   string    `json:"build"`
	Kit     int       `json:"kit,omitempty"`
	Parts   []PartRef `json:"parts,omitempty"`
	Sub     string    `json:"sub,omitempty"`     // name of a sub-assembly
	Photo   string    `json:"photo,omitempty"`   // hash of one that shows it
	Text    string    `json:"text,omitempty"`    // plain
	Instead string    `json:"instead,omitempty"` // id of the earlier record of this kind that it corrects: that one counts no more
	At      time.Time `json:"at"`
}

// CheckedBody ("checked") is what the runner check found of parts. The
// latest of a part counts.
type CheckedBody struct {
	Noted
	State string `json:"state"` // one of CheckStates
}

// SubBody ("sub") names a group of parts that are worked and painted as one: Sub is
// the name, Parts all that it is made of. The latest of a name counts.
type SubBody struct {
	Noted
	Over bool `json:"over,omitempty"` // it is none any more: joined to the rest, or given up
}

// HoldBody ("hold") is what must be remembered of parts until it ends: something
// cures, is put together without glue, or is masked.
type HoldBody struct {
	Noted
	Is    string  `json:"what"`            // one of HoldWhats
	Of    string  `json:"of,omitempty"`    // what cures: one of CuringOf, or the person's own word
	Hours float64 `json:"hours,omitempty"` // that it takes, as said; 0 = as journal.toml says, if it does
}

// ReleaseBody ("release") ends a hold. The latest of a hold counts.
type ReleaseBody struct {
	Hold string    `json:"hold"` // its record
	Text string    `json:"text,omitempty"`
	At   time.Time `json:"at"`
}

// PrepBody ("prep") is what was done to parts that must be known when they are put
// together, or looked for.
type PrepBody struct {
	Noted
	Is    string    `json:"what,omitempty"`  // one of PrepWhats, "" = something else, as Text says
	With  []PartRef `json:"with,omitempty"`  // the mating parts; of a swap, what came in their place
	Angle string    `json:"angle,omitempty"` // as written: "45°"
	Side  string    `json:"side,omitempty"`  // as written: "left one short"
}

// HandsBody ("hands") is how the hands are: what hurt, or a rest taken for them.
type HandsBody struct {
	Noted
	Session string `json:"session,omitempty"` // at which it came, "" = at none
	Is      string `json:"what,omitempty"`    // one of HandsWhats, "" = something else, as Text says
	Where   string `json:"where,omitempty"`   // "left thumb"
}

// Words of the bench book. Records hold them, so none ever changes.
var (
	CheckStates = []string{"seen", "missing", "damaged", "not-used", "asked", "come"}
	HoldWhats   = []string{"curing", "unglued", "masked"}
	CuringOf    = []string{"glue", "filler", "paint", "decal", "varnish"}
	PrepWhats   = []string{"gates-together", "gates-apart", "pegs", "pull", "shim", "pin", "swap", "store"}
	HandsWhats  = []string{"sore", "blister", "cut", "strain", "rest"}
)
