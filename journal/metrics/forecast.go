// Forecast: how many hours and weeks are left, by resampling one's own.

package metrics

import (
	"slices"

	"gonum.org/v1/gonum/stat"

	"rakelight/journal/say"
)

const (
	// The fewest weeks that a day rests on: below it nothing tells a habit.
	enoughWeeks = 5
	// A forecast looks at this many sessions of a kind of work, the latest: older
	// ones are of a slower hand.
	latestSessions = 40
	forecastDraws  = 2000
	// Below this many sessions a forecast is told as resting on few.
	enoughToThin = 5
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
	WhyNot  Why       // why there are no weeks, when !WeeksOK: too few, or they would reach beyond a hundred years
	Kits    []KitLeft // in order of work, when there is more than one

	N       int     // sessions it rests on
	NWeeks  int     // weeks it rests on
	PerWeek float64 // bench hours a week over them, on average
	// Remembered are the remembered ones among the sessions, which enter only where a
	// person asks for them.
	Remembered int
	Pooled     []Cell // cells judged by their stage kind, because the cell itself has too few sessions
	Thin       []Cell // cells judged by one to four sessions
	LeftOut    []Task // work that nothing is known of: its hours come on top
	OK         bool
	Why        Why
	Sessions   []string

	drawn []float64 // weeks, sorted; nil when !WeeksOK
}

// Predict forecasts the tasks from the sessions of history and the bench hours
// of weeks: all weeks since the habit began in which no pause held, those without
// an hour too, the oldest first.
//
// The hours of a task are drawn from the latest forty sessions of its cell, else of
// its stage kind. A draw has two halves: what the pace may really be (evenings
// drawn anew, one fewer than there are), and how the evenings to come may go
// (evenings drawn until the parts are done). Both are drawn in blocks, and stretch the
// log of the hours to what evenings vary that follow each other, by the heavier
// tail of Student's t where they are few (pool.drawEach). One evening is enough for a
// wide forecast; of what nothing is known, nothing is said. The weeks are drawn
// likewise, from hours to weeks as from parts to hours, and gaps are put in
// between. It is a prediction of what will happen, not an interval of a mean, and so it
// stays wide however long the history.
//
// Where the learning curve can be fitted, each draw takes a slope from it, with
// its uncertainty, and reckons the parts of every evening at what they would have
// cost now; the parts to come cost less as the curve says, up to twice the parts
// done. How it goes on from there is not known, so each draw lets it go on by a
// share of its slope drawn evenly between none and all: that widens the spread
// to both sides and claims neither.
//
// Cells in which nothing was done yet, even by kind, are in LeftOut. The same seed
// gives the same forecast.
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
	known := p.settle()
	for _, task := range tasks {
		if !(task.Parts > 0) {
			continue
		}
		from, byKind := known.from(task.Cell)
		if from == nil {
			f.LeftOut = append(f.LeftOut, task)
			continue
		}
		switch few := len(from.works) < enoughToThin; {
		case byKind && !slices.Contains(f.Pooled, task.Cell):
			f.Pooled = append(f.Pooled, task.Cell)
		case !byKind && few && !slices.Contains(f.Thin, task.Cell):
			f.Thin = append(f.Thin, task.Cell)
		}
		if draws > replayDraws { // a replay names no sessions
			for _, w := range from.works {
				if id := w.Build + "\x00" + w.Session; !sessions[id] {
					sessions[id] = true
					if w.Known == Remembered {
						f.Remembered++
					}
				}
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
		f.Why = Because("nothing is known of the work that is left")
	default:
		f.Why = Because("nothing that is counted is left")
	}
	f.NWeeks = len(weeks)
	if len(weeks) > 0 {
		f.PerWeek = stat.Mean(weeks, nil)
	}
	habit := poolOfWeeks(weeks)
	switch {
	case !f.OK:
		f.WhyNot = f.Why
	case habit == nil:
		f.WhyNot = tooFew(Because("%s at the bench, %d needed", say.Count{N: len(weeks), Noun: "week"}, enoughWeeks))
	default:
		f.drawn = habit.drawEach(rng, hours)
		f.Weeks = spreadOf(f.drawn)
		if f.WeeksOK = f.Weeks.High80 <= mostWeeks; !f.WeeksOK {
			f.drawn = nil
			f.Weeks, f.WhyNot = Spread{}, Because("by the hours of %s it may take more than a hundred years",
				say.Count{N: len(weeks), Noun: "dative¦week"})
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

// Chance is the share of the draws in which all is done within so many weeks.
// ok is false where no day can be named.
func (f Forecast) Chance(weeks float64) (p float64, ok bool) {
	if !f.WeeksOK {
		return 0, false
	}
	at, found := slices.BinarySearch(f.drawn, weeks)
	for found && at < len(f.drawn) && f.drawn[at] == weeks {
		at++
	}
	return float64(at) / float64(len(f.drawn)), true
}

// Over is the spread of a forecast shared out over so many weeks: hours a week.
func (s Spread) Over(weeks float64) Spread {
	return Spread{s.Low80 / weeks, s.Low50 / weeks, s.Middle / weeks, s.High50 / weeks, s.High80 / weeks}
}

// Between says a range in words, and one number where both ends read alike.
func Between[T ~string](low, high T) say.Text {
	if low == high {
		return say.Of("range¦about %s", low)
	}
	return say.Of("range¦between %s and %s", low, high)
}
