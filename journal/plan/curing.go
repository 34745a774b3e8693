// This file reads how long things cure on this bench: the person's own times, since
// they hang on glue, paint, warmth and how thick it was laid on.

package plan

import (
	"cmp"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/BurntSushi/toml"
)

// curing reads {glue = "12h", filler = "24h"}: what cures, in small letters, and how
// long. What is not understood is told and left out.
func (r *reading) curing(raw map[string]toml.Primitive) map[string]string {
	value, said := raw["curing"]
	if !said {
		return nil
	}
	var read any
	err := r.meta.PrimitiveDecode(value, &read)
	times, table := read.(map[string]any)
	if err != nil || !table {
		r.remark(r.line("curing"), `curing is written {glue = "12h", filler = "24h"}; it does nothing`)
		return nil
	}
	var out map[string]string
	for _, what := range slices.Sorted(maps.Keys(times)) {
		text, words := times[what].(string)
		if _, ok := length(text, false); !words || !ok {
			r.remark(cmp.Or(r.line(what), r.line("curing")),
				`curing, %s: %v is not a length of time; write it like "24h" or "30m"; it is left out`, what, times[what])
			continue
		}
		if out == nil {
			out = map[string]string{}
		}
		out[strings.ToLower(what)] = text
	}
	return out
}

// CuringTime is how long something cures by the person's own times; ok is false
// where they do not say.
func (c Config) CuringTime(of string) (d time.Duration, ok bool) {
	return length(c.Curing[strings.ToLower(of)], false)
}
