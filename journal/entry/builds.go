// What is said of a whole build: put aside, taken up again.

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
	if p := l.Paused(b.ID); p != nil && (r.Until.IsZero() || r.Until.After(p.From)) {
		return Plan{}, &Refusal{Reason: PausedAlready, Pause: inZone(l, p)}
	}
	for _, s := range l.Running() {
		if s.Build == b.ID && (r.Until.IsZero() || r.Until.After(s.Start)) {
			return Plan{}, &Refusal{Reason: StillRunning, Session: s}
		}
	}
	plan, _ := just("pause", journal.PauseBody{Build: b.ID, From: from, Why: r.Why, Next: r.Next, Waiting: r.Waiting})
	if !r.Until.IsZero() {
		until, err := moment(l, r.Until)
		if err != nil {
			return Plan{}, err
		}
		plan.Add = append(plan.Add, journal.New{Kind: "resume", Body: journal.ResumeBody{Build: b.ID, At: until}})
	}
	return plan, nil
}

// Resume takes a paused build up again.
type Resume struct {
	Build string
	At    time.Time // zero = now
}

// Plan looks that the build is put aside.
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
	case p == nil:
		return Plan{}, &Refusal{Reason: NotPaused, Build: b.ID}
	case p.From.Sub(at) >= time.Minute:
		return Plan{}, &Refusal{Reason: PausedBuild, Pause: inZone(l, p)}
	case at.Before(p.From):
		at = p.From // a time typed has no seconds
	}
	return just("resume", journal.ResumeBody{Build: b.ID, At: at})
}
