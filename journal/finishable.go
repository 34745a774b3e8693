// This file finds builds that seem to be finished, and of which nobody has said
// so. It proposes; whoever built knows.

package journal

import (
	"fmt"
	"time"

	"rakelight/journal/metrics"
)

// Finishable is an open build that seems to be finished. Two are equal when they
// say the same.
type Finishable struct {
	Build string
	Date  string // YYYY-MM-DD, the last day on which something was done
	Photo string // hash of a photo that says finished; "" = the last stage is done
	Name  string // of the photo, as it lay in the inbox
	Stage string // the last stage
}

// Finishables are the open builds whose last stage has nothing left, or of which a
// photo says that they are finished, and on which nothing was done since; in the
// order of Builds. What was so before a person took the build up again counts no
// more.
func (s *State) Finishables() []Finishable {
	var all []Finishable
	for _, b := range s.Builds {
		if b.Finished != "" || s.Paused(b.ID) != nil {
			continue
		}
		if f, ok := s.finishable(b); ok {
			all = append(all, f)
		}
	}
	return all
}

func (s *State) finishable(b *Build) (Finishable, bool) {
	f := Finishable{Build: b.ID}
	var worked time.Time // the last moment of work
	for _, one := range s.SessionsOf(b.ID) {
		if one.Open {
			return f, false
		}
		if one.Kind != "wait" && one.End.After(worked) {
			worked, f.Date = one.End, one.Date
		}
	}
	if last := s.lastStageDone(b); last != nil && worked.After(b.Resumed) && len(f.Date) == len(time.DateOnly) {
		f.Stage = last.ID
		return f, true
	}
	p := s.shownOf(b.ID).Finished
	if p == nil {
		return f, false
	}
	// Work that ended in the hour after the picture was perhaps the tidying up.
	if at := p.Instant.At; !p.Instant.Doubts.Any() && at.After(b.Resumed) && worked.Before(at.Add(time.Hour)) {
		f.Photo, f.Name, f.Date = p.Hash, p.Name, max(f.Date, at.Format(time.DateOnly))
		return f, true
	}
	return f, false
}

// lastStageDone is the last stage of the order of work, if it has a count and
// all of it is done; else nil.
func (s *State) lastStageDone(b *Build) *Stage {
	var last *Stage
	for i := range b.Stages {
		if kind := b.Stages[i].Kind; kind != "wait" && kind != repairKind {
			last = &b.Stages[i]
		}
	}
	if last == nil {
		return nil
	}
	there, known := b.CountOf(last)
	done := 0
	for _, one := range s.SessionsOf(b.ID) {
		if one.Stage == last.ID && !one.Doubt.Any() {
			done += one.Done()
		}
	}
	if !known || there == 0 || done != there { // more than there is: a count is wrong
		return nil
	}
	return last
}

// String is the remark.
func (f Finishable) String() string {
	if f.Photo != "" {
		return fmt.Sprintf("%s seems to be finished: %s shows it so", f.Build, f.Name)
	}
	return fmt.Sprintf("%s seems to be finished: nothing is left of its last stage, %s", f.Build, f.Stage)
}

// Mend is what to type.
func (f Finishable) Mend() string {
	return Typed("rakelight finish %s %s", f.Build, f.Date) + " says so"
}

// Remains is what is left of a build, by stage, and which stage comes next.
type Remains struct {
	Stages []StageLeft // with something left that can be counted, in the order of work
	Next   string      // id of the stage to go on with, "" = nothing says
}

// StageLeft is how many are left of a stage.
type StageLeft struct {
	Stage string
	Unit  string // "part", "join", …
	Left  int
}

// Remains tells what is left of a build. Next is the stage worked on last, while
// it has something left, else the first that has.
func (s *State) Remains(b *Build) Remains {
	var r Remains
	for i := range b.Stages {
		st := &b.Stages[i]
		unit, countable := metrics.CountedKind(st.Kind)
		there, known := b.CountOf(st)
		if !countable || !known {
			continue
		}
		for _, one := range s.SessionsOf(b.ID) {
			if one.Stage == st.ID && !one.Doubt.Any() {
				there -= one.Done()
			}
		}
		if there > 0 {
			r.Stages = append(r.Stages, StageLeft{st.ID, unit, there})
		}
	}
	if len(r.Stages) > 0 {
		r.Next = r.Stages[0].Stage
	}
	if all := s.SessionsOf(b.ID); len(all) > 0 {
		for _, st := range r.Stages {
			if st.Stage == all[len(all)-1].Stage {
				r.Next = st.Stage
			}
		}
	}
	return r
}
