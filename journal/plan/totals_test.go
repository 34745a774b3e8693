// Tests of totals that count nothing.

package plan

import (
	"strings"
	"testing"
)

func TestIdleTotals(t *testing.T) {
	for matter, want := range map[string]string{
		"stages: [seam]\ntotals: {seam: 3}":                                        "",
		"stages: [seam]\ntotals: {sand: 3}":                                        `this build has no stage "sand"`,
		"stages: [weather]\ntotals: {weather: 3}":                                  "weather has hours and nothing to count",
		"stages: [clean]\nrunners: {A: 2}\ntotals: {clean: 3}":                     "clean is counted by the parts",
		"stages: [seam]\nkits: [{title: a, totals: {seam: 1}}]\ntotals: {seam: 3}": "seam is told by a kit",
		"stages: [{id: a, kind: seam}, {id: b, kind: seam}]\ntotals: {seam: 3}":    `"seam" fits more than one stage`,
	} {
		b, problems := ParseBuild("boat", []byte("---\n"+matter+"\n---\n"))
		if got := strings.Join(b.idleTotals(), "; "); len(problems) > 0 || !strings.HasPrefix(got, want) || want == "" && got != "" {
			t.Errorf("%s: %q %v, want %q", matter, got, problems, want)
		}
	}
}
