package reason

import (
	"slices"
	"time"
)

// Is is the code of a doubt.
type Is string

// What speaks against an instant.
const (
	FileTime  Is = "file-time"  // it is the file's own time
	DayOnly   Is = "day"        // only the day is known
	SomeDay   Is = "some-day"   // some day from First to Last
	Scanned   Is = "scanned"    // it is when the print or the film was scanned
	TakingIn  Is = "taking-in"  // there is no date at all; it is when it was taken in
	NeverSet  Is = "never-set"  // the first day of a clock that was never set
	Ahead     Is = "ahead"      // it lies after the taking in
	Twice     Is = "twice"      // the hour came twice that night: At, Or
	Skipped   Is = "skipped"    // Wall was skipped that night: At, Or
	UTCOrNot  Is = "utc-or-not" // of a clip: its header may tell UTC, At, or the local time, Or: Wall
	OutOfTime Is = "odd-year"   // a date the file states is of another time: Source, Text
	Free      Is = "words"      // as somebody wrote it: Text
	NotAsked  Is = "not-asked"  // the instant is not to place the photo
	NoSuchDay Is = "no-such"    // a date the file states is none: Source, Text
	Zeros     Is = "zeros"      // a date the file states is all zeros: Source, Text
	Unset     Is = "unset"      // a date the file states is the first moment of a clock: Source, Text
	Unread    Is = "not-a-date" // what the file states is not written as a date: Source, Text
)

// Doubt is one thing that speaks against an instant, or a date that a file
// states and that was passed over.
type Doubt struct {
	Is     Is     `json:"is"`
	Source string `json:"source,omitempty"` // where the odd date stands: "GPS", "file name"
	Text   string `json:"text,omitempty"`   // that date as written, else words
	Wall   string `json:"wall,omitempty"`   // HH:MM that the clock showed
	At     string `json:"at,omitempty"`     // what it may mean, HH:MM±HH:MM; this one was taken
	Or     string `json:"or,omitempty"`
	First  string `json:"first,omitempty"` // YYYY-MM-DD, both included
	Last   string `json:"last,omitempty"`
}

// Doubts are all that speaks against an instant; none is none.
type Doubts []Doubt

// Any reports whether the instant is in doubt.
func (d Doubts) Any() bool { return len(d) > 0 }

// Has reports whether one of the codes is among the doubts.
func (d Doubts) Has(codes ...Is) bool {
	return slices.ContainsFunc(d, func(one Doubt) bool { return slices.Contains(codes, one.Is) })
}

// With adds a doubt, and leaves d as it is.
func (d Doubts) With(one Doubt) Doubts { return append(slices.Clip(d), one) }

// Without leaves out the doubts of some codes, and leaves d as it is.
func (d Doubts) Without(codes ...Is) Doubts {
	var left Doubts
	for _, one := range d {
		if !slices.Contains(codes, one.Is) {
			left = append(left, one)
		}
	}
	return left
}

// Clock is how a wall time of two meanings names one of them.
const Clock = "15:04-07:00"

// Readings is the doubt of a wall time that means two moments, or none and then
// lies between two.
func Readings(is Is, wall, at, or time.Time) Doubt {
	d := Doubt{Is: is, At: at.Format(Clock), Or: or.Format(Clock)}
	if is == Skipped {
		d.Wall = wall.Format("15:04")
	}
	return d
}

// LengthIs is the code of a doubt about how long a session was.
type LengthIs string

// What speaks against the length of a session.
const (
	NoEnd   LengthIs = "no-end"   // a card began it and nothing tells when it ended
	RanLong LengthIs = "ran-long" // it ran longer than a timer may: Ran, Overnight, Cards
)

// LengthDoubt is why the length of a session is not believed, and the session not
// counted. The zero value is no doubt.
type LengthDoubt struct {
	Is        LengthIs
	Ran       time.Duration
	Overnight bool
	Cards     bool // it went by cards, else by a timer
}

// Any reports whether there is a doubt.
func (d LengthDoubt) Any() bool { return d.Is != "" }

// How is how the end of a session is known that is only estimated.
type How string

// FellSilent says that it ended with the last photo before a silence.
const FellSilent How = "fell-silent"

// BySeries says that it is known from photos at a steady interval, by a clock for which
// nothing speaks.
const BySeries How = "series"

// UnlikeUnknown says the same of pictures of which nobody knows whether they changed.
const UnlikeUnknown How = "series-unseen"

// Trust is why the clock of a camera that took a series is believed.
type Trust string

// What speaks for the clock of a camera.
const (
	ClockPutRight Trust = "put-right"  // somebody compared it and said how far it was off
	ShowsCard     Trust = "card"       // it photographed a bench card meanwhile
	Satellites    Trust = "satellites" // its files state the time of satellites
	StatesZone    Trust = "zone"       // its files state their time zone, as those of phones do
)

// LooseRest says that a break by card in it ended with the first sign of work after
// it, which may have come late.
const LooseRest How = "loose-rest"
