// This file is the bodies of records of what the work is done with: mixes,
// additions beyond the box, and sanding plans. Each may stand in the place of an
// earlier one of its kind, which then does not count and stays readable.

package journal

import (
	"time"

	"rakelight/journal/sanding"
)

// MixBody ("mix") is a paint as it was mixed: enough to mix it again months later.
type MixBody struct {
	Build   string    `json:"build"`
	Kit     int       `json:"kit,omitempty"`
	Name    string    `json:"name"`             // as the person calls it: "hull red"
	Recipe  []MixPart `json:"recipe,omitempty"` // in parts by volume, the thinner too
	Coats   int       `json:"coats,omitempty"`  // laid with it, 0 = not said
	Batch   string    `json:"batch,omitempty"`  // of the paint, or of this mixing
	Parts   []PartRef `json:"parts,omitempty"`  // painted with it
	Sub     string    `json:"sub,omitempty"`    // name of the sub-assembly that was
	Photo   string    `json:"photo,omitempty"`  // hash of a photo of the swatch, "" = none
	Text    string    `json:"text,omitempty"`
	Instead string    `json:"instead,omitempty"` // id of the mix in whose place this one stands
	At      time.Time `json:"at"`
}

// MixPart is one thing in a mix, in how many parts.
type MixPart struct {
	What  string  `json:"what"`
	Parts float64 `json:"parts"`           // above 0; only their ratio means anything
	Thins bool    `json:"thins,omitempty"` // it is the thinner
}

// AdditionBody ("addition") is something beyond the box, or a reference that was
// worked from: both stand on the show sheet.
type AdditionBody struct {
	Build   string    `json:"build"`
	Kit     int       `json:"kit,omitempty"`
	Kind    string    `json:"kind"` // one of AdditionKinds
	Text    string    `json:"text"`
	Where   string    `json:"where,omitempty"` // on the model, or where the reference is found
	Parts   []PartRef `json:"parts,omitempty"`
	Sub     string    `json:"sub,omitempty"`
	Photo   string    `json:"photo,omitempty"`
	Instead string    `json:"instead,omitempty"` // id of the one in whose place this one stands
	At      time.Time `json:"at"`
}

// AdditionKinds are the kinds of additions: what is not from the box, and what was
// looked at to get it right.
var AdditionKinds = []string{"addition", "reference"}

// SandingBody ("sanding") is the plan by which parts are sanded, with its steps as
// they were then: a default that is edited later does not change it.
type SandingBody struct {
	Build   string         `json:"build"`
	Kit     int            `json:"kit,omitempty"`
	Parts   []PartRef      `json:"parts,omitempty"`
	Sub     string         `json:"sub,omitempty"`
	Surface string         `json:"surface"` // one of sanding.Surfaces
	Finish  string         `json:"finish"`  // one of sanding.Finishes
	Remove  string         `json:"remove"`  // one of sanding.Removes
	Steps   []sanding.Step `json:"steps"`
	Photo   string         `json:"photo,omitempty"`
	Text    string         `json:"text,omitempty"`
	Instead string         `json:"instead,omitempty"` // id of the plan in whose place this one stands
	At      time.Time      `json:"at"`
}
