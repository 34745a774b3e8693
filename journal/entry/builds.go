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

// AsideOn is the moment of a build that was put aside on a day, after all that was done on
// it then; zero, which is now, where the day is not over.
func AsideOn(day, now time.Time) time.Time {
	end := day.AddDate(0, 0, 1).Add(-time.Minute)
	if end.After(now) {
		return time.Time{}
	}
	return end
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
	Past  bool   // its pictures of the years before say so
}

// longSince is how many days may lie between the last sign of work on a build and the day
// on which it is said to be finished, where nobody names that day: what was finished
// longer ago was hardly finished today. Common practice, no source.
const longSince = 14

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
		today := l.Now.In(zone(l.State))
		last, cut := l.LastDay(b), today.AddDate(0, 0, -longSince).Format(time.DateOnly)
		if last != "" && last < cut[:min(len(last), len(cut))] {
			return Plan{}, &Refusal{Reason: LongSinceWork, Build: b.ID, Name: last}
		}
		date = today.Format(time.DateOnly)
	}
	if _, err := day(l, date); err != nil {
		return Plan{}, err
	}
	for _, s := range l.SessionsOf(b.ID) {
		if s.Date[:min(len(s.Date), len(date))] > date && s.Kind != "wait" && !s.Start.After(l.Now) {
			return Plan{}, &Refusal{Reason: WorkedAfter, Session: s, Name: date}
		}
	}
	return just(journal.FinishBody{Build: b.ID, Date: date, At: l.Now, Past: r.Past})
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
