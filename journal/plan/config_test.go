// Tests of settings as people write them.

package plan

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A setting that is not understood is told, each alone, and the rest holds.
func TestSettingsNotUnderstood(t *testing.T) {
	const head = "format = 1\nzone = \"UTC\"\n"
	for line, says := range map[string]string{
		`longest = "5h"`:                            "",
		`card-twice = "0s"`:                         "", // no picture is taken to be another's
		`settle = "0s"`:                             "",
		`longest = "-3h"`:                           "longest = \"-3h\" is no length of time",
		`longest = "0s"`:                            "; 5h is used",
		`card-silence = "soon"`:                     "; 90m is used",
		`card-twice = "-15s"`:                       "; 15s is used",
		`card-unseen = "2"`:                         "; 2h is used",
		`settle = "-1m"`:                            "; 2h is used",
		`colour = "sand"`:                           "the setting colour is not known",
		"[[stage]]\nid = \"cut\"\nsort = \"x\"":     "stage.sort is not known",
		"[[stage]]\nid = \"polish\"":                "no kind of stage",
		"[[clock]]\nfast = \"an hour\"":             "no length of time",
		"[[clock]]\nfast = \"1h\"\nfrom = \"soon\"": "\"soon\" is no day",
		"[[zones]]\nfrom = \"2026-03-01\"\nname = \"Atlantis/X\"": "Atlantis/X",
	} {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, "journal.toml"), []byte(head+line+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		p, err := Read(dir)
		if err != nil || p.Zone != time.UTC {
			t.Errorf("%s: %v", line, err)
		}
		if says == "" && len(p.Problems) > 0 || says != "" && (len(p.Problems) != 1 || !strings.Contains(p.Problems[0].What, says)) {
			t.Errorf("%s: problems %+v, want one that says %q", line, p.Problems, says)
		}
	}
	if got := (Config{Longest: "-3h"}).LongestTimer(); got != DefaultLongest {
		t.Errorf("longest = -3h: %s", got)
	}
}
