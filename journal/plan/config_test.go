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
		`longest = "-3h"`:                           "longest = \"-3h\" is not a length of time",
		`longest = "0s"`:                            "; 5h is used",
		`card-silence = "soon"`:                     "; 90m is used",
		`card-twice = "-15s"`:                       "; 15s is used",
		`card-unseen = "2"`:                         "; 2h is used",
		`settle = "-1m"`:                            "; 2h is used",
		`colour = "sand"`:                           "the setting colour is not known",
		"[[stage]]\nid = \"cut\"\nsort = \"x\"":     "stage.sort is not known",
		"[[stage]]\nid = \"polish\"":                "not a kind of stage",
		"[[clock]]\nfast = \"an hour\"":             "not a length of time",
		"[[clock]]\nfast = \"1h\"\nfrom = \"soon\"": "\"soon\" is not a day",
		"[[zones]]\nfrom = \"2026-03-01\"\nname = \"Atlantis/X\"":         "Atlantis/X",
		`before = {clean = 3000, prime = 400}`:                            "",
		"[before]\nclean = 0":                                             "",
		`curing = {glue = "12h", "two-part putty" = "30m"}`:               "",
		"[curing]\nfiller = \"24h\"":                                      "",
		`curing = "24h"`:                                                  `curing is written {glue = "12h", filler = "24h"}`,
		`curing = {glue = 12}`:                                            "curing, glue: 12 is not a length of time",
		`curing = {glue = "soon"}`:                                        "curing, glue: soon is not a length of time",
		`before = 3000`:                                                   "before is written {clean = 3000, prime = 400}",
		`before = {clean = -1}`:                                           "before, clean: -1 is not a count from 0 to 999999",
		`before = {clean = "many"}`:                                       "before, clean: many is not a count",
		`before = {polish = 10}`:                                          "before, polish: this is not a kind of stage",
		"[public]\ntimes = true\njudges = [\"Mo\"]\nfinished-only = true": "",
		"[public]\ntimes = \"yes\"":                                       "public: times takes true or false; no times of day are shown",
		"[public]\njudges = \"Mo\"":                                       "no judge is named",
		"[public]\nlanguage = \"de\"":                                     "",
		"[public]\nlanguage = 7":                                          "the pages are in English",
		"[public]\nfinished-only = 1":                                     "no build is published before it is finished",
		"public = true":                                                   "public is a table",
		"[public]\nplaces = true":                                         "the setting public.places is not known",
		"[before]\nwash = 10":                                             "before, wash: this kind has hours and no count",
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

// What is understood of before is kept beside what is not, and the line is named.
func TestBefore(t *testing.T) {
	dir := t.TempDir()
	text := "format = 1\nzone = \"UTC\"\n\n[before]\nclean = 3000\npolish = 3\nprime = 400\n"
	if err := os.WriteFile(filepath.Join(dir, "journal.toml"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	p, err := Read(dir)
	if err != nil || len(p.Problems) != 1 || p.Problems[0].Line != 6 {
		t.Fatalf("%v, %+v", err, p.Problems)
	}
	if b := p.Config.Before; len(b) != 2 || b["clean"] != 3000 || b["prime"] != 400 {
		t.Errorf("%v", b)
	}
}

// A setting of [public] that nobody knows shows less, whatever stands beside it.
func TestUnknownPublicSettingHides(t *testing.T) {
	for _, text := range []string{"finished_only = true", "finished_only = true\nfinished-only = false"} {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, "journal.toml"), []byte("format = 1\nzone = \"UTC\"\n[public]\n"+text+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		p, err := Read(dir)
		if err != nil || len(p.Problems) != 1 || !p.Config.Public.Finished {
			t.Errorf("%q: %v, %+v, %+v", text, err, p.Problems, p.Config.Public)
		}
	}
}
