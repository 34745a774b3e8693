// This file is the rules that several things said have in common. Each stands
// here once.

package entry

import (
	"maps"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
)

func zone(s *journal.State) *time.Location {
	if s.Zone == nil {
		return time.UTC
	}
	return s.Zone
}

// moment is a moment a person names, or now when none is. It has come.
func moment(l journal.Look, at time.Time) (time.Time, error) {
	if at.IsZero() {
		return l.Now.In(zone(l.State)), nil
	}
	if at.After(l.Now) {
		return time.Time{}, &Refusal{Reason: NotYet, At: at.In(zone(l.State))}
	}
	return at, nil
}

// day is the beginning of a day that has come.
func day(l journal.Look, date string) (time.Time, error) {
	at, err := time.ParseInLocation(time.DateOnly, date, zone(l.State))
	switch {
	case err != nil:
		return at, &Refusal{Reason: NoDay, Name: date}
	case at.After(l.Now):
		return at, &Refusal{Reason: NotYet, At: at}
	}
	return at, nil
}

// place is the build and the stage a person names; the kit is one of the build's.
func place(l journal.Look, build, stage string, kit int) (*journal.Build, *journal.Stage, error) {
	b, err := l.ResolveBuild(build)
	if err != nil {
		return nil, nil, err
	}
	st, err := l.StageCalled(b, stage)
	if err != nil {
		return nil, nil, err
	}
	return b, st, kitOf(b, kit)
}

// kitOf looks that the build has the kit; 0 = not said.
func kitOf(b *journal.Build, kit int) error {
	if kit < 0 || kit > max(1, len(b.Kits)) {
		return &Refusal{Reason: UnknownKit, Build: b.ID, Count: len(b.Kits), Number: kit}
	}
	return nil
}

// classes are the part classes of the trade; a build's own come on top.
var classes = []string{"flat", "curved", "small", "clear", "resin", "etched"}

// class refuses a class that neither the trade nor the build's runners name: a
// slip of the finger would fall out of every comparison unseen.
func class(b *journal.Build, said string) error {
	all := slices.Clone(classes)
	for _, k := range b.Kits {
		for _, r := range k.Runners {
			for _, one := range append(slices.Sorted(maps.Values(r.Classes)), r.Class) {
				if one != "" && !slices.Contains(all, one) {
					all = append(all, one)
				}
			}
		}
	}
	if said == "" || slices.Contains(all, said) {
		return nil
	}
	return &Refusal{Reason: UnknownClass, Name: said, Known: all}
}

// mended is the stage, or the record of the mistake, that a person means a repair
// to mend; kind is that of the session's stage.
func mended(l journal.Look, b *journal.Build, kind, said string) (string, error) {
	switch {
	case said == "":
		return "", nil
	case kind != "repair":
		return "", &Refusal{Reason: NoRepair}
	}
	for _, m := range l.Mistakes {
		if m.Record != said {
			continue
		}
		if m.Build != b.ID {
			return "", &Refusal{Reason: MendsElsewhere, Name: said, Stage: m.Build, Build: b.ID}
		}
		return said, nil
	}
	st, err := l.StageCalled(b, said)
	if err != nil {
		return "", err
	}
	if st.Kind == "repair" || st.Kind == "wait" {
		return "", &Refusal{Reason: MendsRepair, Name: said}
	}
	return st.ID, nil
}

// awake refuses work on a build that is put aside, and was by then.
func awake(l journal.Look, build string, at time.Time) error {
	if p := l.Paused(build); p != nil && p.From.Sub(at) < time.Minute { // a time typed has no seconds
		return &Refusal{Reason: PausedBuild, Pause: inZone(l, p)}
	}
	return nil
}

// unfinished refuses work on a build after the day on which it was finished. What
// was done before may be entered at any time.
func unfinished(b *journal.Build, date string) error {
	if b.Finished != "" && date > b.Finished {
		return finished(b)
	}
	return nil
}

// finished refuses what a build that is finished stands in the way of: a record
// says so, or its build.md.
func finished(b *journal.Build) error {
	if b.Closed == "" {
		return &Refusal{Reason: FinishedByHand, Build: b.ID, Name: b.Finished}
	}
	return &Refusal{Reason: FinishedAlready, Build: b.ID, Name: b.Finished}
}

func inZone(l journal.Look, p *journal.Pause) *journal.Pause {
	one := *p
	one.From = one.From.In(zone(l.State))
	return &one
}

// counted is what a person counts as done: parts of the build, or a bare number,
// which may be 0. None of the parts stands done in the stage already.
func counted(l journal.Look, b *journal.Build, stage, text string) (refs []journal.PartRef, count int, err error) {
	if refs, count, err = countedAs(b, text); err != nil {
		return nil, 0, err
	}
	return refs, count, once(l, b.ID, stage, refs)
}

// countedAs reads parts of the build, or a bare number, which may be 0.
func countedAs(b *journal.Build, text string) ([]journal.PartRef, int, error) {
	if text = strings.TrimSpace(text); text == "" || text == "0" {
		return nil, 0, nil
	}
	return journal.ParseParts(text, b)
}

// once refuses a part that stands done in the stage.
func once(l journal.Look, build, stage string, refs []journal.PartRef) error {
	if twice := l.DoneBefore(build, stage, refs); len(twice) > 0 {
		return &Refusal{Reason: CountedTwice, Part: journal.Ranges(twice), Count: len(twice), Stage: stage,
			Build: build}
	}
	return nil
}

// named are parts that are named one by one, none when nothing is said.
func named(b *journal.Build, text string) ([]journal.PartRef, error) {
	if text == "" {
		return nil, nil
	}
	if b == nil {
		return nil, &Refusal{Reason: NoBuild, Name: text}
	}
	refs, bare, err := journal.ParseParts(text, b)
	if err == nil && bare > 0 {
		return nil, &Refusal{Reason: NoReferences, Name: text}
	}
	return refs, err
}

// running is the one session that runs, of which a person says something at a
// moment. A timer that seems forgotten is settled first.
func running(l journal.Look, wish Wish, at time.Time) (*journal.Session, error) {
	all, silent := l.Running(), l.FellSilent()
	switch {
	case len(all) == 0 && silent != nil && at.Sub(silent.Start) <= l.Config.LongestTimer():
		return nil, &Refusal{Reason: FellSilent, Wish: wish, Session: silent, At: at.In(zone(l.State))}
	case len(all) == 0:
		return nil, &Refusal{Reason: NoSession, Wish: wish}
	case len(all) > 1:
		return nil, &Refusal{Reason: SeveralSessions, Wish: wish, Count: len(all)}
	case all[0].Overdue(at, l.Config.LongestTimer()):
		return nil, forgotten(l, all[0], at)
	case all[0].Start.Sub(at) >= time.Minute: // a time typed has no seconds
		return nil, beganLater(l, all[0], at)
	}
	return all[0], nil
}

// forgotten refuses a timer that has run too long by a moment, with the last that
// is known of that evening.
func forgotten(l journal.Look, s *journal.Session, at time.Time) error {
	sign, _ := l.LastSign(s)
	return &Refusal{Reason: Forgotten, Session: s, At: at.In(zone(l.State)), Sign: sign}
}

// beganLater refuses a moment before a session began: the moment is wrong, or the
// photo of its begin card is dated wrongly.
func beganLater(l journal.Look, s *journal.Session, at time.Time) error {
	return &Refusal{Reason: BeganLater, Session: s, Photo: l.BegunBy(s), At: at.In(zone(l.State))}
}

// free refuses a session that would lie over another one: one pair of hands does
// one thing. Of a session that is said anew, was is how it lay before: what lies
// over it no more than then is not its doing. A session that is open begins now,
// and ends those that run. What a series shows gives way.
func free(l journal.Look, one journal.Session, was *journal.Session) error {
	if one.Kind == "wait" {
		return nil
	}
	for _, other := range l.Sessions {
		if other.Open && !one.Open {
			until := *other
			until.End = l.Now
			other = &until
		}
		if other.ID == one.ID || other.Series != "" || other.Open && one.Open || other.Doubt.Any() ||
			other.Kind == "wait" || !l.Clocked(other) {
			continue
		}
		by := journal.Both(&one, other)
		if by >= time.Minute && (was == nil || was.Open || by > journal.Both(was, other)) {
			return &Refusal{Reason: Overlaps, Session: &one, Other: other, At: l.Now.In(zone(l.State))}
		}
	}
	return nil
}

// Photo is the photo a person names: by the first digits of its hash, its path or
// its file name.
func Photo(s *journal.State, name string) (*journal.Photo, error) {
	found := s.FindPhoto(name)
	switch len(found) {
	case 0:
		return nil, &Refusal{Reason: NoSuchPhoto, Name: name}
	case 1:
		return found[0], nil
	}
	var shorts []string
	for _, p := range found {
		shorts = append(shorts, p.Short())
	}
	return nil, &Refusal{Reason: SeveralPhotos, Name: name, Known: shorts}
}

// Still is a photo that a person names to be looked at beside others: no clip.
func Still(s *journal.State, name string) (*journal.Photo, error) {
	p, err := Photo(s, name)
	if err == nil && p.Clip() {
		return nil, &Refusal{Reason: AClip, Photo: p}
	}
	return p, err
}

// session is the session with the id, of which something can be said. One that a series
// shows follows from its photos.
func session(l journal.Look, id string) (*journal.Session, error) {
	s := l.Session(id)
	switch {
	case s == nil:
		return nil, &Refusal{Reason: NoSuchSession, Name: id}
	case s.Series != "":
		return nil, &Refusal{Reason: ShownBySeries, Session: s, At: l.Now.In(zone(l.State))}
	}
	return s, nil
}

// oneOf looks that a word is one of those that are known, or is not said.
func oneOf(field, said string, known []string) error {
	if said == "" || slices.Contains(known, said) {
		return nil
	}
	return &Refusal{Reason: NotKnown, Field: field, Name: said, Known: known}
}

// buildOf is the build of a session; a build that has no folder here has an id
// and no parts.
func buildOf(l journal.Look, id string) *journal.Build {
	if b := l.Build(id); b != nil {
		return b
	}
	return &journal.Build{ID: id}
}
