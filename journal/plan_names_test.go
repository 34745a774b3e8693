// Tests of folders whose names look like patterns.

package journal

import (
	"os"
	"path/filepath"
	"testing"
)

func TestDiaryInFoldersNamedLikePatterns(t *testing.T) {
	for _, name := range []string{"a [half", "a [b]", "-[-]"} {
		dir := filepath.Join(t.TempDir(), name)
		if err := os.MkdirAll(filepath.Join(dir, "builds", name, "diary"), 0o755); err != nil {
			t.Fatal(err)
		}
		for file, text := range map[string]string{
			"journal.toml":                                "format = 1\nname = \"x\"\nzone = \"UTC\"\n",
			"builds/" + name + "/build.md":                "---\ntitle: Mail seaplane\n---\n",
			"builds/" + name + "/diary/2026-03-14.md":     "# Floats\n",
			"builds/" + name + "/diary/2026-03-14.md.bak": "no day",
		} {
			if err := os.WriteFile(filepath.Join(dir, filepath.FromSlash(file)), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		j, err := Open(dir)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(j.State.Diary) != 1 || j.State.Diary[0].Title != "Floats" || len(j.State.Problems) > 0 {
			t.Errorf("%s: diary %v, problems %v", name, j.State.Diary, j.State.Problems)
		}
	}
}
