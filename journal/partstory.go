// This file tells the story of a part: all that is known of it, by time, whichever
// record says it.

package journal

import (
	"slices"
	"time"

	"rakelight/journal/say"
)

// StoryIs is what an event of a part's story is.
type StoryIs string

// The events there are, and the field of the StoryEvent that tells more.
const (
	WasCounted  StoryIs = "counted"      // Count: done in a stage, or opened again
	WasNoted    StoryIs = "note"         // Note
	WentWrong   StoryIs = "mistake"      // Mistake
	WasPictured StoryIs = "photo"        // Photo
	WasFound    StoryIs = "checked"      // Checked
	IntoSub     StoryIs = "into sub"     // Sub
	OutOfSub    StoryIs = "out of sub"   // Sub: it is made of other parts by now, or is none any more
	WasHeld     StoryIs = "held"         // Hold
	WasReleased StoryIs = "released"     // Hold, which ended then
	WasPrepared StoryIs = "prepared"     // Prep
	WasMated    StoryIs = "mating part"  // Prep of another part, which names this one
	CameInstead StoryIs = "came instead" // Prep of another part, in whose place this one was taken
	WasPainted  StoryIs = "painted"      // Mix
	WasAddedTo  StoryIs = "addition"     // Addition: something beyond the box, or a reference
	GotSanding  StoryIs = "sanding"      // Sanding: the plan it was given
)

// StoryEvent is something that happened to a part. Of the pointers one is set.
type StoryEvent struct {
	At      time.Time // zero where only the day is known
	Day     string    // YYYY-MM-DD in the journal's zone, or as well as it is known: "1998"
	Is      StoryIs
	Record  string // that says it; "" = a bench card, or a photo's tags do
	Count   *PartEvent
	Note    *Note
	Mistake *Mistake
	Photo   *Photo
	Checked *Checked
	Sub     *Sub
	Hold    *Hold
	Prep    *Prep

	Mix      *Mix
	Addition *Addition
	Sanding  *SandingPlan
}

// PartStory is all that is known of a part of a build, by time: what was counted and
// opened again, notes, mistakes, photos, and the bench book, also what it says of a
// sub-assembly that held the part then.
func (s *State) PartStory(build string, ref PartRef) []StoryEvent {
	t := story{s: s, build: build, ref: ref}
	t.counts()
	t.said()
	t.book()
	t.shop()
	slices.SortStableFunc(t.events, func(a, b StoryEvent) int { return t.when(a).Compare(t.when(b)) })
	return t.events
}

// story is the story of a part in the making.
type story struct {
	s      *State
	build  string
	ref    PartRef
	events []StoryEvent
}

// add adds an event at a moment.
func (t *story) add(at time.Time, e StoryEvent) {
	e.At = at
	if e.Day == "" {
		e.Day = at.In(t.s.zone()).Format(time.DateOnly)
	}
	t.events = append(t.events, e)
}

// when orders events: by their moment, else by their session's.
func (t *story) when(e StoryEvent) time.Time {
	if e.At.IsZero() && e.Count != nil {
		return e.Count.Session.Start
	}
	return e.At
}

// names reports whether references name the part. Those of a build with one kit may
// name it.
func (t *story) names(parts []PartRef) bool {
	return slices.ContainsFunc(parts, func(p PartRef) bool {
		if t.ref.Kit == 0 {
			p.Kit = 0
		}
		return p.Is(t.ref)
	})
}

// counts adds what was counted, and opened again.
func (t *story) counts() {
	for _, one := range t.s.SessionsOf(t.build) {
		for _, tally := range one.Tallies {
			for _, p := range tally.Parts {
				if t.names([]PartRef{p}) {
					e := PartEvent{Stage: one.Stage, Session: one, Tally: tally, Count: max(1, p.Count)}
					day := ""
					if tally.At.IsZero() {
						day = one.Date
					}
					t.add(tally.At, StoryEvent{Is: WasCounted, Day: day, Record: tally.Record, Count: &e})
				}
			}
		}
	}
}

// said adds notes, mistakes and photos.
func (t *story) said() {
	for i := range t.s.Notes {
		if n := &t.s.Notes[i]; n.Build == t.build && t.names(n.Parts) {
			t.add(n.At, StoryEvent{Is: WasNoted, Record: n.Record, Note: n})
		}
	}
	for i := range t.s.Mistakes {
		if m := &t.s.Mistakes[i]; m.Build == t.build && t.names(m.Parts) {
			t.add(m.At, StoryEvent{Is: WentWrong, Record: m.Record, Mistake: m})
		}
	}
	for _, p := range t.s.photos() {
		if p.Tags.Build == t.build && t.names(p.Tags.Parts) {
			t.add(p.Instant.At, StoryEvent{Is: WasPictured, Day: p.Instant.Day(), Photo: p})
		}
	}
}

// about reports whether an entry of the bench book is about the part.
func (t *story) about(n Noted) bool {
	return n.Build == t.build && (t.names(n.Parts) || n.Sub != "" && t.names(t.s.partsOfSub(t.build, n.Sub, n.At)))
}

// book adds what the bench book says.
func (t *story) book() {
	s := t.s
	for i := range s.Checks {
		if c := &s.Checks[i]; c.Counts() && t.about(c.Noted) {
			t.add(c.At, StoryEvent{Is: WasFound, Record: c.Record, Checked: c})
		}
	}
	in := map[string]bool{}
	for i := range s.Subs {
		one := &s.Subs[i]
		if !one.Counts() || one.Build != t.build {
			continue
		}
		key := SubKey(one.Sub)
		switch now := t.names(one.Parts) && !one.Over; {
		case now && !in[key]:
			t.add(one.At, StoryEvent{Is: IntoSub, Record: one.Record, Sub: one})
			in[key] = true
		case !now && in[key]:
			t.add(one.At, StoryEvent{Is: OutOfSub, Record: one.Record, Sub: one})
			in[key] = false
		}
	}
	for i := range s.Holds {
		h := &s.Holds[i]
		if !h.Counts() || !t.about(h.Noted) {
			continue
		}
		t.add(h.At, StoryEvent{Is: WasHeld, Record: h.Record, Hold: h})
		if !h.Until.IsZero() {
			t.add(h.Until, StoryEvent{Is: WasReleased, Record: h.Released, Hold: h})
		}
	}
	for i := range s.Preps {
		p := &s.Preps[i]
		switch {
		case !p.Counts():
		case t.about(p.Noted):
			t.add(p.At, StoryEvent{Is: WasPrepared, Record: p.Record, Prep: p})
		case p.Build == t.build && t.names(p.With) && p.Is == "swap":
			t.add(p.At, StoryEvent{Is: CameInstead, Record: p.Record, Prep: p})
		case p.Build == t.build && t.names(p.With):
			t.add(p.At, StoryEvent{Is: WasMated, Record: p.Record, Prep: p})
		}
	}
}

// TellStory is an event of a part's story in one line: "2026-03-14 19:40  clean done
// (session bench-1f3a/12)".
func (s *State) TellStory(e StoryEvent) string {
	if e.Count != nil {
		return s.Tell(*e.Count)
	}
	when := e.Day
	if !e.At.IsZero() && (e.Photo == nil || e.Photo.Instant.Hour()) {
		when = s.told(e.At)
	}
	words, by := e.Words(), e.Record
	if e.Photo != nil {
		by = e.Photo.Short()
	}
	return when + "  " + words + " (" + by + ")"
}

// Words are what the event is, without its day and its record. Of one that counts they
// are empty: Count tells its stage.
func (e StoryEvent) Words() string { return e.Said(say.English()) }

// Said says it in a language.
func (e StoryEvent) Said(in *say.Speaker) string {
	if e.Count != nil {
		return ""
	}
	of := func(n Noted, words string) string {
		if n.Sub != "" {
			return n.Sub + ": " + words
		}
		return words
	}
	switch e.Is {
	case WasNoted:
		return in.Say("note: %s", e.Note.Text)
	case WentWrong:
		return in.Say("mistake: %s", e.Mistake.Kind)
	case WasPictured:
		if e.Photo.Tags.Role != "" {
			return in.Say("photo, %s", RoleSaid(e.Photo.Tags.Role))
		}
		return in.Say("story¦photo")
	case WasFound:
		if e.Checked.State == "seen" {
			return withText(in.Say("looked at"), e.Checked.Text)
		}
		return withText(in.Say("looked at: %s", StateSaid(e.Checked.State)), e.Checked.Text)
	case IntoSub:
		return withText(in.Say("in the sub-assembly %s", e.Sub.Sub), e.Sub.Text)
	case OutOfSub:
		return withText(in.Say("no longer in the sub-assembly %s", e.Sub.Sub), e.Sub.Text)
	case WasHeld:
		return withText(of(e.Hold.Noted, e.Hold.Said(in)), e.Hold.Text)
	case WasReleased:
		return withText(in.Say("%s, over", of(e.Hold.Noted, e.Hold.Said(in))), e.Hold.EndText)
	case WasPrepared:
		return of(e.Prep.Noted, e.Prep.Said(in))
	case WasMated:
		return e.Prep.On() + ": " + e.Prep.Said(in)
	case CameInstead:
		return in.Say("taken in place of %s", e.Prep.On())
	case WasPainted, WasAddedTo, GotSanding:
		return e.wordsOfShop(in)
	}
	return string(e.Is)
}

func withText(words, text string) string {
	if text == "" {
		return words
	}
	return words + "; " + text
}
