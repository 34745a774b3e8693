// Tests of copies and losses of what is written by hand.

package journal

import (
	"os"
	"strings"
	"testing"
)

// Copies of build.md, journal.toml and build folders are told, each alone; what
// is none is not.
func TestCopiesOfPlans(t *testing.T) {
	plan := "---\ntitle: Pilot boat\nstages: [cut, clean, paint]\n---\n"
	for name, text := range map[string]string{
		"journal (1).toml": "zone = \"UTC\"\n", "journal.toml.sync-conflict-20260314-193205-ABCDEFG": "", "journal.sync-conflict-20260314.toml": "",
		"Copy of journal.toml": "", "Kopie von journal.toml": "", "journal - Kopie.toml": "", "journal-WORKSHOP.toml": "", "Journal.TOML.orig": "",
		"builds/pilot-boat/build (conflicted copy 2026-03-14).md": plan, "builds/pilot-boat/build 2.md": plan, "builds/pilot-boat/build.md.conflict": plan,
		"builds/pilot-boat/build のコピー.md": plan, "builds/pilot-boat/Copie de build.md": plan, "builds/pilot-boat/build-WORKSHOP.md": plan,
		"builds/pilot-boat (1)/build.md": plan, "builds/pilot-boat - Copy/build.md": plan, "builds/Copy of pilot-boat/build.md": plan,
		"builds/pilot-boat.sync-conflict-20260314/build.md": plan, "builds/pilot-boat-WORKSHOP/build.md": plan,
	} {
		j, _ := bench(t)
		try(t, WriteFile(j.Path(name), []byte(text)))
		try(t, j.Reload())
		if p := j.State.Problems; len(p) != 1 || p[0].Kind != ConflictCopy || !strings.HasPrefix(name, p[0].File) {
			t.Errorf("%s: problems %+v", name, p)
		}
	}
	j, _ := bench(t)
	for name, text := range map[string]string{
		"builds/pilot-boat-2/build.md": "---\ntitle: Pilot boat, second\n---\n", "builds/pilot-boat/ideas.md": "x", "builds/pilot-boat/build-log.txt": "x",
		"builds/pilot-boat/.build.md.swp": "x", "builds/pilot-boat/build.md~": "x", ".journal.toml.swp": "x", "#journal.toml#": "x", "journal.txt": "x",
	} {
		try(t, WriteFile(j.Path(name), []byte(text)))
	}
	try(t, j.Reload())
	if len(j.State.Problems) > 0 {
		t.Errorf("problems %+v where there is no copy", j.State.Problems)
	}
}

// An emptied build.md is damage where records name the build's stages, and a
// remark where nothing was done yet.
func TestEmptiedPlan(t *testing.T) {
	j, now := bench(t)
	try(t, os.WriteFile(j.Path("builds/pilot-boat/build.md"), []byte("\n \n"), 0o644))
	try(t, j.Reload())
	if found := j.Check(false); len(found) != 1 || found[0].Kind != EmptyPlan || found[0].Error {
		t.Errorf("before any work: %+v", found)
	}
	_, err := j.AppendAll([]Body{
		WorkBody{Build: "pilot-boat", Stage: "paint", Kind: "paint", Date: "2026-03-01", Minutes: 30, Known: Remembered},
		PhotoBody{Hash: strings.Repeat("1", 64), Path: "photos/x.jpg", Instant: Instant{At: *now}, Tags: Tags{Build: "pilot-boat", Stage: "cut"}},
	})
	try(t, err)
	var told string
	for _, f := range j.Check(false) {
		if f.Kind == EmptyPlan && f.Error {
			told = f.What
		}
	}
	if !strings.Contains(told, "cut, paint") {
		t.Errorf("told %q; want damage that names cut and paint", told)
	}
}

func TestZoneDoubt(t *testing.T) {
	for _, c := range []struct{ toml, says string }{
		{"format = 1\nzone = \"Europe/Lisbon\"\n", ""},
		{"format = 1\nzone = \"Europe/Lisboa\"\n", "Lisboa"},
		{"format = 1\n", "no time zone"},
		{"", "no time zone"},
		{"format = 1\nzone = \"UTC\"\n[[zones]]\nfrom = \"2026-03-01\"\nname = \"Atlantis/Harbor\"\n", "Atlantis"},
		{"format = 1\nzone = \"UTC\"\n[[zones]]\nfrom = \"soon\"\nname = \"Asia/Tokyo\"\n", "soon"},
	} {
		j, _ := bench(t)
		try(t, os.WriteFile(j.Path("journal.toml"), []byte(c.toml), 0o644))
		try(t, j.Reload())
		if got := j.State.ZoneDoubt(); (got == "") != (c.says == "") || !strings.Contains(got, c.says) {
			t.Errorf("%q: doubt %q, want %q", c.toml, got, c.says)
		}
	}
}
