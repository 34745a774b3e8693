// This file is why there is something to do about a photo or a file.

package journal

import (
	"time"

	"rakelight/journal/reason"
)

// Cause is why there is something to do: one of the types below.
type Cause interface{ cause() }

// DoubtCause says that the instant of a photo is in doubt.
type DoubtCause struct{ Doubts reason.Doubts }

// ZoneCause says that a photo states no zone, and another one of that day was
// taken in another zone than the journal's.
type ZoneCause struct {
	Name string    // of the other photo
	At   time.Time // when that was taken, at its own offset
}

// ClockCause says that the clock of a photo's camera seems to be off.
type ClockCause struct{ Fast time.Duration } // below zero = behind

// StageCause says that the build of a photo is known, and its stage is not.
type StageCause struct{ Build string }

// PlaceCause says why a photo has no place, or one that is a guess.
type PlaceCause struct{ Why reason.Why }

// CardCause says what became of bench cards in one photo.
type CardCause struct{ Cards []CardSaid }

// LapseCause says that a role by card held no longer.
type LapseCause struct {
	Role string
	Last time.Time     // of the last photo it held for, in the journal's zone
	Away time.Duration // without a photo since
}

// CopyCause says why a file was set aside.
type CopyCause struct{ Why reason.Link }

// FileCause says why a file lies in the inbox, in the words of whoever looked at
// the file.
type FileCause string

func (DoubtCause) cause() {}
func (ZoneCause) cause()  {}
func (ClockCause) cause() {}
func (PlaceCause) cause() {}
func (StageCause) cause() {}
func (CardCause) cause()  {}
func (LapseCause) cause() {}
func (CopyCause) cause()  {}
func (FileCause) cause()  {}
