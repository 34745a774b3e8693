// Tests of folder names that say nothing.

package journal

import (
	"fmt"
	"testing"
)

func TestLostFolders(t *testing.T) {
	s := &State{Builds: []*Build{
		{ID: "pilot-boat", Title: "Pilot boat", Stages: []Stage{{ID: "clean", Title: "Clean", Kind: "clean"}, {ID: "hull-seams", Title: "Hull seams", Kind: "seam"}}},
		{ID: "lorry", Title: "Field-kitchen lorry", Stages: []Stage{{ID: "paint", Title: "Paint", Kind: "paint"}}},
	}}
	for _, one := range []struct{ folder, build, want string }{
		{"pilot-boat/clean/before", "pilot-boat", "[]"},
		{"Pilot Boat/kit-2/Hull seams/left", "pilot-boat", "[]"},
		{"pilot-bout/clean", "", `[folder "pilot-bout" names no build; did you mean pilot-boat?]`},
		{"pilot-boat/cleen/befor", "pilot-boat", `[folder "cleen" names no stage of pilot-boat; did you mean clean? folder "befor" names no role; did you mean before?]`},
		{"lorry/hull-seams", "lorry", `[folder "hull-seams" names no build, stage, role, view or light]`},
		{"holiday", "", `[folder "holiday" names no build, stage, role, view or light]`},
		{"", "", "[]"},
	} {
		if got := fmt.Sprint(s.LostFolders(&Photo{Folder: one.folder, Tags: Tags{Build: one.build}})); got != one.want {
			t.Errorf("%s: %s, want %s", one.folder, got, one.want)
		}
	}
	for _, one := range []struct {
		a, b string
		want int
	}{{"clean", "clean", 0}, {"cleen", "clean", 1}, {"clan", "clean", 1}, {"cleaan", "clean", 1}, {"", "abc", 3}, {"paint", "decal", 5}} {
		if got := typos(one.a, one.b); got != one.want {
			t.Errorf("%s, %s: %d typos, want %d", one.a, one.b, got, one.want)
		}
	}
}
