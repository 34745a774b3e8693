// This file corrects the instants of photos whose camera had a wrong clock.
//
// Where it is decided: here, in the fold, and nowhere else. A photo's record
// keeps what the file states (Instant.Wall, and an offset if it states one)
// and beside it what was believed on the day it was taken in: At, and in
// Corrected the fault that was taken off. The fold does not build on that
// belief. It starts from the wall time again, asks ClockOf which fault stands
// now for that camera and day, and takes off that one fault only. So
//
//   - nothing is taken off twice: a fault that intake took off already is not
//     added to, it is replaced, also by "no fault";
//   - a clock record taken back, or a line taken out of journal.toml, leaves
//     no trace on any photo, whenever the photo came;
//   - a photo that comes after the clock record gets the same fault at intake,
//     since intake asks the same list (State.Clocks), and the fold agrees;
//   - where a clock record and journal.toml both speak, one counts: the latest
//     record, for a person said it after the settings were written.
//
// The other way, to let intake correct for good and the fold add clock records
// on top, was not taken: the same photo would then show another time depending
// on whether it was taken in before or after the settings changed, and a
// record could not be taken back for photos that came under it.
//
// An instant that owes nothing to the camera's clock stays: one from the
// satellites, a file's own time, a day without an hour.

package journal

import (
	"errors"
	"regexp"
	"slices"
	"strconv"
	"time"

	"rakelight/journal/reason"
)

func (f *folding) clock(r Record) error {
	b, err := read[ClockBody](r)
	if err != nil {
		return err
	}
	if err := b.Check(); err != nil {
		return err
	}
	fault := ClockFault{Make: b.Camera.Make, Model: b.Camera.Model, Serial: b.Camera.Serial, Fast: b.Fast, From: b.From,
		To: b.To, Record: r.ID()}
	f.state.Clocks = slices.Insert(f.state.Clocks, 0, fault) // the latest first
	return nil
}

// Check refuses what would move photos nobody meant.
func (b ClockBody) Check() error {
	if b.Camera == (Camera{}) {
		return errors.New("it names no camera")
	}
	return ClockFault{Fast: b.Fast, From: b.From, To: b.To}.Check()
}

// ClockOf is how far the camera's clock was ahead on the day (YYYY-MM-DD) it
// showed, below zero = behind. The first fault that fits counts.
func ClockOf(clocks []ClockFault, camera Camera, day string) time.Duration {
	for _, c := range clocks {
		fast, err := c.Duration()
		if err == nil && c.Fits(camera.Make, camera.Model, camera.Serial, day) {
			return fast
		}
	}
	return 0
}

// Where an instant and its offset may come from, beside the names of tags.
const (
	FileTime = "file time" // the file's own time
	FromName = "file name" // a date in the file's name
	FromGPS  = "GPS"       // satellites
	TakenIn  = "taking in" // when it was taken in, for want of any date

	StatedOffset = "stated"       // the file states it
	HomeOffset   = "journal zone" // the journal's zone has it then
	ByStandard   = "UTC"          // the file states UTC; the offset is that of the place
)

// ByClock reports whether the instant owes its hour to the camera's clock, so
// that a correction of that clock moves it.
func (in Instant) ByClock() bool {
	return in.Corrected.Known() && !in.At.IsZero() && in.Wall != "" &&
		in.Source != FileTime && in.Source != FromGPS && !in.Doubts.Has(reason.DayOnly)
}

var wallDigits = regexp.MustCompile(`(\d{4})\D{0,2}(\d{1,2})\D{0,2}(\d{1,2})\D{1,5}(\d{1,2})\D{1,2}(\d{2})\D{1,2}(\d{2})`)

// Shown is the wall time the camera showed, its digits in UTC, before any
// correction. It is worth something only where ByClock is true.
func (in Instant) Shown() time.Time {
	derived := asWall(in.At).Add(in.Corrected.Fast)
	m := wallDigits.FindStringSubmatch(in.Wall)
	if m == nil {
		return derived
	}
	var n [6]int
	for i := range n {
		n[i], _ = strconv.Atoi(m[i+1]) // the pattern vouches for digits
	}
	text := time.Date(n[0], time.Month(n[1]), n[2], n[3], n[4], n[5], derived.Nanosecond(), time.UTC)
	if in.Offset == ByStandard { // the camera showed its own zone's time
		text = text.Add(time.Duration(offsetOf(in.At)) * time.Second)
	}
	// The two differ where the hour shown was skipped that night, by as much
	// as clocks are changed. Any other difference is a text misread.
	if diff := text.Sub(derived); diff.Abs() <= 2*time.Hour && diff%(15*time.Minute) == 0 {
		return text
	}
	return derived
}

// correctClock is the instant with the fault that stands now taken off its
// wall time, and no other.
func correctClock(in Instant, camera Camera, clocks []ClockFault, zone *time.Location) Instant {
	if !in.ByClock() {
		return in
	}
	shown := in.Shown()
	fast := ClockOf(clocks, camera, shown.Format(time.DateOnly))
	if fast == in.Corrected.Fast {
		return in
	}
	wall := shown.Add(-fast)
	out := in
	out.Corrected = reason.Fault{Fast: fast}
	out.Doubts = in.Doubts.Without(reason.Twice, reason.Skipped) // they hold for one wall time only
	switch secs := offsetOf(in.At); {
	case in.Offset == FromGPS:
		out.At = atOffset(wall, nearestOffset(wall, in.At, zone))
	case in.Offset == HomeOffset && offsetOf(in.At.In(zone)) == secs:
		at, doubts := InZone(wall, zone)
		out.At = atOffset(asWall(at), offsetOf(at))
		out.Doubts = append(out.Doubts, doubts...)
	default:
		// The file states its offset, or the zone was another one then: the
		// wrong clock says nothing against either.
		out.At = atOffset(wall, secs)
	}
	return out
}

// nearestOffset is the offset at which a corrected wall time comes nearest to
// the moment that satellites told within minutes: a clock an hour fast looked
// like the next zone.
func nearestOffset(wall, moment time.Time, zone *time.Location) int {
	away := func(secs int) time.Duration {
		return wall.Add(-time.Duration(secs) * time.Second).Sub(moment).Abs()
	}
	best := -12 * 3600
	for secs := best; secs <= 14*3600; secs += 900 {
		if away(secs) < away(best) {
			best = secs
		}
	}
	for _, secs := range OffsetsAround(wall, zone) {
		if away(secs) <= 20*time.Minute { // a fix may be ten minutes old, on either side
			return secs
		}
	}
	return best
}

// setClocks corrects the instants of all photos.
func (f *folding) setClocks() {
	for _, c := range f.state.Config.Clocks {
		if c.Check() == nil { // else plan.Read told of it
			f.state.Clocks = append(f.state.Clocks, c)
		}
	}
	for _, hash := range sortedKeys(f.photos) {
		p := f.photos[hash]
		p.Instant = correctClock(p.Instant, p.Camera, f.state.Clocks, f.state.ZoneAt(p.Instant.At))
	}
}

// tagMoved tags again the photos that moved, and those that no doubt keeps from being
// tagged any more.
func (f *folding) tagMoved() {
	f.settleClips()
	for _, hash := range sortedKeys(f.photos) {
		p := f.photos[hash]
		moved := func(at time.Time) bool { return !at.Equal(p.Instant.At) }
		if f.settled[hash] || slices.ContainsFunc(f.taggedAt[hash], moved) {
			f.state.tagAgain(p)
		}
	}
}
