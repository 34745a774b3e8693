// This file is what a person does at the bench, as records: begin a stage, end
// it, take a break, count parts. Each method appends the records and returns
// the session it touched. Times that cannot be right are refused with a
// question; nothing is counted that nobody vouched for.

package journal

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// AskError is a refusal that ends in a question: the person knows the answer,
// we do not, and a guess would falsify the record.
type AskError struct {
	What string // what is unclear
	Hint string // how to say it
}

func (e *AskError) Error() string { return e.What }

// defaultLongest is how long a timer may run before it is asked about. Long
// sittings at the bench exist; five hours without a break entered are rare
// enough to ask.
const defaultLongest = 5 * time.Hour

// LongestTimer is the longest stretch a timer may run unasked.
func (c Config) LongestTimer() time.Duration {
	if d, err := time.ParseDuration(c.Longest); err == nil && d > 0 {
		return d
	}
	return defaultLongest
}

// Overdue reports whether a running session has run longer than a person
// stays at the bench, so that it was probably forgotten.
func (s *Session) Overdue(now time.Time, longest time.Duration) bool {
	return s.Open && now.Sub(s.Start) > longest
}

// BeginAt starts a session. A running session on another stage ends at the
// same moment, because one pair of hands does one thing; it is returned as
// ended. A running session that was forgotten must be settled first: AskError.
func (j *Journal) BeginAt(b BeginBody) (begun, ended *Session, err error) {
	for _, open := range j.State.Running() {
		if open.Overdue(b.Start, j.State.Config.LongestTimer()) {
			return nil, nil, j.forgotten(open, b.Start)
		}
		if open.Build == b.Build && open.Stage == b.Stage && open.Kit == b.Kit {
			return nil, nil, &AskError{
				What: fmt.Sprintf("%s on %s is running since %s already", open.Stage, open.Build, open.Start.In(j.State.Zone).Format("15:04")),
				Hint: "rakelight off ends it",
			}
		}
		if b.Start.Before(open.Start) {
			return nil, nil, j.beganLater(open, b.Start)
		}
	}
	records := []New{}
	running := j.State.Running()
	for _, open := range running {
		records = append(records, New{Kind: "end", Body: EndBody{Session: open.ID, End: b.Start}})
		ended = open
	}
	records = append(records, New{Kind: "begin", Body: b})
	written, err := j.AppendAll(records)
	if err != nil {
		return nil, nil, err
	}
	if ended != nil {
		ended = j.State.Session(ended.ID)
	}
	return j.State.Session(written[len(written)-1].ID()), ended, nil
}

// EndAt ends the running session. With more than one running (two devices)
// it ends all of them. A session that ran overlong is not ended blindly.
func (j *Journal) EndAt(at time.Time) ([]*Session, error) {
	running := j.State.Running()
	if silent := j.State.fellSilent(); len(running) == 0 && silent != nil {
		running = []*Session{silent}
	}
	if len(running) == 0 {
		return nil, &AskError{What: "no session is running", Hint: `work done earlier is entered with: rakelight worked BUILD STAGE "about 40 min yesterday"`}
	}
	records := make([]New, 0, len(running))
	for _, open := range running {
		if at.Sub(open.Start) > j.State.Config.LongestTimer() {
			if !open.Open {
				return nil, j.ended(open)
			}
			return nil, j.forgotten(open, at)
		}
		if !at.After(open.Start) {
			return nil, j.beganLater(open, at)
		}
		records = append(records, New{Kind: "end", Body: EndBody{Session: open.ID, End: at}})
	}
	if _, err := j.AppendAll(records); err != nil {
		return nil, err
	}
	return j.again(running), nil
}

// EndAfter ends the running session as lasting the given time, which the
// person remembers: the answer to a forgotten timer. It cannot have lasted
// longer than since it began.
func (j *Journal) EndAfter(worked time.Duration, now time.Time) ([]*Session, error) {
	running := j.State.Running()
	if len(running) != 1 {
		return nil, &AskError{What: fmt.Sprintf("%d sessions are running; --worked answers for exactly one", len(running)), Hint: "rakelight off --at HH:MM ends them all"}
	}
	end := running[0].Start.Add(worked)
	if end.After(now.Add(time.Minute)) {
		return nil, fmt.Errorf("%s on %s began %s ago, so it cannot have lasted %s: nothing written", running[0].Stage, running[0].Build, Spell(now.Sub(running[0].Start)), Spell(worked))
	}
	net := worked.Minutes()
	_, err := j.AppendAll([]New{
		{Kind: "end", Body: EndBody{Session: running[0].ID, End: end}},
		{Kind: "correct", Body: CorrectBody{Session: running[0].ID, Minutes: &net, Accept: true}},
	})
	if err != nil {
		return nil, err
	}
	return j.again(running), nil
}

// DoneAt counts parts as done in the running session, and returns it and the
// record.
func (j *Journal) DoneAt(refs []PartRef, count int, at time.Time) (*Session, Record, error) {
	running := j.State.Running()
	silent := j.State.fellSilent()
	switch {
	case len(running) == 0 && silent != nil && at.Sub(silent.Start) <= j.State.Config.LongestTimer():
		return nil, Record{}, j.ended(silent)
	case len(running) == 0:
		return nil, Record{}, &AskError{What: "no session is running, so the parts belong to no stage yet", Hint: "rakelight on BUILD STAGE first, or rakelight worked BUILD STAGE \"40 min\" --parts A1-A12"}
	case len(running) > 1:
		return nil, Record{}, &AskError{What: fmt.Sprintf("%d sessions are running on different devices", len(running)), Hint: "end one of them with rakelight off"}
	}
	open := running[0]
	if open.Overdue(at, j.State.Config.LongestTimer()) {
		return nil, Record{}, j.forgotten(open, at)
	}
	if open.Start.Sub(at) >= time.Minute { // a time typed has no seconds
		return nil, Record{}, j.beganLater(open, at)
	}
	if twice := j.State.DoneBefore(open.Build, open.Stage, refs); twice != "" {
		return nil, Record{}, &AskError{
			What: fmt.Sprintf("%s was counted as done in %s of %s already", twice, open.Kind, open.Build),
			Hint: "if it was opened again, say so first: " + Typed("rakelight reopen %s %s", open.Build, twice),
		}
	}
	rec, err := j.Append("done", DoneBody{
		Session: open.ID, Build: open.Build, Stage: open.Stage, Kit: open.Kit, Class: open.Class,
		Parts: refs, Count: count, At: at,
	})
	if err != nil {
		return nil, Record{}, err
	}
	return j.State.Session(open.ID), rec, nil
}

// DoneBefore names the first of refs that stands done in the stage of the build
// and was not reopened since, "" if none does. Multiples are let through: the
// same number may be on a runner several times.
func (s *State) DoneBefore(build, stage string, refs []PartRef) string {
	for _, ref := range refs {
		if ref.Count == 1 && s.standing(build, stage, ref) > 0 {
			return ref.String()
		}
	}
	return ""
}

// standing is how many of a part stand done in a stage of a build.
func (s *State) standing(build, stage string, ref PartRef) int {
	n := 0
	for _, one := range s.SessionsOf(build) {
		if one.Stage != stage {
			continue
		}
		n += countOf(one.Parts, ref) - countOf(one.Again, ref)
	}
	return n
}

func countOf(parts []PartRef, ref PartRef) int {
	n := 0
	for _, p := range parts {
		if p.same(ref) {
			n += p.Count
		}
	}
	return n
}

// ReopenParts says that parts done in a stage must be done again. stage may be
// "" where the parts stand done in one stage only; else it is asked for.
func (j *Journal) ReopenParts(build *Build, stage string, refs []PartRef, why string, at time.Time) (Record, string, error) {
	if stage == "" {
		var stages []string
		for _, st := range build.Stages {
			if slices.ContainsFunc(refs, func(r PartRef) bool { return j.State.standing(build.ID, st.ID, r) > 0 }) {
				stages = append(stages, st.ID)
			}
		}
		if len(stages) > 1 {
			return Record{}, "", &AskError{What: fmt.Sprintf("%s stand done in %s", partList(refs), strings.Join(stages, " and in ")), Hint: "say which must be done again: --stage " + Quoted(stages[len(stages)-1])}
		}
		if len(stages) == 1 {
			stage = stages[0]
		}
	}
	for _, ref := range refs {
		if stage == "" || j.State.standing(build.ID, stage, ref) < ref.Count {
			return Record{}, "", fmt.Errorf("%s of %s was not done before, so it cannot be opened again: nothing written", ref, build.ID)
		}
	}
	rec, err := j.Append("reopen", ReopenBody{Build: build.ID, Stage: stage, Parts: refs, Why: why, At: at})
	return rec, stage, err
}

func partList(refs []PartRef) string {
	var words []string
	for _, r := range refs {
		words = append(words, r.String())
	}
	return strings.Join(words, ", ")
}

// BreakAt starts a break in the running session, or ends the running break.
// It reports whether a break now runs.
func (j *Journal) BreakAt(at time.Time) (s *Session, resting bool, err error) {
	running := j.State.Running()
	if len(running) != 1 {
		return nil, false, &AskError{What: fmt.Sprintf("%d sessions are running; a break needs exactly one", len(running)), Hint: "rakelight on BUILD STAGE begins a session"}
	}
	open := running[0]
	for _, b := range open.Breaks {
		if b.End.IsZero() {
			if _, err := j.Append("break", BreakBody{Session: open.ID, Start: b.Start, End: at}); err != nil {
				return nil, false, err
			}
			return j.State.Session(open.ID), false, nil
		}
	}
	if _, err := j.Append("break", BreakBody{Session: open.ID, Start: at}); err != nil {
		return nil, false, err
	}
	return j.State.Session(open.ID), true, nil
}

// Session returns the session with the id, or nil.
func (s *State) Session(id string) *Session {
	for _, one := range s.Sessions {
		if one.ID == id {
			return one
		}
	}
	return nil
}

// again returns the sessions as they are now.
func (j *Journal) again(old []*Session) []*Session {
	now := make([]*Session, 0, len(old))
	for _, s := range old {
		if fresh := j.State.Session(s.ID); fresh != nil {
			now = append(now, fresh)
		}
	}
	return now
}

// fellSilent is the session worked on last, if it went by cards and nothing but
// a silence ended it: a person can still say when it ended. Else nil.
func (s *State) fellSilent() *Session {
	if len(s.Sessions) == 0 {
		return nil
	}
	if last := s.Sessions[len(s.Sessions)-1]; last.Cards && last.Known == Estimated && last.How == fellSilent {
		return last
	}
	return nil
}

// minute is how a moment is shown and typed, in the journal's zone.
const minute = "2006-01-02 15:04"

// forgotten asks when a session that ran too long really ended.
func (j *Journal) forgotten(s *Session, now time.Time) error {
	return &AskError{
		What: fmt.Sprintf("%s on %s has been running for %s; was the timer forgotten? nothing was written", s.Stage, s.Build, Spell(now.Sub(s.Start))),
		Hint: fmt.Sprintf(`say how long it really was: rakelight off --worked "1h20", or %s, or rakelight off --worked "11h20" if it truly ran so long`,
			Typed("rakelight off --at %s", s.Start.Add(80*time.Minute).In(j.State.zone()).Format(minute))),
	}
}

// ended says that a session fell silent and that its end can still be said.
func (j *Journal) ended(s *Session) error {
	zone := j.State.zone()
	return &AskError{
		What: fmt.Sprintf("no session is running; %s on %s ended with its last photo on %s, estimated: nothing written", s.Stage, s.Build, s.End.In(zone).Format(minute)),
		Hint: "if you know when it really ended: " + Typed("rakelight off --at %s", s.End.Add(10*time.Minute).In(zone).Format(minute)),
	}
}

// beganLater refuses a moment before the session began: the moment is wrong, or
// the photo of its begin card is dated wrongly.
func (j *Journal) beganLater(s *Session, at time.Time) error {
	zone := j.State.zone()
	hint := Typed("rakelight retract %s", s.ID) + " takes it back, if it never was"
	if s.Cards {
		photo := j.State.Photos[slices.IndexFunc(j.State.Photos, func(p *Photo) bool { return cardSession(p.Hash) == s.ID })]
		hint = fmt.Sprintf("a bench card in %s began it; if the camera's clock was wrong: %s; to drop the card: %s", photo.Name,
			Typed("rakelight clock --photo %s --really TIME", photo.Short()), Typed("rakelight cards --ignore %s", photo.Short()))
	}
	return &AskError{
		What: fmt.Sprintf("%s on %s began on %s, after %s: nothing written", s.Stage, s.Build, s.Start.In(zone).Format(minute), at.In(zone).Format(minute)),
		Hint: hint,
	}
}

// Spell writes a duration as a person would: "1 h 20 min".
func Spell(d time.Duration) string {
	m := int(d.Round(time.Minute).Minutes())
	switch {
	case d < time.Minute:
		return "under 1 min"
	case m < 60:
		return fmt.Sprintf("%d min", m)
	case m%60 == 0:
		return fmt.Sprintf("%d h", m/60)
	}
	return fmt.Sprintf("%d h %d min", m/60, m%60)
}
