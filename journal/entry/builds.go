// What is said of a whole build: put aside, taken up again, finished.

package entry

import (
	"time"

	"rakelight/journal"
)

// Pause puts a build aside.
type Pause struct {
	Build              string
	Why, Next, Waiting string
	From               time.Time // zero = now
	Until              time.Time // when it was taken up again, as said afterwards; zero = it is not yet
}

// Plan asks why, and that nothing runs on the build.
func (r Pause) Plan(l journal.Look) (Plan, error) {
	if r.Why == "" {
		return Plan{}, &Refusal{Reason: NoWhy, Build: r.Build}
	}
	b, err := l.ResolveBuild(r.Build)
	if err != nil {
		return Plan{}, err
	}
	from, err := moment(l, r.From)
	if err != nil {
		return Plan{}, err
	}
	if b.Finished != "" && from.In(zone(l.State)).Format(time.DateOnly) >= b.Finished {
		return Plan{}, finished(b)
	}
	if p := l.Paused(b.ID); p != nil && (r.Until.IsZero() || r.Until.After(p.From)) {
		return Plan{}, &Refusal{Reason: PausedAlready, Pause: inZone(l, p)}
	}
	for _, s := range l.Running() {
		if s.Build == b.ID && (r.Until.IsZero() || r.Until.After(s.Start)) {
			return Plan{}, &Refusal{Reason: StillRunning, Session: s}
		}
	}
	plan, _ := just(journal.PauseBody{Build: b.ID, From: from, Why: r.Why, Next: r.Next, Waiting: r.Waiting})
	if !r.Until.IsZero() {
		until, err := moment(l, r.Until)
		if err != nil {
			return Plan{}, err
		}
		plan.Add = append(plan.Add, journal.ResumeBody{Build: b.ID, At: until})
	}
	return plan, nil
}

// Resume takes a build up again that is put aside, or that was finished.
type Resume struct {
	Build string
	At    time.Time // zero = now
}

// Plan looks that the build is put aside or finished.
func (r Resume) Plan(l journal.Look) (Plan, error) {
	b, err := l.ResolveBuild(r.Build)
	if err != nil {
		return Plan{}, err
	}
	at, err := moment(l, r.At)
	if err != nil {
		return Plan{}, err
	}
	p := l.Paused(b.ID)
	switch {
	case b.Finished != "":
		return Unfinish{Build: r.Build}.Plan(l)
	case p == nil:
		return Plan{}, &Refusal{Reason: NotPaused, Build: b.ID}
	case p.From.Sub(at) >= time.Minute:
		return Plan{}, &Refusal{Reason: PausedBuild, Pause: inZone(l, p)}
	case at.Before(p.From):
		at = p.From // a time typed has no seconds
	}
	return just(journal.ResumeBody{Build: b.ID, At: at})
}

// Finish says that a build is finished.
type Finish struct {
	Build string
	Date  string // YYYY-MM-DD, "" = today
}

// Plan looks that the build is open, and that nothing runs on it.
func (r Finish) Plan(l journal.Look) (Plan, error) {
	b, err := l.ResolveBuild(r.Build)
	if err != nil {
		return Plan{}, err
	}
	if b.Finished != "" {
		return Plan{}, finished(b)
	}
	if p := l.Paused(b.ID); p != nil {
		return Plan{}, &Refusal{Reason: PausedBuild, Pause: inZone(l, p)}
	}
	for _, s := range l.Running() {
		if s.Build == b.ID {
			return Plan{}, &Refusal{Reason: StillRunning, Session: s}
		}
	}
	date := r.Date
	if date == "" {
		date = l.Now.In(zone(l.State)).Format(time.DateOnly)
	}
	if _, err := day(l, date); err != nil {
		return Plan{}, err
	}
	for _, s := range l.SessionsOf(b.ID) {
		if s.Date[:min(len(s.Date), len(date))] > date && s.Kind != "wait" && !s.Start.After(l.Now) {
			return Plan{}, &Refusal{Reason: WorkedAfter, Session: s, Name: date}
		}
	}
	return just(journal.FinishBody{Build: b.ID, Date: date, At: l.Now})
}

// Unfinish says that a build which was finished goes on.
type Unfinish struct {
	Build string
}

// Plan looks that a person said it was finished, and not its build.md.
func (r Unfinish) Plan(l journal.Look) (Plan, error) {
	b, err := l.ResolveBuild(r.Build)
	switch {
	case err != nil:
		return Plan{}, err
	case b.Finished == "":
		return Plan{}, &Refusal{Reason: NotFinished, Build: b.ID}
	case b.Closed == "":
		return Plan{}, &Refusal{Reason: FinishedByHand, Build: b.ID, Name: b.Finished}
	}
	return just(journal.FinishBody{Build: b.ID, At: l.Now})
}

// Note is a note made at once: in a session, on parts, or on a build.
type Note struct {
	Text    string
	Session string // id, "" = the one that runs, unless a build is named
	Build   string // "" = the session's
	Stage   string
	Parts   string
	At      time.Time // zero = now
}

// Plan finds out what the note is of.
func (r Note) Plan(l journal.Look) (Plan, error) {
	if plain(r.Text) == "" {
		return Plan{}, &Refusal{Reason: NoWords}
	}
	at, err := moment(l, r.At)
	if err != nil {
		return Plan{}, err
	}
	body := journal.NoteBody{Text: r.Text, At: at}
	b, err := r.of(l, &body)
	if err != nil {
		return Plan{}, err
	}
	body.Build = b.ID
	if r.Stage != "" {
		st, err := l.ResolveStage(b, r.Stage)
		if err != nil {
			return Plan{}, err
		}
		body.Stage = st.ID
	}
	if body.Parts, err = named(b, r.Parts); err != nil {
		return Plan{}, err
	}
	return just(body)
}

// of is the build the note is on; the session and its stage go into the body.
func (r Note) of(l journal.Look, body *journal.NoteBody) (*journal.Build, error) {
	if r.Build != "" {
		return l.ResolveBuild(r.Build)
	}
	var s *journal.Session
	var err error
	if r.Session != "" {
		s, err = session(l, r.Session)
	} else {
		s, err = running(l, ToNote, body.At)
	}
	if err != nil {
		return nil, err
	}
	body.Session, body.Stage = s.ID, s.Stage
	return buildOf(l, s.Build), nil
}
