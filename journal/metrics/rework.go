// Rework: what mending costs, charged to the kind of work that caused it.

package metrics

import (
	"fmt"
	"maps"
	"slices"

	"rakelight/journal/say"
)

// Charge splits a repair by the stage kinds that caused it: the share of each,
// above 0, together 1 or less. What is left over stays a repair nobody caused.
// All pieces are of the one session, and their hours add up to its hours; its
// parts go with the first piece. Without shares the Work comes back as it is.
func (w Work) Charge(shares map[string]float64) []Work {
	var out []Work
	left := w
	for _, kind := range slices.Sorted(maps.Keys(shares)) {
		piece := w
		piece.Causer, piece.Hours = kind, w.Hours*shares[kind]
		left.Hours -= piece.Hours
		if len(out) > 0 {
			piece.Parts, piece.Reopened = 0, 0
		}
		out = append(out, piece)
	}
	// Thirds do not add up to one to the last bit; a microsecond is no work.
	if len(out) == 0 || left.Hours > 1e-9 {
		if len(out) > 0 {
			left.Parts, left.Reopened = 0, 0
		}
		out = append(out, left)
	}
	return out
}

// Reworked is the pace of a kind of work with the mending it caused.
type Reworked struct {
	Own     Pace    // without: the sessions of the kind alone
	Charged Pace    // with the hours of mending; its N counts the repairs too
	Hours   float64 // of mending
	Repairs int     // sessions of it
}

// ReworkOf returns the pace of a stage kind alone, and with the hours of all
// repairs charged to it:
//
//	charged pace = Σ parts / (Σ hours + Σ hours of mending)
//
// Parts that were opened again are in neither sum of parts (Pace.Reopened tells
// how many): a part done badly, opened and done again is one part, its first
// hours and its mending its price. A repair stands in the charged pace as a
// session of the kind that brought no parts, because that is what it was; it
// raises the scatter, and so the interval says that how much will have to be
// mended is chance too. A repair charged to two kinds stands in each with its
// share of hours. ws may hold any kinds; the caller selects by how the time was
// known. Without repairs both paces are the same.
//
// Minutes lost to a mistake are not added: they lie within the session they
// were lost in.
func ReworkOf(ws []Work, kind string) Reworked {
	var own, charged []*Work
	var r Reworked
	for i := range ws {
		w := &ws[i]
		switch {
		case w.Kind == kind && w.Counted:
			own, charged = append(own, w), append(charged, w)
		case w.Causer == kind && w.timed():
			mended := w.charged()
			charged = append(charged, &mended)
			r.Hours += w.Hours
		}
	}
	r.Own, r.Charged = paceAmong(own), paceAmong(charged)
	r.Repairs = r.Charged.N - r.Own.N
	return r
}

// charged is a repair as a session of the kind of work that caused it, which
// brought no parts.
func (w Work) charged() Work {
	w.Kind, w.Parts, w.Reopened, w.Counted, w.Mix, w.Unclassed = w.Causer, 0, 0, true, nil, false
	return w
}

// Mending is what repairs took and where it was charged.
type Mending struct {
	Hours, Charged float64 // of all repairs, and of that what some stage kind bears
	N, Uncharged   int     // repairs, and those with hours nobody caused
}

// MendingOf adds up the repairs of ws.
func MendingOf(ws []Work) Mending {
	var m Mending
	type key struct{ build, session string }
	seen, loose := map[key]bool{}, map[key]bool{}
	for i, w := range ordered(ws) {
		if w.Kind != "repair" || !w.timed() {
			continue
		}
		k := key{w.Build, w.Session}
		if w.Session == "" {
			k.session = fmt.Sprintf("\x00%d", i)
		}
		seen[k] = true
		m.Hours += w.Hours
		if w.Causer != "" {
			m.Charged += w.Hours
		} else {
			loose[k] = true
		}
	}
	m.N, m.Uncharged = len(seen), len(loose)
	return m
}

// Sentence says the pace with its rework in words; "" when nothing was mended
// and nothing opened again.
func (r Reworked) Sentence(label, unit string) say.Text {
	if r.Repairs == 0 && r.Own.Reopened == 0 {
		return say.Text{}
	}
	var reopened say.Text
	if r.Own.Reopened > 0 {
		reopened = say.Of("%.0f of %s opened again", r.Own.Reopened, Dative(int(r.Own.Parts+r.Own.Reopened), unit))
	}
	if r.Repairs == 0 {
		return say.Of("%s: %s; nothing more is charged to it.", label, reopened)
	}
	hours, rework := Figure(r.Charged.Hours), Figure(r.Hours)
	if reopened.Key != "" {
		return say.Of("%s with its rework: %s; of the %s h, %s h rework, %s.", label, r.pace(unit), hours, rework,
			reopened)
	}
	return say.Of("%s with its rework: %s; of the %s h, %s h rework.", label, r.pace(unit), hours, rework)
}

// pace says the pace with all that was mended.
func (r Reworked) pace(unit string) say.Text {
	c := r.Charged
	sessions, repairs := say.Count{N: c.N, Noun: "session"}, say.Count{N: r.Repairs, Noun: "repair"}
	switch {
	case !c.OK:
		return say.Of("no pace (%s)", c.Why)
	case c.Interval.OK:
		return say.Of("%s %s an hour (%s to %s; %s, %s among them)", Figure(c.PerHour), Many(unit),
			Figure(c.Interval.Low), Figure(c.Interval.High), sessions, repairs)
	}
	return say.Of("%s %s an hour (%s, %s among them; %s)", Figure(c.PerHour), Many(unit), sessions, repairs,
		c.Interval.Why)
}
