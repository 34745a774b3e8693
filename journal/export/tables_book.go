// This file is what the tables of the bench book hold.

package export

import (
	"time"

	"rakelight/journal"
)

// Checked is a row of checks.
type Checked struct {
	Build    string            `json:"build" doc:"id of the build"`
	Kit      int               `json:"kit,omitempty" doc:"number of the kit, from 1"`
	Parts    []journal.PartRef `json:"parts,omitempty" doc:"list of the parts"`
	State    string            `json:"state" doc:"seen, missing, damaged, not-used, asked (for a replacement), come"`
	Text     string            `json:"text,omitempty" doc:"as typed"`
	Photo    string            `json:"photo,omitempty" doc:"hash of one that shows it"`
	At       time.Time         `json:"at" doc:"when"`
	Instead  string            `json:"instead,omitempty" doc:"the earlier record that it corrects"`
	Record   string            `json:"record" doc:"its record"`
	Replaced string            `json:"replaced,omitempty" doc:"the later record that corrects it; absent = it counts"`
}

func checkedRow(c journal.Checked) Checked {
	return Checked{c.Build, c.Kit, c.Parts, c.State, c.Text, c.Photo, c.At, c.Instead, c.Record, c.Replaced}
}

// Sub is a row of subs.
type Sub struct {
	Build    string            `json:"build" doc:"id of the build"`
	Kit      int               `json:"kit,omitempty" doc:"number of the kit, from 1"`
	Sub      string            `json:"sub" doc:"its name; other tables name it so"`
	Parts    []journal.PartRef `json:"parts,omitempty" doc:"list of all parts it is made of"`
	Over     bool              `json:"over,omitempty" doc:"it is none any more"`
	Text     string            `json:"text,omitempty" doc:"as typed"`
	Photo    string            `json:"photo,omitempty" doc:"hash of one that shows it"`
	At       time.Time         `json:"at" doc:"when"`
	Instead  string            `json:"instead,omitempty" doc:"the earlier record that it corrects"`
	Record   string            `json:"record" doc:"its record"`
	Replaced string            `json:"replaced,omitempty" doc:"the later record that corrects it; absent = it counts"`
}

func subRow(s journal.Sub) Sub {
	return Sub{s.Build, s.Kit, s.Sub, s.Parts, s.Over, s.Text, s.Photo, s.At, s.Instead, s.Record, s.Replaced}
}

// Hold is a row of holds.
type Hold struct {
	Build    string            `json:"build" doc:"id of the build"`
	Kit      int               `json:"kit,omitempty" doc:"number of the kit, from 1"`
	Parts    []journal.PartRef `json:"parts,omitempty" doc:"list of the parts"`
	Sub      string            `json:"sub,omitempty" doc:"the sub-assembly"`
	What     string            `json:"what" doc:"curing, unglued, masked"`
	Of       string            `json:"of,omitempty" doc:"what cures: glue, filler, paint, decal, varnish, or as typed"`
	Takes    float64           `json:"takes,omitempty" doc:"seconds that it takes to cure, as said of this one"`
	Text     string            `json:"text,omitempty" doc:"as typed"`
	Photo    string            `json:"photo,omitempty" doc:"hash of one that shows it"`
	At       time.Time         `json:"at" doc:"since when"`
	Until    time.Time         `json:"until,omitzero" doc:"when it ended; absent = it has not"`
	EndText  string            `json:"end-text,omitempty" doc:"what was said of the end"`
	Released string            `json:"released,omitempty" doc:"record that ended it"`
	Instead  string            `json:"instead,omitempty" doc:"the earlier record that it corrects"`
	Record   string            `json:"record" doc:"its record"`
	Replaced string            `json:"replaced,omitempty" doc:"the later record that corrects it; absent = it counts"`
}

func holdRow(h journal.Hold) Hold {
	return Hold{h.Build, h.Kit, h.Parts, h.Sub, h.Is, h.Of, 3600 * h.Hours, h.Text, h.Photo, h.At, h.Until, h.EndText,
		h.Released, h.Instead, h.Record, h.Replaced}
}

// Prep is a row of preps.
type Prep struct {
	Build    string            `json:"build" doc:"id of the build"`
	Kit      int               `json:"kit,omitempty" doc:"number of the kit, from 1"`
	Parts    []journal.PartRef `json:"parts,omitempty" doc:"list of the parts"`
	Sub      string            `json:"sub,omitempty" doc:"the sub-assembly"`
	What     string            `json:"what,omitempty" doc:"gates-together, gates-apart, pegs, pull, shim, pin, swap, store; absent = as the text says"`
	With     []journal.PartRef `json:"with,omitempty" doc:"list of the mating parts; of a swap, of what came in their place"`
	Angle    string            `json:"angle,omitempty" doc:"as typed"`
	Side     string            `json:"side,omitempty" doc:"as typed"`
	Text     string            `json:"text,omitempty" doc:"as typed"`
	Photo    string            `json:"photo,omitempty" doc:"hash of one that shows it"`
	At       time.Time         `json:"at" doc:"when"`
	Instead  string            `json:"instead,omitempty" doc:"the earlier record that it corrects"`
	Record   string            `json:"record" doc:"its record"`
	Replaced string            `json:"replaced,omitempty" doc:"the later record that corrects it; absent = it counts"`
}

func prepRow(p journal.Prep) Prep {
	return Prep{p.Build, p.Kit, p.Parts, p.Sub, p.Is, p.With, p.Angle, p.Side, p.Text, p.Photo, p.At, p.Instead,
		p.Record, p.Replaced}
}

// Hands is a row of hands.
type Hands struct {
	Build    string    `json:"build" doc:"id of the build"`
	Kit      int       `json:"kit,omitempty" doc:"number of the kit, from 1"`
	Session  string    `json:"session,omitempty" doc:"id of the session it came at"`
	What     string    `json:"what,omitempty" doc:"sore, blister, cut, strain, rest; absent = as the text says"`
	Where    string    `json:"where,omitempty" doc:"as typed"`
	Text     string    `json:"text,omitempty" doc:"as typed"`
	Photo    string    `json:"photo,omitempty" doc:"hash of one that shows it"`
	At       time.Time `json:"at" doc:"when"`
	Instead  string    `json:"instead,omitempty" doc:"the earlier record that it corrects"`
	Record   string    `json:"record" doc:"its record"`
	Replaced string    `json:"replaced,omitempty" doc:"the later record that corrects it; absent = it counts"`
}

func handsRow(h journal.Hands) Hands {
	return Hands{h.Build, h.Kit, h.Session, h.Is, h.Where, h.Text, h.Photo, h.At, h.Instead, h.Record, h.Replaced}
}
