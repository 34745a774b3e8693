// Package metrics turns what happened at the bench into numbers: pace, like
// for like, hours. Everything here is a pure function of values: no files, no
// clock, no journal types, and randomness, where there is any, only from a seed that is handed in,
// so the same journal prints the same numbers twice.
//
// Start with Work, which is one session as the numbers see it, then PaceOf
// (parts per hour) and LikeForLike (is this build quicker, the kinds of parts
// being equal?). Too little data is a result, not an error: it comes back as a
// value with OK false and a reason in Why that can be shown as it stands.
//
// How one session is reckoned: parts opened again are no longer done; a repair's
// hours are charged to the kind of work that caused it (ReworkOf) and stand beside
// the pace without them; kinds without a sensible count (CountedKind) have hours and
// no pace; measured, estimated and remembered time are never mixed unasked.
//
// The package sets no targets and issues no standard times. A person's history
// is compared with that person's history and with nothing else.
package metrics

import (
	"cmp"
	"math"
	"slices"
	"time"
)

// How the time of a session was known.
const (
	Measured   = "measured"   // a timer or a bench card
	Estimated  = "estimated"  // from photos: a lower bound of the time spent
	Remembered = "remembered" // typed afterwards
)

// Work is one session's contribution as metrics see it. A session that worked
// on parts of two classes is two Works with the same Session.
type Work struct {
	Session   string       // id; Works with equal Build and Session are one session; "" stands for itself
	Build     string       // build id
	Kit       int          // 1-based, 0 = the only kit, or not said
	Kind      string       // stage kind, such as "clean"
	Class     string       // part class, such as "flat"; "" = not said
	Finish    string       // "painted" or "bare"; "" = not said
	Week      string       // ISO week, "2026-W07"
	Evening   string       // day of the evening, "2026-02-11": sessions of one evening share its mood; "" = the session stands for itself
	Start     time.Time    // when it began; zero = not known, and then its place in the order of work is not known either
	Hours     float64      // net bench hours, breaks taken off
	Parts     float64      // parts done, reopened ones already subtracted; so it may be negative
	Mix       []ClassParts // of a session on parts of several classes, whose hours nobody split: its parts by class; Class is "" then
	Unclassed bool         // it did parts of a class that nothing tells, in a build that tells classes of others
	Counted   bool         // the kind has a sensible count and a count was given, even if 0
	Known     string       // Measured, Estimated or Remembered

	Reopened float64  // parts that were done in it and opened again: how many Parts lacks
	Tools    []string // keys of the tools used, sorted; none = not said
	Scatter  Scatter  // of the person, by which one or two sessions are judged; zero = the usual one
	Causer   string   // of a repair: stage kind whose work it mends, so that its hours are charged there; "" = not known
}

// ClassParts is how many parts of a class a session did.
type ClassParts struct {
	Class string
	Parts float64
}

// Interval is a range a number may lie in, in the unit of that number.
type Interval struct {
	Low, High float64 // 0 and 0 when !OK
	OK        bool
	Why       Why // why there is none, when !OK; else "" or a caution such as "few sessions"
}

// contains says whether x lies in the interval, its ends included.
func (iv Interval) contains(x float64) bool { return iv.Low <= x && x <= iv.High }

// timed says whether the hours of a Work can stand in a rate.
func (w *Work) timed() bool { return w.Hours > 0 && !math.IsInf(w.Hours, 0) }

// empty says that a Work holds neither time nor parts.
func (w *Work) empty() bool { return w.Hours == 0 && w.Parts == 0 }

// ordered points to the Works of ws in an order that does not depend on the order
// they came in. Floating-point sums depend on their order, and a bootstrap on the
// place of each session, so every number begins here. A Work is large and a journal has
// many: they stay where they are, and what points to them never changes them.
func ordered(ws []Work) []*Work { return inOrder(pointers(ws)) }

func pointers(ws []Work) []*Work {
	out := make([]*Work, len(ws))
	for i := range ws {
		out[i] = &ws[i]
	}
	return out
}

// inOrder sorts ws in place.
func inOrder(ws []*Work) []*Work {
	slices.SortFunc(ws, compareWorks)
	return ws
}

// compareWorks looks at the session first, which nearly always decides.
func compareWorks(a, b *Work) int {
	if c := cmp.Compare(a.Session, b.Session); c != 0 {
		return c
	}
	if c := cmp.Compare(a.Build, b.Build); c != 0 {
		return c
	}
	return cmp.Or(
		cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Class, b.Class),
		cmp.Compare(a.Finish, b.Finish), cmp.Compare(a.Hours, b.Hours),
		cmp.Compare(a.Parts, b.Parts), cmp.Compare(a.Known, b.Known),
		cmp.Compare(a.Kit, b.Kit), cmp.Compare(a.Week, b.Week),
		a.Start.Compare(b.Start), cmp.Compare(a.Causer, b.Causer),
		cmp.Compare(a.Reopened, b.Reopened), slices.Compare(a.Tools, b.Tools),
	)
}

// bySession adds up Works of the same session, because the session is the unit
// of scatter: two lines written for one evening are not two evenings. The
// input must be ordered; so is the output.
func bySession(ws []*Work) []*Work {
	out := make([]*Work, 0, len(ws))
	sum := false // the last of out is a sum already
	for _, w := range ws {
		// In their order the Works of one session stand in a row.
		if n := len(out) - 1; n >= 0 && w.Session != "" && out[n].Session == w.Session && out[n].Build == w.Build {
			if !sum {
				one := *out[n]
				out[n], sum = &one, true
			}
			out[n].Hours += w.Hours
			out[n].Parts += w.Parts
			out[n].Reopened += w.Reopened
			continue
		}
		out, sum = append(out, w), false
	}
	return out
}

// sessionIDs lists the distinct non-empty session ids of ws, sorted.
func sessionIDs(ws []*Work) []string {
	ids := make([]string, 0, len(ws))
	for _, w := range ws {
		if w.Session != "" {
			ids = append(ids, w.Session)
		}
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}
