// This file forecasts an open build, holds it against the day it must be ready
// by, and replays forecasts on finished builds, for commands and pages alike.

package journal

import (
	"time"

	"rakelight/journal/metrics"
)

// Outlook is what is left of an open build.
type Outlook struct {
	metrics.Forecast
	Build     *Build
	Tasks     []metrics.Task // what is left, in the order of work
	Uncounted []string       // ids of stages whose end cannot be counted: their hours come on top
	From      time.Time      // the instant the weeks are counted from
	Paused    bool           // the build is put aside: the weeks begin when it is taken up
	Kept      int            // remembered sessions of the work left that were not asked for
	Ready     *Ready         // nil when build.md names no day it must be ready by
}

// Ready is how a build stands to the day it must be ready by.
type Ready struct {
	Day    time.Time // the day, at its beginning
	Weeks  float64   // to the end of that day; not above 0 when it has passed
	Chance float64   // that the counted work is done by then; 0 when !OK
	// PerWeek are the hours a week that the counted work takes until then; hours in
	// all when that is less than a week. 0 when !HoursOK.
	PerWeek metrics.Spread
	OK      bool        // the chance can be told
	HoursOK bool        // the hours can
	WhyNot  metrics.Why // why there is no chance
}

const week7 = 7 * 24 * time.Hour

// Outlook forecasts a build at an instant, from measured time. Remembered time
// stands beside it where a person asks for it, and only then.
func (s *State) Outlook(b *Build, now time.Time, remembered bool) Outlook {
	o := Outlook{Build: b, From: now, Paused: s.Paused(b.ID) != nil}
	o.Tasks, o.Uncounted = s.Left(b)
	// An estimated hour is a lower bound that would promise too much.
	work := keep(s.Work(""), func(w metrics.Work) bool {
		switch w.Known {
		case metrics.Measured:
			return true
		case metrics.Remembered:
			if !remembered && w.Counted && leftOf(o.Tasks, w.Kind) {
				o.Kept++
			}
			return remembered
		}
		return false
	})
	o.Forecast = metrics.Predict(o.Tasks, work, s.Weeks(b.ID, now, remembered), Seed)
	o.Ready = s.ready(o)
	return o
}

func leftOf(tasks []metrics.Task, kind string) bool {
	for _, t := range tasks {
		if t.Kind == kind {
			return true
		}
	}
	return false
}

// ready holds an outlook against the day its build must be ready by.
func (s *State) ready(o Outlook) *Ready {
	day, err := time.ParseInLocation(time.DateOnly, o.Build.ReadyBy, s.zone())
	if err != nil {
		return nil // no day; one that is none is a problem of build.md
	}
	r := &Ready{Day: day, Weeks: day.AddDate(0, 0, 1).Sub(o.From).Hours() / week7.Hours()}
	switch {
	case r.Weeks <= 0:
		r.WhyNot = metrics.Because("the day has passed")
		return r
	case !o.OK:
		r.WhyNot = o.Why
		return r
	}
	r.HoursOK, r.PerWeek = true, o.Hours.Over(max(r.Weeks, 1))
	switch {
	case o.Paused:
		r.WhyNot = metrics.Because("the build is put aside, and nothing says until when")
	case !o.WeeksOK:
		r.WhyNot = o.Forecast.WhyNot
	default:
		r.Chance, r.OK = o.Chance(r.Weeks)
	}
	return r
}

// Day is the day so many weeks after the instant of the outlook.
func (o Outlook) Day(weeks float64) time.Time {
	return o.From.Add(time.Duration(weeks * float64(week7)))
}

// Replays tells how forecasts would have done on the measured time of the finished
// builds, from the sessions of all builds before. They are reckoned when first asked
// for.
func (s *State) Replays() []metrics.Replay {
	kept := s.numbers()
	kept.replay.Do(func() { kept.replays = s.replay() })
	return kept.replays
}

func (s *State) replay() []metrics.Replay {
	var finished []string
	for _, b := range s.Builds {
		if b.Finished != "" {
			finished = append(finished, b.ID)
		}
	}
	return metrics.Calibrate(metrics.KnownAs(s.Work(""), metrics.Measured), finished, Seed)
}
