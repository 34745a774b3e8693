// The learning rate in words.

package metrics

import (
	"math"

	"rakelight/journal/say"
)

// Sentence says the learning rate in words, as learning only where it is claimed;
// unit is what one done is, "" of several kinds of work together.
func (l Learning) Sentence(label, unit string) say.Text {
	if !l.OK {
		return say.Of("%s: no learning rate (%s).", label, l.Why)
	}
	rests := l.rests(unit)
	if unit == "" {
		unit = "piece"
	}
	each := say.Of("%s done", Many(unit))
	if l.Before > 0 {
		each = say.Of("%s done, counting the %.0f you did before,", Many(unit), l.Before)
	}
	if !l.Claimed {
		return say.Of("%s: with each doubling of the %s the time per %s comes out %s (%s; %s)%s.", label, each, One(unit),
			TimeWords(l.Rate), TimeRange(l.Interval), rests, l.Unclaimed())
	}
	var flat say.Text
	if l.Flat {
		flat = say.Of("; of late the curve is flat")
	}
	does := say.Key("%s: each doubling of the %s cuts the time per %s by %.0f %% (%s; %s)%s.")
	if l.Rate > 1 {
		does = "%s: each doubling of the %s lengthens the time per %s by %.0f %% (%s; %s)%s."
	}
	return say.Of(does, label, each, One(unit), 100*math.Abs(l.Rate-1), TimeRange(l.Interval), rests, flat)
}

// rests says what the rate rests on.
func (l Learning) rests(unit string) (rests say.Wording) {
	rests = say.Count{N: l.N, Noun: "session"}
	if unit != "" {
		rests = say.Of("%s, %s", rests, counted(int(l.Parts), unit))
	}
	if l.Builds > 1 {
		rests = say.Of("%s in %s", rests, say.Count{N: l.Builds, Noun: "dative¦build"})
	}
	return rests
}

// Unclaimed says why a learning rate is only a figure; it says nothing when it is claimed.
func (l Learning) Unclaimed() say.Text {
	switch {
	case l.Claimed:
		return say.Text{}
	case l.Interval.contains(1):
		return byChance
	}
	return amongAll
}

// TimeWords is a change of time: "7 % shorter", "5 % longer", "the same".
func TimeWords(ratio float64) say.Text {
	switch by := math.Round(100 * (ratio - 1)); {
	case by < 0:
		return say.Of("%.0f %% shorter", -by)
	case by > 0:
		return say.Of("%.0f %% longer", by)
	}
	return say.Of("time¦the same")
}

// TimeRange is the range of a change of time: "15 % shorter to 1 % longer",
// "2 to 12 % shorter".
func TimeRange(iv Interval) say.Text {
	low, high := math.Round(100*(iv.Low-1)), math.Round(100*(iv.High-1))
	switch {
	case low < 0 && high < 0:
		return say.Of("%.0f to %.0f %% shorter", -high, -low)
	case low > 0 && high > 0:
		return say.Of("%.0f to %.0f %% longer", low, high)
	}
	return say.Of("times¦%s to %s", TimeWords(iv.Low), TimeWords(iv.High))
}
