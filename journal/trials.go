// This file sorts sessions and marks into those with a tool on trial and those
// without it.

package journal

import (
	"slices"
	"time"

	"rakelight/journal/metrics"
)

// uses reports whether the session used the tool on trial: it names the tool, or
// the trial's card was shown in it while the trial ran. A trial may be begun after
// the first session of its day, in the journal's zone.
func (t *Trial) uses(s *Session, zone *time.Location) bool {
	running := !s.Start.Before(dayOf(t.At.In(zone))) && !t.over(s.Start)
	return s.Used(t.Tool) || t.Card > 0 && running && slices.Contains(s.Trials, t.Card)
}

// over reports whether the trial was closed by then.
func (t *Trial) over(at time.Time) bool { return !t.Closed.IsZero() && at.After(t.Closed) }

// dayOf is the first moment of the day.
func dayOf(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, t.Location())
}

// Try returns pace and marks with the tool on trial and without it, in the
// stage kinds it was used on, over all builds. Once the trial is closed no later
// session counts, nor what later ones say of the person's scatter; what is corrected
// or taken back of the sessions it had does.
func (s *State) Try(t *Trial) metrics.Tried {
	if tried, ok := s.Claims().tried[t.ID]; ok {
		return tried
	}
	return s.try(t)
}

// try is Try before anything is claimed.
func (s *State) try(t *Trial) metrics.Tried {
	uses := map[string]bool{} // session → it used the tool
	for _, one := range s.Sessions {
		if !t.over(one.Start) {
			uses[one.ID] = t.uses(one, s.zone())
		}
	}
	works := keep(s.Work(""), func(w metrics.Work) bool {
		_, in := uses[w.Session]
		return in
	})
	scatter := scatterOf(works)
	var with, without []metrics.Work
	for _, w := range works {
		w.Scatter = scatter
		if uses[w.Session] {
			with = append(with, w)
		} else {
			without = append(without, w)
		}
	}
	out := metrics.TryTool(t.Tool, with, without)
	s.markTried(t, &out, uses)
	return out
}

// scatterOf is what measured sessions say of the person's scatter.
func scatterOf(works []metrics.Work) metrics.Scatter {
	return metrics.ScatterOf(keep(works, func(w metrics.Work) bool { return w.Known == Measured }))
}

// markTried adds the journal owner's first marks of photos of the kinds that the
// tool was used on. A photo shows the latest session of its build and stage
// that began before it; a photo without one says nothing.
func (s *State) markTried(t *Trial, out *metrics.Tried, uses map[string]bool) {
	photos := s.PhotosByHash()
	scores := make([][2][]float64, len(Criteria)) // with, without
	for _, m := range s.FirstMarks("") {
		p, c := photos[m.Photo], Criteria[m.Criterion-1]
		if p == nil || t.over(m.At) ||
			!slices.Contains(c.Kinds, p.Kind) || !slices.ContainsFunc(out.Kinds,
			func(k metrics.TriedKind) bool { return k.Kind == p.Kind }) {
			continue
		}
		shown := s.sessionShown(p)
		if m.NA || shown == nil {
			continue
		}
		side := 1
		if uses[shown.ID] || t.Card > 0 && p.Trial == t.Card && !p.Instant.At.Before(dayOf(t.At.In(s.zone()))) {
			side = 0
		}
		scores[m.Criterion-1][side] = append(scores[m.Criterion-1][side], float64(m.Score))
	}
	for i, sides := range scores {
		if len(sides[0])+len(sides[1]) > 0 {
			out.Marks = append(out.Marks, metrics.MarkTried(i+1, Criteria[i].Name, sides[0], sides[1]))
		}
	}
}

// sessionShown is the latest session of the photo's build and stage begun when
// it was taken, or nil; nil where only the day of the photo is known, or less.
func (s *State) sessionShown(p *Photo) *Session {
	if !p.Instant.Hour() {
		return nil
	}
	for i := len(s.Sessions) - 1; i >= 0; i-- {
		one := s.Sessions[i]
		if one.Build == p.Tags.Build && one.Stage == p.Tags.Stage && !one.Start.After(p.Instant.At) {
			return one
		}
	}
	return nil
}
