// This file is what a person does at the bench, as records: begin a stage, end
// it, take a break, count parts. Each method appends the records and returns
// the session it touched. Times that cannot be right are refused with a
// question; nothing is counted that nobody vouched for.

package journal

import (
	"fmt"
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
			return nil, nil, forgotten(open, b.Start)
		}
		if open.Build == b.Build && open.Stage == b.Stage && open.Kit == b.Kit {
			return nil, nil, &AskError{
				What: fmt.Sprintf("%s on %s is running since %s already", open.Stage, open.Build, open.Start.In(j.State.Zone).Format("15:04")),
				Hint: "rakelight off ends it",
			}
		}
		if b.Start.Before(open.Start) {
			return nil, nil, fmt.Errorf("%s on %s began at %s, after %s: nothing written", open.Stage, open.Build,
				open.Start.In(j.State.Zone).Format("15:04"), b.Start.In(j.State.Zone).Format("15:04"))
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
	if len(running) == 0 {
		return nil, &AskError{What: "no session is running", Hint: `work done earlier is entered with: rakelight worked BUILD STAGE "about 40 min yesterday"`}
	}
	records := make([]New, 0, len(running))
	for _, open := range running {
		if open.Overdue(at, j.State.Config.LongestTimer()) {
			return nil, forgotten(open, at)
		}
		if !at.After(open.Start) {
			return nil, fmt.Errorf("%s on %s began at %s; it cannot end before that: nothing written", open.Stage, open.Build, open.Start.In(j.State.Zone).Format("2006-01-02 15:04"))
		}
		records = append(records, New{Kind: "end", Body: EndBody{Session: open.ID, End: at}})
	}
	if _, err := j.AppendAll(records); err != nil {
		return nil, err
	}
	return j.again(running), nil
}

// EndAfter ends the running session as lasting the given time, which the
// person vouches for: the answer to a forgotten timer.
func (j *Journal) EndAfter(worked time.Duration) ([]*Session, error) {
	running := j.State.Running()
	if len(running) != 1 {
		return nil, &AskError{What: fmt.Sprintf("%d sessions are running; --worked answers for exactly one", len(running)), Hint: "rakelight off --at HH:MM ends them all"}
	}
	end := running[0].Start.Add(worked)
	_, err := j.AppendAll([]New{
		{Kind: "end", Body: EndBody{Session: running[0].ID, End: end}},
		{Kind: "correct", Body: CorrectBody{Session: running[0].ID, Accept: true}},
	})
	if err != nil {
		return nil, err
	}
	return j.again(running), nil
}

// DoneAt counts parts as done in the running session.
func (j *Journal) DoneAt(refs []PartRef, count int, at time.Time) (*Session, error) {
	running := j.State.Running()
	switch {
	case len(running) == 0:
		return nil, &AskError{What: "no session is running, so the parts belong to no stage yet", Hint: "rakelight on BUILD STAGE first, or rakelight worked BUILD STAGE \"40 min\" --parts A1-A12"}
	case len(running) > 1:
		return nil, &AskError{What: fmt.Sprintf("%d sessions are running on different devices", len(running)), Hint: "end one of them with rakelight off"}
	}
	open := running[0]
	if open.Overdue(at, j.State.Config.LongestTimer()) {
		return nil, forgotten(open, at)
	}
	if twice := j.doneBefore(open, refs); twice != "" {
		return nil, &AskError{
			What: fmt.Sprintf("%s was counted as done in %s of %s already", twice, open.Kind, open.Build),
			Hint: "if it was opened again, say so first: rakelight reopen " + open.Build + " " + twice,
		}
	}
	_, err := j.Append("done", DoneBody{
		Session: open.ID, Build: open.Build, Stage: open.Stage, Kit: open.Kit, Class: open.Class,
		Parts: refs, Count: count, At: at,
	})
	if err != nil {
		return nil, err
	}
	return j.State.Session(open.ID), nil
}

// doneBefore names the first of refs that stands done in the same stage of the
// same build and was not reopened since. Multiples are let through: the same
// number may be on a runner several times.
func (j *Journal) doneBefore(open *Session, refs []PartRef) string {
	standing := map[string]bool{}
	for _, s := range j.State.SessionsOf(open.Build) {
		if s.Stage != open.Stage || s.Reopened > 0 {
			continue
		}
		for _, p := range s.Parts {
			if p.Count == 1 {
				standing[p.String()] = true
			}
		}
	}
	for _, p := range refs {
		if p.Count == 1 && standing[p.String()] {
			return p.String()
		}
	}
	return ""
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

func forgotten(s *Session, now time.Time) error {
	return &AskError{
		What: fmt.Sprintf("%s on %s has been running for %s; was the timer forgotten? nothing was written", s.Stage, s.Build, Spell(now.Sub(s.Start))),
		Hint: `say how long it really was: rakelight off --worked "1h20", or rakelight off --at 22:10, or rakelight off --worked "11h20" if it truly ran so long`,
	}
}

// Spell writes a duration as a person would: "1 h 20 min".
func Spell(d time.Duration) string {
	m := int(d.Round(time.Minute).Minutes())
	switch {
	case m < 60:
		return fmt.Sprintf("%d min", m)
	case m%60 == 0:
		return fmt.Sprintf("%d h", m/60)
	}
	return fmt.Sprintf("%d h %d min", m/60, m%60)
}
