// Tests of what is added to the words of a day.

package journal

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// dayJournal is a journal with one build.
func dayJournal(t *testing.T) *Journal {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "bench")
	if err := Create(dir, "Bench", "UTC", time.Date(2026, 3, 14, 20, 0, 0, 0, time.UTC)); err != nil {
		t.Fatal(err)
	}
	if err := WriteFile(filepath.Join(dir, "builds", "pilot-boat", "build.md"), []byte("---\ntitle: Pilot boat\n---\n")); err != nil {
		t.Fatal(err)
	}
	j, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func TestAddToDiary(t *testing.T) {
	j := dayJournal(t)
	file := j.Path("builds/pilot-boat/diary/2026-03-14.md")
	rel, err := j.AddToDiary("pilot-boat", "2026-03-14", "The seam is gone.")
	if err != nil || rel != "builds/pilot-boat/diary/2026-03-14.md" {
		t.Fatal(rel, err)
	}
	if len(j.State.Diary) != 1 || j.State.Diary[0].Body != "The seam is gone.\n" {
		t.Errorf("the state does not know it: %+v", j.State.Diary)
	}

	// What is no text, is too long, or may only be read stays as it is.
	for name, old := range map[string]string{
		"UTF-16": "\xff\xfeO\x00l\x00d\x00", "Latin": "caf\xe9\n", "long": strings.Repeat("word ", 256<<10/5) + "\n",
	} {
		if err := os.WriteFile(file, []byte(old), 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := j.AddToDiary("pilot-boat", "2026-03-14", "More."); err == nil {
			t.Errorf("%s: added", name)
		}
		if now, err := os.ReadFile(file); err != nil || string(now) != old {
			t.Errorf("%s: changed", name)
		}
	}
	if err := os.WriteFile(file, []byte("Mine.\n"), 0o444); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(file, 0o444); err != nil {
		t.Fatal(err)
	}
	if _, err := j.AddToDiary("pilot-boat", "2026-03-14", "More."); err == nil {
		t.Error("a file that may be read only was written to")
	}
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(file), ".*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// Paragraphs that are added at the same moment all come to stand there.
func TestAddToDiaryAtOnce(t *testing.T) {
	j := dayJournal(t)
	var all sync.WaitGroup
	for _, words := range []string{"One.", "Two.", "Three.", "Four."} {
		other, err := Open(j.Dir)
		if err != nil {
			t.Fatal(err)
		}
		all.Go(func() {
			if _, err := other.AddToDiary("pilot-boat", "2026-03-14", words); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	data, err := os.ReadFile(j.Path("builds/pilot-boat/diary/2026-03-14.md"))
	if err != nil || len(strings.Split(strings.TrimSpace(string(data)), "\n\n")) != 4 {
		t.Errorf("%q, %v", data, err)
	}
}
