// This file folds what happened at the bench: sessions, breaks, parts done and
// reopened, corrections, pauses.

package journal

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"time"

	"rakelight/journal/reason"
)

// maxMinutes is the longest session that is believed: a year. It keeps a
// typing error from running over the end of time.
const maxMinutes = 366 * 24 * 60

func (f *folding) begin(r Record) error {
	b, err := read[BeginBody](r)
	if err != nil {
		return err
	}
	if b.Start.IsZero() {
		return errors.New("it does not say when the session began")
	}
	f.add(r, &Session{
		Build: b.Build, Kit: b.Kit, Stage: b.Stage, Kind: f.kind(b.Build, b.Stage, b.Kind), Class: b.Class,
		Start: b.Start, Open: true, Known: Measured, Date: b.Start.In(f.state.Zone).Format(time.DateOnly),
		Tools: addTools(nil, b.Tools), For: b.For,
	})
	return nil
}

// add names the session after its record. A second record of the same id is a
// session of its own, under a name that nothing refers to.
func (f *folding) add(r Record, s *Session) {
	s.ID = r.ID()
	for n := 2; f.sessions[s.ID] != nil; n++ {
		s.ID = r.ID() + "~" + strconv.Itoa(n)
	}
	f.sessions[s.ID] = s
	f.ground.touch(s.ID, r)
}

func (f *folding) work(r Record) error {
	b, err := read[WorkBody](r)
	if err != nil {
		return err
	}
	if b.Minutes < 0 || b.Minutes > maxMinutes {
		return fmt.Errorf("%v minutes is no length of a session", b.Minutes)
	}
	if err := countable(b.Parts, b.Count); err != nil {
		return err
	}
	s := &Session{
		Build: b.Build, Kit: b.Kit, Stage: b.Stage, Kind: f.kind(b.Build, b.Stage, b.Kind), Class: b.Class,
		Start: b.Start, Date: b.Date, Known: b.Known, Parts: b.Parts, Bare: b.Count,
		Counted: b.Counted || len(b.Parts) > 0 || b.Count > 0, Note: b.Note,
		Tools: addTools(nil, b.Tools), For: b.For,
	}
	if len(b.Parts) > 0 || b.Count > 0 {
		s.Tallies = []Tally{{Parts: b.Parts, Bare: b.Count, Record: r.ID()}}
	}
	if s.Known == "" {
		s.Known = Remembered
	}
	switch first := FirstMoment(b.Date, f.state.Zone); {
	case s.Start.IsZero() && first.IsZero():
		return fmt.Errorf("it does not say on which day the work was done (%q)", b.Date)
	case s.Start.IsZero():
		s.Start = first
	case first.IsZero():
		s.Date = s.Start.In(f.state.Zone).Format(time.DateOnly)
	}
	net := minutes(b.Minutes)
	s.End = s.Start.Add(net)
	f.add(r, s)
	f.net[s.ID] = net
	return nil
}

func minutes(m float64) time.Duration { return time.Duration(m * float64(time.Minute)) }

// countable refuses counts below zero, and reads a part without a count as one.
func countable(parts []PartRef, bare int) error {
	if bare < 0 {
		return fmt.Errorf("%d parts cannot be", bare)
	}
	for i := range parts {
		switch {
		case parts[i].Count < 0:
			return fmt.Errorf("%d of part %s%s cannot be", parts[i].Count, parts[i].Runner, parts[i].Number)
		case parts[i].Count == 0:
			parts[i].Count = 1
		}
	}
	return nil
}

// FirstMoment is where a date of any precision begins; the zero time when it
// is none.
func FirstMoment(date string, zone *time.Location) time.Time {
	for _, layout := range []string{time.DateOnly, "2006-01", "2006"} {
		if t, err := time.ParseInLocation(layout, date, zone); err == nil {
			return t
		}
	}
	return time.Time{}
}

// kind is the kind of a stage as the build's plan has it now; what the record
// says counts for stages the plan no longer lists.
func (f *folding) kind(build, stage, said string) string { return f.state.kind(build, stage, said) }

func (s *State) kind(build, stage, said string) string {
	if b := s.Build(build); b != nil {
		if st := b.Stage(stage); st != nil {
			return st.Kind
		}
	}
	if said == "" && slices.Contains(Kinds, stage) {
		return stage
	}
	return said
}

func (f *folding) session(id string) (*Session, error) {
	if s := f.sessions[cmp.Or(f.alias[id], id)]; s != nil {
		if f.record != nil {
			f.ground.touch(s.ID, *f.record)
		}
		return s, nil
	}
	return nil, &absentError{"session", id}
}

func (f *folding) end(r Record) error {
	b, err := read[EndBody](r)
	if err != nil {
		return err
	}
	s, err := f.session(b.Session)
	if err != nil {
		return err
	}
	if b.End.Before(s.Start) {
		f.early = append(f.early, earlyEnd{r, s, b.End}) // unless it began earlier than it was said first
		return nil
	}
	s.End, s.Open = b.End, false
	if s.Cards && s.Known == Estimated {
		s.Known, s.How = Measured, "" // somebody vouched for it
	}
	return nil
}

// earlyEnd is an end before the beginning, as long as no correction is folded.
type earlyEnd struct {
	record  Record
	session *Session
	end     time.Time
}

// endEarly ends the sessions that began earlier than it was said first. It comes
// after the corrections, which have the last word where they end a session, too.
func (f *folding) endEarly() {
	for _, one := range f.early {
		switch s := one.session; {
		case one.end.Before(s.Start):
			f.problem(one.record, errors.New("the session would end before it began"))
		case s.Open:
			s.End, s.Open = one.end, false
		}
	}
}

func (f *folding) rest(r Record) error {
	b, err := read[BreakBody](r)
	if err != nil {
		return err
	}
	s, err := f.session(b.Session)
	if err != nil {
		return err
	}
	if !b.End.IsZero() && b.End.Before(b.Start) {
		return errors.New("the break would end before it began")
	}
	for i := range s.Breaks {
		if s.Breaks[i].Start.Equal(b.Start) {
			if !b.End.IsZero() {
				s.Breaks[i].End = b.End
			}
			return nil
		}
	}
	s.Breaks = append(s.Breaks, Span{b.Start, b.End})
	return nil
}

func (f *folding) done(r Record) error {
	b, err := read[DoneBody](r)
	if err != nil {
		return err
	}
	if b.Session == "" {
		return nil // doneSomewhere finds its session
	}
	s, err := f.session(b.Session)
	if err != nil {
		f.tookBack(b.Session, b.Build, b.Parts) // perhaps: only what was taken back is remembered
		return err
	}
	return s.count(r, b)
}

// doneSomewhere counts parts that name no session in the one of that build
// (and stage and kit, if said) that was running at the moment.
func (f *folding) doneSomewhere(r Record) error {
	b, err := read[DoneBody](r)
	if err != nil || b.Session != "" {
		return nil // told by done already
	}
	noteLater(f.ground.Loose, b.Build, b.At)
	var found *Session
	for _, s := range f.sessions {
		if s.Build != b.Build || b.Stage != "" && s.Stage != b.Stage || b.Kit != 0 && s.Kit != b.Kit ||
			b.At.Before(s.Start) || !s.Open && b.At.After(s.End) {
			continue
		}
		if found == nil || later(s, found) {
			found = s
		}
	}
	if found == nil {
		return fmt.Errorf("no session of %s was running at %s, so the parts are not counted", b.Build,
			b.At.In(f.state.Zone).Format("2006-01-02 15:04"))
	}
	return found.count(r, b)
}

func later(a, b *Session) bool {
	return cmp.Or(a.Start.Compare(b.Start), cmp.Compare(a.ID, b.ID)) > 0
}

func (s *Session) count(r Record, b DoneBody) error {
	if err := countable(b.Parts, b.Count); err != nil {
		return err
	}
	s.Tallies = append(s.Tallies, Tally{At: b.At, Parts: b.Parts, Bare: b.Count, Record: r.ID()})
	s.Parts = append(s.Parts, b.Parts...)
	s.Bare += b.Count
	s.Counted = true
	return nil
}

// reopen takes named parts off the latest session that did them, else off the
// session named; a bare count off the session named. Nothing is taken off
// twice: what was not done again cannot be opened again.
func (f *folding) reopen(r Record) error {
	b, err := read[ReopenBody](r)
	if err != nil {
		return err
	}
	if err := countable(b.Parts, b.Count); err != nil {
		return err
	}
	var named *Session
	if b.Session != "" {
		if named, err = f.session(b.Session); err != nil {
			return err
		}
	}
	at := b.At
	if at.IsZero() {
		at = r.At
	}
	noteLater(f.ground.Reopened, b.Build, at)
	var wrong []error
	take := func(s *Session, n int, parts []PartRef, what string) {
		if s == nil || s.Done() < n {
			if f.wasTakenBack(s, b.Build, parts) {
				return // what was opened again was taken back since
			}
			wrong = append(wrong, fmt.Errorf("%s of %s was not done before, so it cannot be opened again", what,
				b.Build))
			return
		}
		s.Reopened += n
		back := Tally{At: at, Parts: parts, Back: true, Why: b.Why, Record: r.ID()}
		if parts == nil {
			back.Bare = n
		}
		s.Tallies = append(s.Tallies, back)
	}
	if b.Count > 0 {
		take(named, b.Count, nil, fmt.Sprintf("a count of %d", b.Count))
	}
	for _, part := range b.Parts {
		s := f.latestWith(b.Build, b.Stage, part, at)
		if s == nil {
			if !f.wasTakenBack(nil, b.Build, []PartRef{part}) {
				take(named, part.Count, nil, part.String())
			}
			continue
		}
		f.reopened[s.ID+" "+part.Key()] += part.Count
		s.Again = append(s.Again, part)
		take(s, part.Count, []PartRef{part}, part.String())
	}
	return errors.Join(wrong...)
}

// latestWith is the latest session of the build and stage ("" = any), begun
// before the moment, in which the part stands done.
func (f *folding) latestWith(build, stage string, part PartRef, before time.Time) *Session {
	var latest *Session
	for _, s := range f.sessions {
		if s.Build != build || stage != "" && s.Stage != stage || s.Start.After(before) {
			continue
		}
		standing := -f.reopened[s.ID+" "+part.Key()]
		for _, p := range s.Parts {
			if p.Is(part) {
				standing += p.Count
			}
		}
		if standing >= part.Count && (latest == nil || later(s, latest)) {
			latest = s
		}
	}
	return latest
}

func (f *folding) pause(r Record) error {
	b, err := read[PauseBody](r)
	if err != nil {
		return err
	}
	f.state.Pauses = append(f.state.Pauses, Pause{Build: b.Build, From: b.From, Why: b.Why, Next: b.Next,
		Waiting: b.Waiting})
	return nil
}

func (f *folding) resume(r Record) error {
	b, err := read[ResumeBody](r)
	if err != nil {
		return err
	}
	noteLater(f.ground.Resumed, b.Build, b.At)
	f.state.endPauses(b.Build, b.At)
	return nil
}

// endPauses ends the pauses of a build that last at a moment.
func (s *State) endPauses(build string, at time.Time) {
	for i := range s.Pauses {
		p := &s.Pauses[i]
		if p.Build == build && !p.From.After(at) && (p.Until.IsZero() || p.Until.After(at)) {
			p.Until = at
		}
	}
}

// settle computes a session's breaks and net time, and says when its length is
// not to be believed.
func (f *folding) settle(s *Session, longest time.Duration) {
	if net, said := f.net[s.ID]; said {
		if s.Open {
			s.End, s.Open = s.Start.Add(net), false
		}
		s.Net, s.Breaks = net, mergeBreaks(s.Breaks, s)
		return
	}
	s.Breaks = mergeBreaks(s.Breaks, s)
	f.loosen(s)
	if s.Open {
		return
	}
	s.Net = s.End.Sub(s.Start)
	for _, b := range s.Breaks {
		s.Net -= b.End.Sub(b.Start)
	}
	if s.Known == Estimated && s.Cards && s.Net < shortest && !f.accepted[s.ID] {
		s.Doubt = reason.LengthDoubt{Is: reason.NoEnd, Cards: true}
	}
	if s.Known == Measured && s.Net > longest && !f.accepted[s.ID] {
		from, to := s.Start.In(f.state.Zone), s.End.In(f.state.Zone)
		s.Doubt = reason.LengthDoubt{Is: reason.RanLong, Ran: s.Net, Cards: s.Cards,
			Overnight: from.Format(time.DateOnly) != to.Format(time.DateOnly)}
	}
}

// mergeBreaks sorts breaks, joins those that overlap and clips them to the
// session. A break that still runs in an ended session ends with it; one that
// still runs in a running session takes in all that follow.
func mergeBreaks(breaks []Span, s *Session) []Span {
	slices.SortFunc(breaks, func(a, b Span) int { return cmp.Or(a.Start.Compare(b.Start), a.End.Compare(b.End)) })
	var out []Span
	for _, b := range breaks {
		if b.Start.Before(s.Start) {
			b.Start = s.Start
		}
		if !s.Open && (b.End.IsZero() || b.End.After(s.End)) {
			b.End = s.End
		}
		if !b.End.IsZero() && !b.End.After(b.Start) {
			continue
		}
		n := len(out) - 1
		switch {
		case n >= 0 && out[n].End.IsZero():
			// the running break holds this one
		case n >= 0 && (b.Start.Before(out[n].End) || b.Start.Equal(out[n].End) && !b.End.IsZero()):
			// One that runs keeps its own beginning, by which it will be ended.
			if b.End.IsZero() || b.End.After(out[n].End) {
				out[n].End = b.End
			}
		default:
			out = append(out, b)
		}
	}
	return out
}
