// This file says when a photo was taken, no finer than it is known.

package journal

import (
	"errors"
	"fmt"
	"time"
)

// FirstPhoto is the year before which no photo was taken: the oldest that is kept
// is dated to 1826 or 1827 (figure from memory).
const FirstPhoto = 1826

// Hour reports whether the hour is known, or at least believed: a day that a
// person gave has none.
func (in Instant) Hour() bool {
	return !in.At.IsZero() && in.Said == "" && !(in.Source == SaidSo && in.Doubts.Any())
}

// Day is the day as well as it is known: "2019-03-14", "spring 2019"; "" = not at
// all.
func (in Instant) Day() string {
	switch {
	case in.At.IsZero():
		return ""
	case in.Said != "":
		return in.Said
	}
	return in.At.Format(time.DateOnly)
}

// Told is the moment as well as it is known, in a layout that has an hour, else
// the day.
func (in Instant) Told(layout string) string {
	if !in.Hour() {
		return in.Day()
	}
	return in.At.Format(layout)
}

// Check refuses a date that gives neither a moment nor days.
func (b DatedBody) Check() error {
	if !b.At.IsZero() {
		return nil
	}
	first, errFirst := time.Parse(time.DateOnly, b.First)
	last, errLast := time.Parse(time.DateOnly, b.Last)
	if errFirst != nil || errLast != nil || last.Before(first) {
		return fmt.Errorf("it gives no moment, and %q to %q are no days", b.First, b.Last)
	}
	return nil
}

// given is a date that a person gave, and the record that says so.
type given struct {
	DatedBody
	record string
}

func (f *folding) dated(r Record) error {
	b, err := read[DatedBody](r)
	if err != nil {
		return err
	}
	if b.Photo == "" {
		return errors.New("it names no photo")
	}
	if err := b.Check(); err != nil {
		return err
	}
	f.datedBy[b.Photo] = given{b, r.ID()} // the latest counts
	return nil
}
