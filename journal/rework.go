// This file finds out which stage caused what a repair mended, so that the
// repair's hours are charged to it.

package journal

import (
	"cmp"
	"slices"
)

// Charge is a share of a repair's hours, and the stage it is charged to.
type Charge struct {
	Stage string  // id
	Kind  string  // of the stage
	Share float64 // of the hours; the shares of a repair add up to 1 or less
	Why   string  // one of the reasons below
}

// Why a repair is charged to a stage.
const (
	ChargedAsSaid    = "as said"                     // it names the stage
	ChargedByMistake = "the mistake it mends"        // it names a mistake, and that names the stage
	ChargedByParts   = "the last stage of its parts" // it names only parts
)

// repairKind is the stage kind of sessions that mend.
const repairKind = "repair"

// chargeRepairs charges each repair to the stage that caused it: the stage it
// names, else that of the mistake it names, else the stage that did its parts
// last before it began, part by part. What no such stage is known for stays a
// repair and nothing else.
func (f *folding) chargeRepairs() {
	mistakes := map[string]Mistake{} // by record
	for _, m := range f.state.Mistakes {
		mistakes[m.Record] = m
	}
	for _, s := range f.state.Sessions {
		if s.Kind != repairKind {
			continue
		}
		stage, why := s.For, ChargedAsSaid
		if m, ok := mistakes[s.For]; ok {
			stage, why = "", ChargedByMistake
			if m.Build == s.Build {
				stage = m.Stage
			}
		}
		if kind := f.kind(s.Build, stage, ""); kind != "" && kind != repairKind {
			s.Charged = []Charge{{stage, kind, 1, why}}
			continue
		}
		f.chargeByParts(s)
	}
}

func (f *folding) chargeByParts(s *Session) {
	count, kinds := map[string]int{}, map[string]string{}
	all := 0
	for _, p := range s.Parts {
		all += p.Count
		if last := f.lastWith(s, p); last != nil {
			count[last.Stage] += p.Count
			kinds[last.Stage] = last.Kind
		}
	}
	for _, stage := range sortedKeys(count) {
		s.Charged = append(s.Charged, Charge{stage, kinds[stage], float64(count[stage]) / float64(all), ChargedByParts})
	}
	slices.SortStableFunc(s.Charged, func(a, b Charge) int { return cmp.Compare(b.Share, a.Share) })
}

// lastWith is the latest session before a repair that did the part, opened
// again since or not: a part is mended because it was opened again.
func (f *folding) lastWith(repair *Session, part PartRef) *Session {
	var last *Session
	for _, one := range f.state.Sessions {
		if one.Build == repair.Build && one.Kind != repairKind && one.Kind != "wait" &&
			one.Start.Before(repair.Start) &&
			countOf(one.Parts, part) > 0 && (last == nil || later(one, last)) {
			last = one
		}
	}
	return last
}
