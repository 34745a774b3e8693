// This file reads how many were done before the journal began, for learning counts
// from the first part and not from the first page.

package plan

import (
	"cmp"
	"maps"
	"slices"

	"github.com/BurntSushi/toml"

	"rakelight/journal/metrics"
)

// mostBefore bounds what a typing error can say: no bench has seen a million parts.
const mostBefore = 999999

// before reads {clean = 3000, prime = 400}: stage kinds that have a count, and how
// many. What is not understood is told and left out.
func (r *reading) before(raw map[string]toml.Primitive) map[string]int {
	value, said := raw["before"]
	if !said {
		return nil
	}
	var read any
	err := r.meta.PrimitiveDecode(value, &read)
	counts, table := read.(map[string]any)
	if err != nil || !table {
		r.remark(r.line("before"), "before is written {clean = 3000, prime = 400}, by kind of stage; it does nothing")
		return nil
	}
	var out map[string]int
	for _, kind := range slices.Sorted(maps.Keys(counts)) {
		line := cmp.Or(r.line(kind), r.line("before"))
		n, whole := counts[kind].(int64)
		switch _, countable := metrics.CountedKind(kind); {
		case !slices.Contains(Kinds, kind):
			r.remark(line, "before, %s: this is not a kind of stage, such as clean or prime; it is left out", kind)
		case !countable:
			r.remark(line, "before, %s: this kind has hours and no count; it is left out", kind)
		case !whole || n < 0 || n > mostBefore:
			r.remark(line, "before, %s: %v is not a count from 0 to %d; it is left out", kind, counts[kind], mostBefore)
		default:
			if out == nil {
				out = map[string]int{}
			}
			out[kind] = int(n)
		}
	}
	return out
}
