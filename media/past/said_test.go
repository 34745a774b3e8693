package past

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rakelight/journal"
	"rakelight/journal/entry"
)

// A build that is begun for old pictures goes again with what was said, and nothing
// else does.
func TestNamingLeavesNoTrace(t *testing.T) {
	j := newJournal(t)
	a, b := strings.Repeat("a1", 32), strings.Repeat("b2", 32)
	plan := filepath.Join(j.Dir, "builds", "mail-seaplane", "build.md")
	there := func() bool { _, err := os.Stat(plan); return err == nil }
	draft := &journal.Draft{ID: "mail-seaplane", Title: "Mail seaplane", Scale: "1/72"}
	say := func(said entry.Past, d *journal.Draft) {
		t.Helper()
		if _, err := Say(j, said, d, entry.Do); err != nil {
			t.Fatal(err)
		}
	}
	undo := func(pictures int, build string) {
		t.Helper()
		if u, err := Undo(j); err != nil || u.Pictures != pictures || u.Build != build {
			t.Fatalf("%+v, %v", u, err)
		}
	}

	if _, err := Say(j, entry.Past{Photos: []string{a}, Stage: "no such stage"}, draft, entry.Do); err == nil || there() {
		t.Fatalf("refused, and a plan is left: %v", err)
	}
	if _, err := os.Stat(filepath.Dir(plan)); !errors.Is(err, os.ErrNotExist) {
		t.Error("its folder is left")
	}
	say(entry.Past{Photos: []string{a, b}}, draft)
	if !there() || j.State.PastOf(a).Tags.Build != "mail-seaplane" {
		t.Fatal("no plan, or nothing said")
	}
	if b := j.State.Build("mail-seaplane"); strings.TrimSpace(b.Body) != "" || len(b.Checklist) > 0 {
		t.Errorf("of a build of the years before something is planned: %q, %v", b.Body, b.Checklist)
	}
	undo(2, "mail-seaplane")
	if there() || j.State.PastOf(a) != nil || j.State.Build("mail-seaplane") != nil {
		t.Error("undone, and something is left")
	}
	if _, err := Undo(j); !errors.Is(err, ErrNothing) {
		t.Errorf("nothing to undo: %v", err)
	}

	// What others say of it, or wrote in it, keeps it.
	say(entry.Past{Photos: []string{a}}, draft)
	say(entry.Past{Photos: []string{b}, Build: "mail-seaplane"}, nil)
	undo(1, "")
	say(entry.Past{Photos: []string{b}, Build: "mail-seaplane", Stage: "clean"}, draft)
	undo(1, "")
	if !there() || j.State.PastOf(a) == nil {
		t.Error("the build went with what was said of another picture")
	}
	if err := os.WriteFile(plan, []byte("---\ntitle: Mine\n---\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	undo(1, "")
	if !there() {
		t.Error("a plan that somebody wrote in went")
	}
}

// One entry may be several records: all of them are taken back.
func TestUndoTakesAWholeEntry(t *testing.T) {
	j := newJournal(t)
	var many []string
	for i := range 1200 {
		many = append(many, strings.Repeat("0", 60)+string([]byte{'0' + byte(i/1000), '0' + byte(i/100%10), '0' + byte(i/10%10), '0' + byte(i%10)}))
	}
	out, err := Say(j, entry.Past{Photos: many, Build: "pilot-boat"}, nil, entry.Do)
	if err != nil || len(out.Records) != 3 || len(j.State.Past) != 1200 {
		t.Fatalf("%d records, %v", len(out.Records), err)
	}
	if u, err := Undo(j); err != nil || u.Pictures != 1200 || len(u.Records) != 3 || len(j.State.Past) != 0 {
		t.Errorf("%d pictures, %d left, %v", u.Pictures, len(j.State.Past), err)
	}
}

// A build of which something else is said stays, whatever that is.
func TestNamedBuildStaysWithWhatIsSaidOfIt(t *testing.T) {
	const id = "mail-seaplane"
	about := entry.About{Build: id}
	for name, other := range map[string]entry.Request{
		"a mix":     entry.Mix{Build: id, Name: "hull red", Recipe: "3 red, 1 white"},
		"a trial":   entry.Trial{What: "fine file", Build: id},
		"private":   entry.Private{Build: id},
		"the hands": entry.Hands{About: about, Is: "sore"},
		"a note":    entry.Note{Build: id, Text: "the floats lean"},
	} {
		j := newJournal(t)
		if _, err := Say(j, entry.Past{Photos: []string{strings.Repeat("a1", 32)}}, &journal.Draft{ID: id, Title: "Mail seaplane"}, entry.Do); err != nil {
			t.Fatal(err)
		}
		if _, err := entry.Do(j, other); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if u, err := Undo(j); err != nil || u.Build != "" || j.State.Build(id) == nil {
			t.Errorf("%s: the build went: %+v, %v", name, u, err)
		}
	}
}
