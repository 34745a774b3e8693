// This file reckons what is left of a build: parts by stage, and the weeks the
// person builds in.

package journal

import (
	"slices"
	"time"

	"rakelight/journal/metrics"
)

// Left returns what is left of a build, kit by kit and stage by stage in the
// order of work, and the ids of stages whose end cannot be counted: work by area
// or evening has no count, and build.md need not say how many coats or decals
// there are. What a build of several kits states of the whole comes last.
// Stages without an hour to forecast (wait, repair) are in neither.
func (s *State) Left(b *Build) (tasks []metrics.Task, uncounted []string) {
	missing := func(stage string) {
		if !slices.Contains(uncounted, stage) {
			uncounted = append(uncounted, stage)
		}
	}
	ofClasses := func(kit int, st *Stage, byClass map[string]int) {
		s.takeOff(byClass, b, kit, st.ID)
		for _, class := range sortedKeys(byClass) {
			if byClass[class] > 0 {
				tasks = append(tasks, metrics.Task{Kit: kit, Parts: float64(byClass[class]),
					Cell: metrics.Cell{Kind: st.Kind, Class: class, Finish: b.Finish}})
			}
		}
	}
	stated := func(kit int, st *Stage, total int, byClass map[string]int) {
		if byClass != nil {
			ofClasses(kit, st, byClass)
			return
		}
		if left := total - s.doneIn(b.ID, kit, st.ID); left > 0 {
			tasks = append(tasks, metrics.Task{Kit: kit, Parts: float64(left),
				Cell: metrics.Cell{Kind: st.Kind, Finish: b.Finish}})
		}
	}
	kits := b.Kits
	if len(kits) == 0 {
		kits = make([]Kit, 1)
	}
	for k := range kits {
		number := k + 1
		if len(kits) == 1 {
			number = 0
		}
		for i := range b.Stages {
			st := &b.Stages[i]
			unit, countable := metrics.CountedKind(st.Kind)
			byClass, known := kits[k].PartsByClass()
			whole, ofWhole := b.Total(b.Totals, st)
			total, ofKit := b.Total(kits[k].Totals, st)
			switch {
			case st.Kind == "wait" || st.Kind == repairKind:
			case !countable:
				missing(st.ID)
			case unit == "part" && known:
				ofClasses(number, st, byClass)
			case ofKit:
				stated(number, st, total, b.TotalByClass(kits[k].TotalsByClass, st))
			case ofWhole && number == 0:
				stated(0, st, whole, b.TotalByClass(b.TotalsByClass, st))
			case !ofWhole || !b.WholeCounts(st):
				missing(st.ID)
			}
		}
	}
	if len(kits) > 1 {
		for i := range b.Stages {
			if total, ok := b.Total(b.Totals, &b.Stages[i]); ok && b.WholeCounts(&b.Stages[i]) {
				stated(0, &b.Stages[i], total, b.TotalByClass(b.TotalsByClass, &b.Stages[i]))
			}
		}
	}
	return tasks, uncounted
}

// takeOff subtracts what the stage's sessions did. A bare count without a class
// is taken off wherever most is left: it must come off somewhere, and names
// would have said where.
func (s *State) takeOff(total map[string]int, b *Build, kit int, stage string) {
	for _, one := range s.Sessions {
		if one.Build != b.ID || one.Stage != stage || one.Doubt.Any() {
			continue
		}
		bare := one.Done()
		for sign, parts := range map[int][]PartRef{1: one.Parts, -1: one.Again} {
			for _, p := range parts {
				bare -= sign * p.Count
				if p.Kit == kit || kit == 0 {
					total[b.ClassOf(p)] -= sign * p.Count
				}
			}
		}
		if one.Kit != kit && kit > 0 {
			continue // also a bare count that names no kit: it cannot be placed
		}
		class := one.Class
		if _, ok := total[class]; !ok {
			for _, c := range sortedKeys(total) {
				if _, ok := total[class]; !ok || total[c] > total[class] {
					class = c
				}
			}
		}
		total[class] -= bare
	}
}

const (
	weeksBack   = 52 // a year holds the holidays that a year to come will hold
	enoughWeeks = 5  // of one build, before its own weeks are taken
)

// Weeks returns the bench hours of the whole weeks before now, at most a year
// of them, weeks without an hour in which the build was paused left out. Remembered
// hours are in them where they are asked for; else a week that has no others is
// left out, because what happened in it is not known.
// They are those of the build when there are five or more since its first session,
// else those of all builds; a week without an hour then stays out when every build
// that was open in it was paused.
func (s *State) Weeks(build string, now time.Time, remembered bool) []float64 {
	own := s.weeks(func(one *Session) bool { return one.Build == build }, now, remembered,
		func(week time.Time) bool { return s.pausedIn(build, week) })
	if len(own) >= enoughWeeks {
		return own
	}
	return s.weeks(func(*Session) bool { return true }, now, remembered, s.allPausedIn)
}

func (s *State) weeks(in func(*Session) bool, now time.Time, remembered bool,
	paused func(week time.Time) bool) []float64 {
	this := monday(now.In(s.zone()))
	from := weeksOn(this, -weeksBack)
	hours, kept := map[time.Time]float64{}, map[time.Time]bool{}
	var first time.Time
	for _, one := range s.Sessions {
		if one.Series != "" && one.Known != Measured { // a guess is no habit
			continue
		}
		if !in(one) || one.Open || one.Doubt.Any() || one.Kind == "wait" || len(one.Date) != len(time.DateOnly) {
			continue
		}
		day, err := time.ParseInLocation(time.DateOnly, one.Date, s.zone())
		if err != nil {
			continue
		}
		week := monday(day)
		if first.IsZero() || week.Before(first) {
			first = week
		}
		if one.Known == Remembered && !remembered {
			kept[week] = true
			continue
		}
		hours[week] += one.Hours()
	}
	if first.IsZero() {
		return nil
	}
	if first.After(from) {
		from = first
	}
	var out []float64
	for week := from; week.Before(this); week = weeksOn(week, 1) {
		if hours[week] == 0 && (kept[week] || paused(week)) {
			continue
		}
		out = append(out, hours[week])
	}
	return out
}

// pausedIn reports whether a pause of the build touches the week.
func (s *State) pausedIn(build string, week time.Time) bool {
	end := week.AddDate(0, 0, 7)
	return slices.ContainsFunc(s.Pauses, func(p Pause) bool {
		return p.Build == build && p.From.Before(end) && (p.Until.IsZero() || p.Until.After(week))
	})
}

// allPausedIn reports whether builds were open in the week, and each of them
// was paused: the bench rested on purpose.
func (s *State) allPausedIn(week time.Time) bool {
	from, to := week.Format(time.DateOnly), week.AddDate(0, 0, 6).Format(time.DateOnly)
	open := 0
	for _, b := range s.Builds {
		if first := s.FirstDay(b); first == "" || first > to || b.Finished != "" && b.Finished < from {
			continue
		}
		if !s.pausedIn(b.ID, week) {
			return false
		}
		open++
	}
	return open > 0
}

// weeksOn is the first moment of the week n weeks on. It steps to Tuesday and
// back: where the clocks skip the first hour of a Monday, that week begins on
// Sunday by the calendar, and seven days on would be the week before the next.
func weeksOn(week time.Time, n int) time.Time { return monday(week.AddDate(0, 0, 7*n+1)) }

// monday is the first moment of the week.
func monday(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d-(int(t.Weekday())+6)%7, 0, 0, 0, 0, t.Location())
}

// doneIn is how many are done in a stage, of one kit (0 = of the whole build).
func (s *State) doneIn(build string, kit int, stage string) int {
	done := 0
	for _, one := range s.Sessions {
		if one.Build == build && one.Stage == stage && !one.Doubt.Any() && (kit == 0 || one.Kit == kit) {
			done += one.Done()
		}
	}
	return done
}

// OpenStages are the ids of the stages of a build on which there is work to do:
// those worked on last first, then those that follow them in the order of work.
// Waiting is no work; a stage of which all is counted as done is none.
func (s *State) OpenStages(b *Build) []string {
	tasks, uncounted := s.Left(b)
	var open []string
	for _, st := range b.Stages {
		left := slices.Contains(uncounted, st.ID) ||
			slices.ContainsFunc(tasks, func(t metrics.Task) bool { return t.Kind == st.Kind })
		if left && st.Kind != repairKind {
			open = append(open, st.ID)
		}
	}
	worked := s.lastWorked(func(one *Session) (string, bool) { return one.Stage, one.Build == b.ID })
	return inHand(open, worked)
}

// OpenKinds are the kinds of work over all builds, those done last first, then
// those that follow in the usual order.
func (s *State) OpenKinds() []string {
	open := keep(Kinds, func(kind string) bool { return kind != "wait" && kind != repairKind })
	return inHand(open, s.lastWorked(func(one *Session) (string, bool) { return one.Kind, true }))
}

// lastWorked are names of sessions, the latest first, each once.
func (s *State) lastWorked(name func(*Session) (string, bool)) []string {
	var out []string
	for _, one := range slices.Backward(s.Sessions) {
		if n, ok := name(one); ok && !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}

// inHand are steps in the order in which they are likely needed next: the one
// worked on last, those that follow it, and those before it.
func inHand(open, worked []string) []string {
	worked = keep(worked, func(id string) bool { return slices.Contains(open, id) })
	if len(worked) == 0 {
		return open
	}
	at := slices.Index(open, worked[0])
	out := []string{worked[0]}
	if len(worked) > 1 {
		out = append(out, worked[1])
	}
	for _, id := range slices.Concat(open[at:], open[:at]) {
		if !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	return out
}
