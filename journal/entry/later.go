// What is said of work afterwards: worked, correct, reopen, retract.

package entry

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
)

// Worked is a whole session, said afterwards.
type Worked struct {
	Build, Stage string
	Kit          int
	Class        string
	Minutes      float64
	Date         string    // YYYY-MM-DD, YYYY-MM or YYYY, no finer than it is known
	Start        time.Time // zero = only the day is known
	Known        string    // how the time is known, "" = journal.Remembered
	Parts        string    // as in Done, "" = not counted
	Note         string
	Tools        []string
	For          string
}

// longestWork is the longest stretch at the bench that is believed.
const longestWork = 24 * time.Hour

// Plan looks that it has been, lies over no other session and counts no part a
// second time.
func (r Worked) Plan(l journal.Look) (Plan, error) {
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
	net := time.Duration(r.Minutes * float64(time.Minute))
	if !(net > 0 && net <= longestWork) {
		return Plan{}, &Refusal{Reason: NoLength, Length: net}
	}
	start := r.Start
	if start.IsZero() {
		start = journal.FirstMoment(r.Date, zone(l.State))
	}
	if start.IsZero() {
		return Plan{}, &Refusal{Reason: NoDay, Name: r.Date}
	}
	if start.After(l.Now) || !r.Start.IsZero() && start.Add(net).After(l.Now.Add(time.Minute)) {
		return Plan{}, &Refusal{Reason: NotYet, At: start.Add(net).In(zone(l.State))}
	}
	if err := awake(l, b.ID, dayEnd(r.Date, start, l)); err != nil {
		return Plan{}, err
	}
	if err := unfinished(b, r.Date); err != nil {
		return Plan{}, err
	}
	body := journal.WorkBody{
		Build: b.ID, Stage: st.ID, Kind: st.Kind, Class: r.Class, Kit: r.Kit, Date: r.Date, Start: r.Start,
		Minutes: r.Minutes,
		Known:   r.Known, Note: r.Note, Counted: r.Parts != "", Tools: r.Tools, For: mends,
	}
	if body.Known == "" {
		body.Known = journal.Remembered
	}
	if body.Counted {
		if body.Parts, body.Count, err = counted(l, b, st.ID, r.Parts); err != nil {
			return Plan{}, err
		}
	}
	if !r.Start.IsZero() {
		if err := free(l, journal.Session{Build: b.ID, Stage: st.ID, Kind: st.Kind, Start: start, End: start.Add(net)},
			nil); err != nil {
			return Plan{}, err
		}
	}
	return just(body)
}

// dayEnd is the latest moment at which work of a day can have begun: the day's
// last, unless its hour is known or the day is not yet over. Of a month or a year
// it is the first, since more is not known.
func dayEnd(date string, start time.Time, l journal.Look) time.Time {
	if len(date) != len(time.DateOnly) || !start.Equal(journal.FirstMoment(date, zone(l.State))) {
		return start
	}
	if end := start.AddDate(0, 0, 1).Add(-time.Second); end.Before(l.Now) {
		return end
	}
	return l.Now
}

// Correct corrects a session. What is nil, zero, "" or 0 stays as it is.
type Correct struct {
	Session    string // id
	Start, End time.Time
	Breaks     *[]journal.Rest // all of them, in place of those noted before
	Lasted     time.Duration   // so long was it at the bench; it is then a remembered time
	Accept     bool            // yes, it really ran so long
	Count      *int            // parts by bare number, besides those named
	Parts      *string         // in place of all that was counted before, as in Done; "" or "0" = none was done
	Add, Take  string          // parts by name: besides, and not done after all
	Build      string
	Kit        int
	Stage      string
	Class      *string   // "" = not said
	Note       *string   // "" = none
	Tools      *[]string // in place of those named before
	For        string
}

// Plan holds the session as it would be against the rules of a new one.
func (r Correct) Plan(l journal.Look) (Plan, error) {
	s, err := session(l, r.Session)
	if err != nil {
		return Plan{}, err
	}
	if r == (Correct{Session: r.Session}) {
		return Plan{}, &Refusal{Reason: NothingSaid}
	}
	if r.Count != nil && *r.Count < 0 {
		return Plan{}, &Refusal{Reason: FewerDone, Session: s, Count: *r.Count}
	}
	// Who says when it was vouches for it.
	vouched := r.Accept || r.Lasted != 0 || !r.Start.IsZero() || !r.End.IsZero()
	body := journal.CorrectBody{Session: s.ID, Accept: vouched, Count: r.Count, Tools: r.Tools}
	b, st, err := r.place(l, s, &body)
	if err != nil {
		return Plan{}, err
	}
	if err := r.parts(l, s, b, st.ID, &body); err != nil {
		return Plan{}, err
	}
	if err := r.times(l, s, st.Kind, &body); err != nil {
		return Plan{}, err
	}
	if r.Class != nil {
		if err := class(b, *r.Class); err != nil {
			return Plan{}, err
		}
		body.Class = r.Class
	}
	body.Note = r.Note
	if r.For != "" {
		mends, err := mended(l, b, st.Kind, r.For)
		if err != nil {
			return Plan{}, err
		}
		body.For = &mends
	}
	plan, _ := just(body)
	if err := whole(l, plan, s.ID); err != nil {
		return Plan{}, err
	}
	return plan, nil
}

// place is the build and the stage of the session as they would be.
func (r Correct) place(l journal.Look, s *journal.Session, body *journal.CorrectBody) (*journal.Build, *journal.Stage,
	error) {
	b, st := buildOf(l, s.Build), &journal.Stage{ID: s.Stage, Kind: s.Kind}
	if r.Build != "" {
		var err error
		if b, err = l.ResolveBuild(r.Build); err != nil {
			return nil, nil, err
		}
		body.Build = &b.ID
		if b.ID != s.Build {
			if err := cmp.Or(awake(l, b.ID, s.Start), unfinished(b, s.Date)); err != nil {
				return nil, nil, err
			}
		}
	}
	if stage := cmp.Or(r.Stage, s.Stage); r.Stage != "" || b.ID != s.Build {
		var err error
		if st, err = l.StageCalled(b, stage); err != nil {
			return nil, nil, err
		}
		body.Stage = &st.ID
	}
	if r.Kit != 0 {
		if err := kitOf(b, r.Kit); err != nil {
			return nil, nil, err
		}
		body.Kit = &r.Kit
	}
	return b, st, nil
}

// parts looks that the parts of the session as it would be are parts there, and
// count once.
func (r Correct) parts(l journal.Look, s *journal.Session, b *journal.Build, stage string,
	body *journal.CorrectBody) error {
	moved := b.ID != s.Build || stage != s.Stage
	had := s.Parts
	if r.Parts != nil {
		parts, bare, err := countedAs(b, *r.Parts)
		if err != nil {
			return err
		}
		if parts == nil {
			parts = []journal.PartRef{} // none, which is not the same as not said
		}
		body.Parts, had = &parts, nil
		if body.Count == nil {
			body.Count = &bare
		}
		if err := r.onceMore(l, s, b.ID, stage, moved, parts); err != nil {
			return err
		}
	}
	var err error
	if body.Add, err = named(b, r.Add); err != nil {
		return err
	}
	if err := r.onceMore(l, s, b.ID, stage, moved, body.Add); err != nil {
		return err
	}
	if body.Take, err = named(b, r.Take); err != nil {
		return err
	}
	for _, part := range body.Take {
		if !slices.ContainsFunc(had, func(p journal.PartRef) bool { return p.Is(part) && p.Count >= part.Count }) {
			return &Refusal{Reason: NotDone, Part: part.String(), Build: b.ID}
		}
	}
	if !moved {
		return nil
	}
	for _, part := range had {
		if _, _, err := journal.ParseParts(part.String(), b); err != nil {
			return err
		}
	}
	return once(l, b.ID, stage, had)
}

// onceMore refuses parts that stand done in the stage already, unless it is by
// this session and they are named anew.
func (r Correct) onceMore(l journal.Look, s *journal.Session, build, stage string, moved bool,
	parts []journal.PartRef) error {
	var fresh []journal.PartRef
	for _, part := range parts {
		own := !moved && r.Parts != nil && slices.ContainsFunc(s.Parts, part.Is)
		if !own {
			fresh = append(fresh, part)
		}
	}
	return once(l, build, stage, fresh)
}

// times looks that the session can have been when it is said to have been.
func (r Correct) times(l journal.Look, s *journal.Session, kind string, body *journal.CorrectBody) error {
	said := *s
	said.Kind = kind
	for _, one := range []struct {
		at       time.Time
		to       *time.Time
		recorded **time.Time
	}{{r.Start, &said.Start, &body.Start}, {r.End, &said.End, &body.End}} {
		if one.at.IsZero() {
			continue
		}
		at, err := moment(l, one.at)
		if err != nil {
			return err
		}
		*one.to, *one.recorded = at, &at
	}
	if !r.Start.IsZero() && r.End.IsZero() && s.Known == journal.Remembered && !s.Open {
		said.End = said.Start.Add(s.Net) // the length was said and stays
	}
	said.Open = s.Open && r.End.IsZero()
	if !said.Open && said.End.Before(said.Start) {
		return &Refusal{Reason: EndsBefore, Session: &said, At: l.Now.In(zone(l.State))}
	}
	if r.Lasted != 0 {
		if r.Lasted < 0 || r.Lasted > longestWork {
			return &Refusal{Reason: NoLength, Length: r.Lasted}
		}
		if err := lastedSince(l, &said, r.Lasted); err != nil {
			return err
		}
		minutes := r.Lasted.Minutes()
		body.Minutes = &minutes
		said.End, said.Open, said.Breaks = said.Start.Add(r.Lasted), false, nil
	}
	if err := r.breaks(l, said, body); err != nil {
		return err
	}
	if r.Breaks != nil {
		said.Breaks = nil
		for _, one := range *r.Breaks {
			said.Breaks = append(said.Breaks, journal.Span(one))
		}
	}
	switch {
	case (body.End != nil || body.Breaks != nil) && !l.Clocked(s) && r.Start.IsZero():
		return &Refusal{Reason: HourUnknown, Session: s}
	case body.Breaks != nil && body.End == nil && body.Minutes == nil && !said.Open:
		// A length that was said would hide the breaks: it follows from beginning
		// and end again.
		body.End = &said.End
	}
	if body.Start == nil && body.End == nil && body.Minutes == nil && body.Breaks == nil || said.Open ||
		!l.Clocked(s) && r.Start.IsZero() {
		return nil
	}
	return free(l, said, s)
}

// breaks looks that the breaks that are said lie in the session.
func (r Correct) breaks(l journal.Look, said journal.Session, body *journal.CorrectBody) error {
	if r.Breaks == nil {
		return nil
	}
	body.Breaks = r.Breaks
	for _, one := range *r.Breaks {
		if !one.End.After(one.Start) || one.Start.Before(said.Start) || !said.Open && one.End.After(said.End) ||
			one.End.After(l.Now) {
			return &Refusal{Reason: BreakOutside, Session: &said, Break: spanIn(l, journal.Span(one))}
		}
	}
	return nil
}

// Reopen says that parts that were done must be done again.
type Reopen struct {
	Build   string // "" = the session's, else as in Mistake
	Parts   string // as in Done
	Stage   string // which of the stages they stand done in, "" = the only one
	Session string // id, of a bare number
	Why     string
	At      time.Time // zero = now
}

// Plan takes off only what stands done.
func (r Reopen) Plan(l journal.Look) (Plan, error) {
	if s := l.Session(r.Session); s != nil && r.Build == "" {
		r.Build = s.Build
	}
	b, err := inHand(l, r.Build)
	if err != nil {
		return Plan{}, err
	}
	refs, bare, err := journal.ParseParts(r.Parts, b)
	if err != nil {
		return Plan{}, err
	}
	at, err := moment(l, r.At)
	if err != nil {
		return Plan{}, err
	}
	if bare > 0 {
		return r.count(l, b, bare, at)
	}
	stage, err := r.stage(l, b, refs)
	if err != nil {
		return Plan{}, err
	}
	for _, ref := range refs {
		if stage == "" || l.Standing(b.ID, stage, ref) < ref.Count {
			return Plan{}, &Refusal{Reason: NotDone, Part: ref.String(), Build: b.ID}
		}
	}
	return just(journal.ReopenBody{Build: b.ID, Stage: stage, Parts: refs, Why: r.Why, At: at})
}

// stage is the stage in which the parts stand done, "" = none.
func (r Reopen) stage(l journal.Look, b *journal.Build, refs []journal.PartRef) (string, error) {
	if r.Stage != "" {
		st, err := l.StageCalled(b, r.Stage)
		if err != nil {
			return "", err
		}
		return st.ID, nil
	}
	var stages []string
	for _, st := range b.Stages {
		if slices.ContainsFunc(refs, func(p journal.PartRef) bool { return l.Standing(b.ID, st.ID, p) > 0 }) {
			stages = append(stages, st.ID)
		}
	}
	switch len(stages) {
	case 0:
		return "", nil
	case 1:
		return stages[0], nil
	}
	return "", &Refusal{Reason: WhichStage, Part: journal.Ranges(refs), Known: stages}
}

// count takes a bare number off the session it belongs to.
func (r Reopen) count(l journal.Look, b *journal.Build, bare int, at time.Time) (Plan, error) {
	if r.Session == "" {
		return Plan{}, &Refusal{Reason: WhichSession}
	}
	s := l.Session(r.Session)
	switch {
	case s == nil || s.Build != b.ID:
		return Plan{}, &Refusal{Reason: NoSuchSession, Name: r.Session, Build: b.ID}
	case s.Done() < bare:
		return Plan{}, &Refusal{Reason: FewerDone, Session: s, Count: bare}
	}
	return just(journal.ReopenBody{Build: b.ID, Count: bare, Session: s.ID, Why: r.Why, At: at})
}

// RetractAll takes records back, several as one entry wrote them: the end of a session,
// and the beginning of the next. A record stays in its file and counts no more, nor does
// what hangs on it, such as the end of a session. Retracting a retraction brings the
// record back.
type RetractAll struct {
	Records []string // ids; of several records that bear one, with "#" and a checksum
	Why     string
}

// Plan refuses what would leave another record without effect that a person would
// wonder at: that one is taken back first. What goes along with a single one is remarked
// on. The last is taken back first.
func (r RetractAll) Plan(l journal.Look) (Plan, error) {
	var plan Plan
	for _, name := range slices.Backward(r.Records) {
		one, err := bearer(l, name)
		if err != nil {
			return Plan{}, err
		}
		// The checksum says which record is meant, also when another of the same id
		// comes later.
		plan.Add = append(plan.Add, journal.RetractBody{Record: one.ID(), Sum: one.Sum(), Why: r.Why})
		if along := l.HangsOn(one); along != (journal.Hanging{}) && len(r.Records) == 1 {
			plan.Remarks = append(plan.Remarks, Remark{Matter: GoesAlong, Along: along})
		}
	}
	if len(plan.Add) == 0 {
		return Plan{}, &Refusal{Reason: NoSuchRecord}
	}
	return plan, whole(l, plan, strings.Join(r.Records, ", "))
}

// bearer is the one record of a name that is not taken back.
func bearer(l journal.Look, name string) (journal.Record, error) {
	all := l.Bearers(name)
	if len(all) == 0 {
		return journal.Record{}, &Refusal{Reason: NoSuchRecord, Name: name}
	}
	stand := slices.DeleteFunc(slices.Clone(all), func(one journal.Record) bool { return l.RetractedBy(one) != "" })
	switch {
	case len(stand) == 0:
		return journal.Record{}, &Refusal{Reason: TakenBack, Name: name, Record: l.RetractedBy(all[0])}
	case len(stand) > 1:
		return journal.Record{}, &Refusal{Reason: SeveralRecords, Name: name, Records: stand}
	}
	return stand[0], nil
}

// whole refuses a plan that would leave a record without effect: that one is taken
// back first.
func whole(l journal.Look, plan Plan, changed string) error {
	after, err := l.Suppose(plan.Add...)
	if err != nil {
		return err
	}
	for _, p := range after.Problems {
		if p.Record != "" && !slices.Contains(l.Problems, p) {
			return &Refusal{Reason: RestsOn, Name: changed, Record: p.Record}
		}
	}
	return nil
}
