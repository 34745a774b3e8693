// Tests of the settings of what the work is done with.

package plan

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rakelight/journal/sanding"
)

func TestBenchSettings(t *testing.T) {
	dir := t.TempDir()
	text := `format = 1
zone = "UTC"
supplies = ["To buy", " "]

[[sanding]]
surface = "flat"
finish = "primed"
steps = ["P400 on glass, wet: level", "P800"]

[[sanding]]
surface = "round"
steps = ["P400"]

[[sanding]]
steps = ["400"]

[[sanding]]
remove = "nub"
grit = 4
`
	if err := os.WriteFile(filepath.Join(dir, "journal.toml"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	p, err := Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	plans := p.Config.SandingPlans()
	if len(plans) != 1 || plans[0].Surface != "flat" || !plans[0].Own || len(plans[0].Steps) != 2 ||
		plans[0].Steps[0] != (sanding.Step{Grit: 400, Scale: "P", Backing: "glass", Wet: true, Check: "level"}) {
		t.Errorf("%+v", plans)
	}
	if got := p.Config.SupplyHeadings(); !slices.Equal(got, []string{"To buy"}) {
		t.Errorf("%q", got)
	}
	var told []string
	for _, one := range p.Problems {
		told = append(told, one.What)
	}
	all := strings.Join(told, "\n")
	for _, want := range []string{`surface "round" is none of flat`, "P400, CAMI 400", "it has no steps", "sanding.grit is not known"} {
		if !strings.Contains(all, want) {
			t.Errorf("nothing is told of %q:\n%s", want, all)
		}
	}
	if len(told) != 4 || p.Problems[0].Line == 0 {
		t.Errorf("told:\n%s", all)
	}
	if err := os.WriteFile(filepath.Join(dir, "journal.toml"), []byte("format = 1\nzone = \"UTC\"\nsupplies = 3\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if p, err = Read(dir); err != nil || len(p.Problems) != 1 || !slices.Equal(p.Config.SupplyHeadings(), []string{"Supplies", "Shopping"}) {
		t.Errorf("%v %v %v", p.Problems, p.Config.SupplyHeadings(), err)
	}
}
