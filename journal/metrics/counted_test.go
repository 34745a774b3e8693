// CountedKind: every kind of the trade, one by one.

package metrics

import "testing"

func TestCountedKind(t *testing.T) {
	want := map[string]string{
		"inspect": "", "wash": "", "plan": "", "cut": "part", "clean": "part", "dry-fit": "part",
		"assemble": "part", "seam": "join", "prime": "coat", "paint": "coat", "detail": "item",
		"gloss": "coat", "decal": "decal", "line": "", "weather": "", "top-coat": "coat",
		"base": "", "repair": "", "wait": "", "": "", "Clean": "",
	}
	for kind, unit := range want {
		if got, ok := CountedKind(kind); got != unit || ok != (unit != "") {
			t.Errorf("CountedKind(%q) = %q, %v, want %q", kind, got, ok, unit)
		}
	}
}
