// This file asks how much the evenings of each kind of work, and the pairs on each
// criterion, can show.

package journal

import "rakelight/journal/metrics"

// KindSight is how well the evenings of a kind of work show a change of pace.
type KindSight struct {
	Kind string
	metrics.Sight
	Sessions []string // ids of those it rests on, of both sides
}

// Sights returns, in the order of work, how small a change each stage kind of a
// build could have shown against the earlier builds together. Kinds that stand
// beside nothing are left out.
func (s *State) Sights(b *Build, earlier []*Build) []KindSight {
	before, now := byKind(s.workOf(earlier)), byKind(s.Work(b.ID))
	var known map[string]metrics.Comparison
	if len(earlier) == len(s.Earlier(b)) {
		known = s.SpeedsOfKinds(b)
	}
	var out []KindSight
	for _, kind := range Kinds {
		if len(before[kind]) == 0 || len(now[kind]) == 0 {
			continue
		}
		c, ok := known[kind]
		if !ok {
			c = metrics.Compare(before[kind], now[kind], metrics.Options{Short: true})
		}
		if sight := metrics.SightOf(c, before[kind], now[kind]); sight.OK {
			out = append(out, KindSight{kind, sight, append(append([]string{}, c.EarlierSessions...),
				c.LaterSessions...)})
		}
	}
	return out
}

func byKind(ws []metrics.Work) map[string][]metrics.Work {
	out := map[string][]metrics.Work{}
	for _, w := range ws {
		out[w.Kind] = append(out[w.Kind], w)
	}
	return out
}

// CriterionSight is how well the pairs on a criterion show that a build is picked more
// often than an average one.
type CriterionSight struct {
	Criterion int // 0 = all together
	Name      string
	metrics.ChanceSight
}

// Sights returns what the pairs of the build could have shown, over all criteria and on
// each that has pairs enough for a chance.
func (q Quality) Sights() []CriterionSight {
	var out []CriterionSight
	for c, r := range q.Rankings {
		name := "all criteria together"
		if c > 0 {
			name = string(Criteria[c-1].Name)
		}
		if sight := r.Standing(q.Build.ID).Sight(); sight.OK {
			out = append(out, CriterionSight{c, name, sight})
		}
	}
	return out
}
