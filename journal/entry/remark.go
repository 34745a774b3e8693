// This file is what a person should know of what was said.

package entry

import (
	"slices"
	"time"

	"rakelight/journal"
	"rakelight/journal/sanding"
)

// Matter is what a remark is about.
type Matter string

// The matters, and the fields of the Remark that tell more.
const (
	MoreThanThere  Matter = "more than there" // Over
	Overlapping    Matter = "overlapping"     // Overlap
	InTheFuture    Matter = "in the future"   // Session, Photo of its card, At
	GoesAlong      Matter = "goes along"      // Along, with the record taken back
	SeemsFinished  Matter = "seems finished"  // Finishable
	OnBreak        Matter = "on break"        // Session, its End (zero = it runs on) and earlier breaks; At the break began
	ToolNoted      Matter = "tool noted"      // Session, Name: it was before
	MarkedBefore   Matter = "marked before"   // Count: so this is kept as a re-mark
	CardShown      Matter = "card shown"      // Number, At: before the trial began; New
	AnswersTaken   Matter = "answers taken"   // Answers; New
	ReplacesPoints Matter = "replaces points" // Record
	StayAsFound    Matter = "stay as found"   // Build, Name: what of a whole runner is not called seen, in words
	PartsLack      Matter = "parts lack"      // Build, Name: what is lacking, in words; Parts to say it of
	DryFitAsks     Matter = "dry fit asks"    // Build, Gates and Pegs: of which parts nobody said
	HeldStill      Matter = "held still"      // Hold
	GritLeaps      Matter = "grit leaps"      // Leap
	KeptAnyway     Matter = "kept anyway"     // Count of photos left out that are kept, Photo the first
)

// Remark is one thing a person should know. Two are equal when they say the same.
type Remark struct {
	Matter  Matter
	Over    journal.Over
	Overlap journal.Overlap
	Session *journal.Session
	Photo   *journal.Photo
	Name    string
	Record  string // id
	New     int    // place in Plan.Add, from 1, of the record it is about, whose id Record becomes when that is written; 0 = none
	Number  int
	Count   int
	At      time.Time
	Answers SheetTaken
	Along   journal.Hanging

	Finishable journal.Finishable

	Build       string
	Parts       string // references
	Gates, Pegs string // references, "" = none
	Hold        *journal.Hold
	Leap        sanding.Leap
}

// arisen is what a person should know of a state that was not so before: the same
// look after whatever was said, so that a count typed, a session corrected and a
// record taken back are held against the same rules.
func arisen(before, after *journal.State, now time.Time) []Remark {
	var out []Remark
	was := before.Over()
	for _, o := range after.Over() {
		if !slices.Contains(was, o) {
			out = append(out, Remark{Matter: MoreThanThere, Over: o})
		}
	}
	lay := before.Overlaps()
	for _, o := range after.Overlaps() {
		if !slices.Contains(lay, o) {
			out = append(out, Remark{Matter: Overlapping, Overlap: o})
		}
	}
	seemed := before.Finishables()
	for _, f := range after.Finishables() {
		if !slices.ContainsFunc(seemed, func(one journal.Finishable) bool { return one.Build == f.Build }) {
			out = append(out, Remark{Matter: SeemsFinished, Finishable: f})
		}
	}
	for _, s := range after.Sessions {
		if s.Start.After(now) && (before.Session(s.ID) == nil || !before.Session(s.ID).Start.Equal(s.Start)) {
			out = append(out, Remark{Matter: InTheFuture, Session: s, Photo: after.BegunBy(s),
				At: s.Start.In(zone(after))})
		}
	}
	return out
}
