// What is said while one sits at the bench: begin, end, break, done, tool.

package entry

import (
	"errors"
	"slices"
	"time"

	"rakelight/journal"
)

// Begin begins a session. One that runs on another stage ends at the same moment,
// because one pair of hands does one thing.
type Begin struct {
	Build, Stage string // as a person names them
	Kit          int    // 1-based, 0 = not said
	Class        string
	Tools        []string
	For          string    // of a repair: the stage, or the record of the mistake, that it mends
	At           time.Time // zero = now
}

// Plan looks that nothing forgotten runs, and nothing else lies there.
func (r Begin) Plan(l journal.Look) (Plan, error) {
	b, st, err := place(l, r.Build, r.Stage, r.Kit)
	if err != nil {
		return Plan{}, err
	}
	if err := class(b, r.Class); err != nil {
		return Plan{}, err
	}
	mends, err := mended(l, b, st.Kind, r.For)
	if err != nil {
		return Plan{}, err
	}
	start, err := moment(l, r.At)
	if err != nil {
		return Plan{}, err
	}
	if err := awake(l, b.ID, start); err != nil {
		return Plan{}, err
	}
	if b.Finished != "" {
		return Plan{}, finished(b)
	}
	var plan Plan
	for _, open := range l.Running() {
		switch {
		case open.Overdue(start, l.Config.LongestTimer()):
			return Plan{}, forgotten(l, open, start)
		case open.Build == b.ID && open.Stage == st.ID && open.Kit == r.Kit:
			return Plan{}, &Refusal{Reason: RunsAlready, Session: open, At: start.In(zone(l.State))}
		case start.Before(open.Start):
			return Plan{}, beganLater(l, open, start)
		}
		plan.Add = append(plan.Add, journal.EndBody{Session: open.ID, End: start})
		plan.Remarks = append(plan.Remarks, onBreak(l, open, start.In(zone(l.State)))...)
	}
	// Of now nobody needs to be asked: what ends later was told by a camera whose
	// clock is ahead, and is remarked on once it lies over this one.
	if !r.At.IsZero() {
		if err := free(l, journal.Session{Build: b.ID, Stage: st.ID, Kind: st.Kind, Start: start,
			End: l.Now.Add(time.Minute), Open: true}, nil); err != nil {
			return Plan{}, err
		}
	}
	plan.Add = append(plan.Add, journal.BeginBody{
		Build: b.ID, Kit: r.Kit, Stage: st.ID, Kind: st.Kind, Class: r.Class, Start: start, Tools: r.Tools, For: mends,
	})
	plan.Remarks = append(plan.Remarks, lacking(l, b, st, r.Kit)...)
	return plan, nil
}

// lacking remarks on parts that the stage needs and that are not there.
func lacking(l journal.Look, b *journal.Build, st *journal.Stage, kit int) []Remark {
	lacks := l.LackingIn(b, st, kit)
	if len(lacks) == 0 {
		return nil
	}
	var parts []journal.PartRef
	for _, f := range lacks {
		parts = append(parts, f.Part)
	}
	return []Remark{{Matter: PartsLack, Build: b.ID, Name: journal.Lacks(lacks), Parts: journal.Ranges(parts)}}
}

// End ends the session that runs, and with more than one (two devices) all of
// them. A session by card that fell silent can be ended, too.
type End struct {
	At     time.Time     // zero = now
	Lasted time.Duration // in place of At: so long was it at the bench, as the person remembers; 0 = not said
}

// Plan asks about a timer that ran too long, unless it is said how long it was.
func (r End) Plan(l journal.Look) (Plan, error) {
	if r.Lasted != 0 {
		return r.lasted(l)
	}
	at, err := moment(l, r.At)
	if err != nil {
		return Plan{}, err
	}
	running := l.Running()
	if silent := l.FellSilent(); len(running) == 0 && silent != nil {
		running = []*journal.Session{silent}
	}
	if len(running) == 0 {
		return Plan{}, &Refusal{Reason: NoSession, Wish: ToEnd}
	}
	var plan Plan
	for _, open := range running {
		if at.Sub(open.Start) > l.Config.LongestTimer() {
			if !open.Open {
				return Plan{}, &Refusal{Reason: FellSilent, Wish: ToEnd, Session: open, At: at.In(zone(l.State))}
			}
			return Plan{}, forgotten(l, open, at)
		}
		if !at.After(open.Start) {
			return Plan{}, beganLater(l, open, at)
		}
		plan.Add = append(plan.Add, journal.EndBody{Session: open.ID, End: at})
		plan.Remarks = append(plan.Remarks, onBreak(l, open, at.In(zone(l.State)))...)
	}
	return plan, nil
}

// lasted is the answer to a forgotten timer.
func (r End) lasted(l journal.Look) (Plan, error) {
	running := l.Running()
	switch len(running) {
	case 0:
		return Plan{}, &Refusal{Reason: NoSession, Wish: ToEnd}
	case 1:
	default:
		return Plan{}, &Refusal{Reason: SeveralSessions, Wish: ToEnd, Count: len(running)}
	}
	open := running[0]
	if err := lastedSince(l, open, r.Lasted); err != nil {
		return Plan{}, err
	}
	net := r.Lasted.Minutes()
	return Plan{Add: []journal.Body{
		journal.EndBody{Session: open.ID, End: open.Start.Add(r.Lasted)},
		journal.CorrectBody{Session: open.ID, Minutes: &net, Accept: true},
	}}, nil
}

// lastedSince refuses a session longer than the time since it began, where that
// is known.
func lastedSince(l journal.Look, s *journal.Session, lasted time.Duration) error {
	if l.Clocked(s) && s.Start.Add(lasted).After(l.Now.Add(time.Minute)) {
		return &Refusal{Reason: LongerThanSince, Session: s, Length: lasted, Ran: l.Now.Sub(s.Start)}
	}
	return nil
}

// Break begins a break in the session that runs, or ends the break that runs.
type Break struct {
	At time.Time // zero = now
}

// Plan looks that the break lies in its session, and in no other break.
func (r Break) Plan(l journal.Look) (Plan, error) {
	at, err := moment(l, r.At)
	if err != nil {
		return Plan{}, err
	}
	s, err := running(l, ToRest, at)
	if err != nil {
		return Plan{}, orInTheLast(l, err)
	}
	if at.Before(s.Start) {
		at = s.Start // by less than a minute
	}
	for _, b := range s.Breaks {
		switch {
		case b.End.IsZero() && at.Before(b.Start):
			return Plan{}, &Refusal{Reason: BreakBackward, Session: s, Break: spanIn(l, b), At: at}
		case b.End.IsZero():
			return just(journal.BreakBody{Session: s.ID, Start: b.Start, End: at})
		case at.Before(b.End):
			return Plan{}, &Refusal{Reason: BreakTaken, Session: s, Break: spanIn(l, b), At: at}
		}
	}
	return just(journal.BreakBody{Session: s.ID, Start: at})
}

// orInTheLast names the session that ended last to who noted no break while it ran.
func orInTheLast(l journal.Look, err error) error {
	var no *Refusal
	if last := l.LastEnded(l.Now); last != nil && l.Clocked(last) && errors.As(err, &no) && no.Reason == NoSession {
		one := *last
		one.End, one.Breaks = one.End.In(zone(l.State)), nil
		for _, b := range last.Breaks {
			one.Breaks = append(one.Breaks, spanIn(l, b))
		}
		no.Session = &one
	}
	return err
}

// onBreak remarks on a break that nobody ended: what is done in it, or after it,
// is not bench time.
func onBreak(l journal.Look, s *journal.Session, end time.Time) []Remark {
	for i, b := range s.Breaks {
		if !b.End.IsZero() {
			continue
		}
		one := *s
		one.End, one.Breaks = end, nil
		for _, other := range s.Breaks[:i] {
			one.Breaks = append(one.Breaks, spanIn(l, other))
		}
		return []Remark{{Matter: OnBreak, Session: &one, At: spanIn(l, b).Start}}
	}
	return nil
}

func spanIn(l journal.Look, b journal.Span) journal.Span {
	if !b.End.IsZero() {
		b.End = b.End.In(zone(l.State))
	}
	b.Start = b.Start.In(zone(l.State))
	return b
}

// Done counts parts as done in the session that runs, or in the one that ended
// last.
type Done struct {
	Parts string    // "A1-A12,B3", or a bare number; "0" = none, counted
	Last  bool      // in the session that ended last, whatever runs
	At    time.Time // zero = now; of the session that ended last, its end
}

// Plan looks that each part is there and counts once.
func (r Done) Plan(l journal.Look) (Plan, error) {
	at, err := moment(l, r.At)
	if err != nil {
		return Plan{}, err
	}
	s, err := r.session(l, at)
	if err != nil {
		return Plan{}, err
	}
	if r.Last && r.At.IsZero() {
		at = time.Time{} // of a session of which only the day is known, no hour is made up
		if l.Clocked(s) {
			at = s.End.In(zone(l.State))
		}
	}
	refs, count, err := counted(l, buildOf(l, s.Build), s.Stage, r.Parts)
	if err != nil {
		return Plan{}, err
	}
	plan := Plan{Add: []journal.Body{journal.DoneBody{
		Session: s.ID, Build: s.Build, Stage: s.Stage, Kit: s.Kit, Class: s.Class, Parts: refs, Count: count, At: at,
	}}}
	if s.Open {
		plan.Remarks = onBreak(l, s, time.Time{})
	}
	plan.Remarks = append(plan.Remarks, dryFit(l, s, refs)...)
	plan.Remarks = append(plan.Remarks, unglued(l, s, refs)...)
	return plan, nil
}

// dryFit asks what cannot be seen any more once the parts are glued.
func dryFit(l journal.Look, s *journal.Session, parts []journal.PartRef) []Remark {
	gates, pegs := journal.GatesAndPegs(l.DryFitAsks(s, parts))
	if len(gates)+len(pegs) == 0 {
		return nil
	}
	return []Remark{{Matter: DryFitAsks, Build: s.Build, Gates: journal.Ranges(gates), Pegs: journal.Ranges(pegs)}}
}

// unglued remarks on parts that are counted as assembled and still said to be without
// glue.
func unglued(l journal.Look, s *journal.Session, parts []journal.PartRef) []Remark {
	if s.Kind != "assemble" {
		return nil
	}
	var out []Remark
	for _, h := range l.HoldsOf(s.Build) {
		of := func(p journal.PartRef) bool { return l.About(h.Noted, s.Build, p) }
		if h.Is == "unglued" && slices.ContainsFunc(parts, of) {
			out = append(out, Remark{Matter: HeldStill, Hold: &h})
		}
	}
	return out
}

// session is the one in which the parts are counted. With none that runs, it is
// asked whether the one that ended last is meant.
func (r Done) session(l journal.Look, at time.Time) (*journal.Session, error) {
	last := l.LastEnded(l.Now)
	if r.Last && last != nil {
		return last, nil
	}
	s, err := running(l, ToCount, at)
	var no *Refusal
	if last != nil && errors.As(err, &no) && (no.Reason == NoSession || no.Reason == FellSilent) {
		one := *last
		one.End = one.End.In(zone(l.State))
		return nil, &Refusal{Reason: OrTheLast, Session: &one, Name: r.Parts}
	}
	return s, err
}

// Tool notes a tool in the session that runs.
type Tool struct {
	Name string
}

// Plan adds nothing, and remarks so, where the tool is noted already.
func (r Tool) Plan(l journal.Look) (Plan, error) {
	name := l.ToolName(r.Name)
	if name == "" {
		return Plan{}, &Refusal{Reason: NoTool}
	}
	s, err := running(l, ToTool, l.Now)
	if err != nil {
		return Plan{}, err
	}
	if s.Used(name) {
		return Plan{Remarks: []Remark{{Matter: ToolNoted, Session: s, Name: name}}}, nil
	}
	return just(journal.CorrectBody{Session: s.ID, AddTool: []string{name}})
}
