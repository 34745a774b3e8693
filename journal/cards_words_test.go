// Tests of the one line that tells what cards said.

package journal

import (
	"testing"
	"time"
)

func TestCardsTold(t *testing.T) {
	for want, lines := range map[string][]string{
		"":                                  {"19:00 photo"},
		"1 begin, 2 counts (7 done), 1 end": {"19:00 begin lorry clean {alone}", "19:10 5 {alone}", "19:20 2 {alone}", "20:00 end {alone}"},
		"1 begin, 1 count (5 done), 1 role (after), 1 seen again; 1 did nothing: 5 done at 19:20 (in view since 19:10, perhaps left lying: not counted again); what to type: rakelight check --photos": {
			"19:00 begin lorry clean {alone}", "19:00:05 begin lorry clean {alone}", "19:10 5 {beside}", "19:20 5 {beside}", "19:30 after {beside}"},
		"4 did nothing: end at 2026-03-14 19:00 (nothing ran at that time), 5 done at 2026-03-14 20:00 (nothing ran at that time), end at 2026-03-14 21:00 (nothing ran at that time) and 1 more; what to type: rakelight check --photos": {
			"19:00 end {alone}", "20:00 5 {alone}", "21:00 end {alone}", "+21:00 end {alone}"},
	} {
		if got := CardsTold(Fold(cardPlan, shotsAt(t, lines...)).Cards, time.UTC); got != want {
			t.Errorf("%q: got\n%s\nwant\n%s", lines, got, want)
		}
	}
}
