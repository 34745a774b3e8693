// Tests that all of an entry counts or nothing, whatever a power cut left of it.

package entry

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/disk/mishap"
)

// The power goes off while an entry of three records is written: what came to the disk
// of it counts for nothing once something is written again, and sent again it is
// written whole; a second cut while that is done changes nothing.
func TestEntryCountsWholeOrNot(t *testing.T) {
	t.Parallel()
	for what, resent := range map[string]bool{"sent again": true, "never sent again": false} {
		b := sitDown(t)
		b.says("19:00", Begin{Build: "pilot-boat", Stage: "cut"})
		b.now = b.at("19:20")
		given := b.now
		send := func(j *journal.Journal) error {
			_, err := DoOnce(j, "entry-0001", given, Done{Parts: "A1-A4"}, Note{Text: "dull blade"}, Note{Text: "hot day"})
			return err
		}
		note := func(j *journal.Journal) error { _, err := Do(j, Note{Build: "lorry", Text: "later"}); return err }
		cuts, partly := 0, 0
		for _, dir := range cutsOf(t, b.j.Dir, b.j.Now, send) {
			next := send
			if !resent {
				next = note
			}
			state := openCut(t, dir, b.j.Now).State
			said := len(state.Sessions[0].Parts) + len(state.Notes)
			all, dirs := said == 6, []string{dir}
			if said > 0 && !all {
				partly++
				dirs = append(dirs, cutsOf(t, dir, b.j.Now, next)...)
			}
			for _, again := range dirs {
				cuts++
				j := openCut(t, again, b.j.Now)
				for range 2 {
					if err := next(j); err != nil {
						t.Fatalf("%s: %s: %v", what, filepath.Base(again), err)
					}
				}
				j = openCut(t, again, b.j.Now)
				s, notes := j.State.Sessions[0], map[string]int{}
				for _, n := range j.State.Notes {
					notes[n.Text]++
				}
				whole := len(s.Parts) == 4 && notes["dull blade"] == 1 && notes["hot day"] == 1
				none := len(s.Parts) == 0 && notes["dull blade"] == 0 && notes["hot day"] == 0
				if !whole && (resent || !none || all) {
					t.Fatalf("%s: %d parts, notes %v", what, len(s.Parts), notes)
				}
			}
		}
		if cuts < 10 || partly < 1 {
			t.Errorf("%s: %d cuts, %d of them left a part", what, cuts, partly)
		}
	}
}

func openCut(t *testing.T, dir string, now func() time.Time) *journal.Journal {
	t.Helper()
	j, err := journal.OpenAt(dir, now)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// cutsOf are journals as they are where the power goes off while something is said:
// after each change, with nothing of what was not synced, with a part, and with all.
func cutsOf(t *testing.T, dir string, now func() time.Time, say func(*journal.Journal) error) (dirs []string) {
	t.Helper()
	work := filepath.Join(t.TempDir(), "work")
	if err := os.CopyFS(work, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	j := openCut(t, work, now)
	d, err := mishap.Trace(work)
	if err != nil {
		t.Fatal(err)
	}
	unmount := disk.Mount(work, d)
	err = say(j)
	unmount()
	if err != nil {
		t.Fatal(err)
	}
	for n := range d.Len() + 1 {
		for _, fate := range []mishap.Fate{mishap.Lost, mishap.Begun, mishap.Kept} {
			into := filepath.Join(t.TempDir(), fmt.Sprint("cut-", n, "-", fate))
			if err := d.Cut(work, into, n, func(int) mishap.Fate { return fate }); err != nil {
				t.Fatal(err)
			}
			dirs = append(dirs, into)
		}
	}
	return dirs
}
