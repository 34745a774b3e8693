// Forecast: how many hours and weeks are left, by resampling one's own.

package metrics

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/stat"
)

const (
	// The fewest sessions of a kind of work, and the fewest weeks, that a
	// forecast rests on. Below it the spread is wider than any use of it.
	enoughToForecast = 5
	// A forecast looks at this many sessions of a kind of work, the latest: older
	// ones are of a slower hand.
	latestSessions = 30
	forecastDraws  = 2000
	// A day further off than a hundred years says nothing.
	mostWeeks = 5200
	// A replay only asks whether the truth lies within; the limits may be coarser.
	replayDraws = 100
)

// Task is work that is left. Tasks stand in their order of work, which is by
// kit where kits are worked one after another.
type Task struct {
	Cell
	Kit   int
	Parts float64
}

// Spread is a prediction: one half of the outcomes should lie between the
// limits of 50, four in five between those of 80.
type Spread struct {
	Low80, Low50, Middle, High50, High80 float64
}

// KitLeft is when a kit is done: hours and weeks from now, the kits before it included.
type KitLeft struct {
	Kit          int
	Hours, Weeks Spread
}

// Forecast is what is left of a build.
type Forecast struct {
	Hours   Spread // bench hours
	Weeks   Spread // weeks from now, pauses aside; all 0 when !WeeksOK
	WeeksOK bool
	WhyNot  string    // why there are no weeks, when !WeeksOK: too few, or they would reach beyond a hundred years
	Kits    []KitLeft // in order of work, when there is more than one

	N      int // sessions it rests on
	NWeeks int // weeks it rests on
	// Remembered says that the sessions are remembered ones: the caller sets it, and
	// the number is flagged.
	Remembered bool
	Pooled     []Cell // cells judged by their stage kind, because the cell itself has too few sessions
	LeftOut    []Task // work that nothing is known of: its hours come on top
	OK         bool
	Why        string
	Sessions   []string
}

// Predict forecasts the tasks from the sessions of history and the bench hours
// of weeks: all weeks since the habit began in which no pause held, those without
// an hour too.
//
// The hours of a task are drawn from the latest thirty sessions of its cell, else of
// its stage kind. A draw has two halves: what the pace may really be (sessions
// drawn anew, one fewer than there are), and how the sessions to come may go
// (sessions drawn until the parts are done). Both stretch the log of the hours,
// by the heavier tail of Student's t where the sessions are few. The weeks are
// drawn likewise, from hours to weeks as from parts to hours. It is a
// prediction of what will happen, not an interval of a mean, and so it stays
// wide however long the history.
//
// Where the learning curve can be fitted, each draw takes a slope from it, with
// its uncertainty, and reckons the parts of every session at what they would have
// cost now; the parts to come cost less as the curve says, up to twice the parts
// done. How it goes on from there is not known, so each draw lets it go on by a
// share of its slope drawn evenly between none and all: that widens the spread
// to both sides and claims neither. Without the curve the hours of a learner are forecast
// too high three times in four.
//
// Work without a count, and cells of which fewer than five sessions are known
// even by kind, are in LeftOut. The same seed gives the same forecast.
func Predict(tasks []Task, history []Work, weeks []float64, seed uint64) Forecast {
	return newPools(history).predict(tasks, weeks, seed, forecastDraws)
}

func (p pools) predict(tasks []Task, weeks []float64, seed uint64, draws int) Forecast {
	var f Forecast
	rng := newDice(seed)
	hours := make([]float64, draws)
	sessions := map[string]bool{}
	var kits []KitLeft
	var atKit [][]float64
	for _, task := range tasks {
		if !(task.Parts > 0) {
			continue
		}
		from, byKind := p.of(task.Cell)
		if from == nil {
			f.LeftOut = append(f.LeftOut, task)
			continue
		}
		if byKind && !slices.Contains(f.Pooled, task.Cell) {
			f.Pooled = append(f.Pooled, task.Cell)
		}
		if draws > replayDraws { // a replay names no sessions
			for _, w := range from.works {
				sessions[w.Build+"\x00"+w.Session] = true
				f.Sessions = append(f.Sessions, w.Session)
			}
		}
		for i, h := range from.draw(rng, task.Parts, draws) {
			hours[i] += h
		}
		if len(kits) == 0 || kits[len(kits)-1].Kit != task.Kit {
			kits, atKit = append(kits, KitLeft{Kit: task.Kit}), append(atKit, make([]float64, draws))
		}
		copy(atKit[len(kits)-1], hours)
	}
	slices.Sort(f.Sessions)
	f.Sessions = slices.Compact(f.Sessions)
	f.N = len(sessions)
	switch {
	case len(kits) > 0:
		f.OK = true
		f.Hours = spreadOf(slices.Clone(hours))
	case len(f.LeftOut) > 0:
		f.Why = fmt.Sprintf("too few to tell: fewer than %d sessions of the work that is left", enoughToForecast)
	default:
		f.Why = "nothing that is counted is left"
	}
	f.NWeeks = len(weeks)
	habit := poolOfWeeks(weeks)
	switch {
	case !f.OK:
		f.WhyNot = f.Why
	case habit == nil:
		f.WhyNot = fmt.Sprintf("too few to tell: %s at the bench, %d needed", Count(len(weeks), "week"),
			enoughToForecast)
	default:
		f.Weeks = spreadOf(habit.drawEach(rng, hours))
		if f.WeeksOK = f.Weeks.High80 <= mostWeeks; !f.WeeksOK {
			f.Weeks, f.WhyNot = Spread{}, fmt.Sprintf("by the hours of %s it may take more than a hundred years",
				Count(len(weeks), "week"))
		}
	}
	if len(kits) > 1 {
		// The last kit ends with the whole: the same draws, or one thing has two answers.
		last := len(kits) - 1
		kits[last].Hours, kits[last].Weeks = f.Hours, f.Weeks
		for i := range last {
			kits[i].Hours = spreadOf(slices.Clone(atKit[i]))
			if f.WeeksOK {
				kits[i].Weeks = spreadOf(habit.drawEach(rng, atKit[i]))
			}
		}
		f.Kits = kits
	}
	return f
}

// spreadOf sorts the draws and reads their quantiles.
func spreadOf(draws []float64) Spread {
	slices.Sort(draws)
	q := func(p float64) float64 { return stat.Quantile(p, stat.LinInterp, draws, nil) }
	return Spread{q(0.1), q(0.25), q(0.5), q(0.75), q(0.9)}
}

// Sentence says the forecast in words.
func (f Forecast) Sentence(label string) string {
	if !f.OK {
		return fmt.Sprintf("%s: no forecast (%s).", label, f.Why)
	}
	known := ""
	if f.Remembered {
		known = ", all remembered"
	}
	s := fmt.Sprintf("%s: about %s hours left; four times in five between %s and %s (%s%s)", label,
		Figure(f.Hours.Middle),
		Figure(f.Hours.Low80), Figure(f.Hours.High80), Count(f.N, "session"), known)
	if n := len(f.LeftOut); n > 0 {
		s += fmt.Sprintf(", and on top of that %s of work that no session tells of", Count(n, "kind"))
	}
	return s + "."
}
