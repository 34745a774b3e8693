// This file says how the hands took it: what came of work of each kind.

package journal

import (
	"slices"
	"time"
)

// HandsRow is what the hands showed at work of one kind, beside its hours. It says
// nothing of causes: who notes a blister more often has not got more of them.
type HandsRow struct {
	Kind     string         // of the stage; "" = at no session
	Hours    float64        // at the bench, of all sessions that count
	Sessions int            // that these hours are of
	Times    map[string]int // by one of HandsWhats, "" = something else
	Entries  []Hands
}

// HandsByKind are the rows of all kinds of which anything was noted, in the usual order
// of stages. What comes of no session stands last.
func (s *State) HandsByKind() []HandsRow {
	rows := map[string]*HandsRow{}
	for _, h := range s.Hands {
		if !h.Counts() {
			continue
		}
		kind := ""
		if one := s.Session(h.Session); one != nil {
			kind = one.Kind
		}
		if rows[kind] == nil {
			rows[kind] = &HandsRow{Kind: kind, Times: map[string]int{}}
		}
		rows[kind].Times[h.Is]++
		rows[kind].Entries = append(rows[kind].Entries, h)
	}
	if len(rows) == 0 {
		return nil
	}
	var net = map[string]time.Duration{}
	for _, one := range s.Sessions {
		if r := rows[one.Kind]; r != nil && one.Kind != "" && !one.Open && !one.Doubt.Any() {
			net[one.Kind] += one.Net
			r.Sessions++
		}
	}
	var out []HandsRow
	for _, kind := range append(slices.Clone(Kinds), "") {
		if r := rows[kind]; r != nil {
			r.Hours = net[kind].Hours()
			out = append(out, *r)
		}
	}
	return out
}
