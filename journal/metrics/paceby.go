// The pace of each kind of work in groups of its sessions: by class, tool, build
// or week.

package metrics

import "slices"

// Grouped is the pace of one kind of work in one group, its time known in one
// way.
type Grouped struct {
	Kind, Key, Known string // Key names the group
	Pace
}

// PacesBy returns the paces of counted work, in the order of kinds, then of keys,
// then measured before estimated before remembered. by names the groups a
// session stands in; one that stands in several counts in each. Sessions that were not
// counted are told beside the pace of their group (Pace.Uncounted).
func PacesBy(ws []Work, kinds []string, by func(Work) []string) []Grouped {
	type group struct{ kind, key, known string }
	in := map[group][]Work{}
	counted := map[group]bool{}
	var keys []string
	for _, w := range ws {
		for _, key := range by(w) {
			g := group{w.Kind, key, w.Known}
			in[g] = append(in[g], w)
			counted[g] = counted[g] || w.Counted
			if w.Counted && !slices.Contains(keys, key) {
				keys = append(keys, key)
			}
		}
	}
	slices.Sort(keys)
	var out []Grouped
	for _, kind := range kinds {
		for _, key := range keys {
			for _, known := range []string{Measured, Estimated, Remembered} {
				if g := (group{kind, key, known}); counted[g] {
					out = append(out, Grouped{kind, key, known, PaceOf(in[g])})
				}
			}
		}
	}
	return out
}

// KnownAs keeps the work whose time is known in one way.
func KnownAs(ws []Work, known string) []Work {
	var out []Work
	for _, w := range ws {
		if w.Known == known {
			out = append(out, w)
		}
	}
	return out
}

// ByTool are the tools a session names, for PacesBy; "" stands for none.
func ByTool(w Work) []string {
	if len(w.Tools) == 0 {
		return []string{""}
	}
	return w.Tools
}
