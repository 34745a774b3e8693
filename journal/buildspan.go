// This file says from when to when a build goes, no finer than its photos and its plan
// tell.

package journal

import (
	"cmp"
	"slices"
	"time"

	"rakelight/journal/reason"
)

// When is a day as well as it is known.
type When struct {
	Date string // "1998-03-14", "1998-03", "1998": as much as is sure; "" = nothing
	Said string // as a person said it: "spring 1998"; "" = nobody did

	from, to string // the days between which it lies, both included
}

// String is what is known of it: as a person said it, else the date.
func (w When) String() string { return cmp.Or(w.Said, w.Date) }

// sure is as much of a date as both ends of a stretch of days have in common.
func (w When) sure() string {
	switch {
	case w.from == w.to:
		return w.from
	case w.from[:len("2006-01")] == w.to[:len("2006-01")]:
		return w.from[:len("2006-01")]
	}
	return w.from[:len("2006")]
}

// vague reports whether nobody knows the photo's day: what is known instead is when its
// file was written, when it was taken in or scanned, or nothing.
func (p *Photo) vague() bool {
	in := p.Instant
	return in.At.IsZero() || in.Doubts.Has(reason.SomeDay, reason.FileTime, reason.TakingIn, reason.NeverSet,
		reason.Scanned,
		reason.Ahead, reason.OutOfTime)
}

// between are the days between which a photo was taken; false where nothing tells.
func (p *Photo) between() (When, bool) {
	for _, d := range p.Instant.Doubts {
		if d.Is == reason.SomeDay && len(d.First) == len(time.DateOnly) && len(d.Last) == len(time.DateOnly) {
			return When{Said: p.Instant.Said, from: d.First, to: d.Last}, true
		}
	}
	if p.vague() {
		return When{}, false
	}
	day := p.Instant.At.Format(time.DateOnly)
	return When{from: day, to: day}, true
}

// Span is from when to when the build goes: as its plan says, else of its sessions,
// diary days and photos. A day that is known only within bounds counts where it lies
// wholly outside of the days that are known. Scans and the times of files are no dates
// of work.
func (s *State) Span(b *Build) (from, to When) {
	seen := s.shownOf(b.ID)
	from, to = seen.Earliest, seen.Latest
	if days := s.days(b.ID); len(days) > 0 {
		if first := slices.Min(days); from.to == "" || from.to >= first {
			from = When{Date: first, from: first, to: first}
		}
		if last := slices.Max(days); to.from == "" || to.from <= last {
			to = When{Date: last, from: last, to: last}
		}
	}
	if b.Started != "" {
		from = When{Date: b.Started}
	}
	if b.Finished != "" {
		to = When{Date: b.Finished}
	}
	if to.Date == "" {
		to = When{Date: b.Started}
	}
	return from, to
}
