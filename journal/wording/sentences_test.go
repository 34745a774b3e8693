// Test that records whose reasons are sentences still mean what they meant.

package wording_test

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/journal/wording"
)

// told is all that is decided and told of the reasons in a journal.
func told(s *journal.State) string {
	var out strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&out, format+"\n", args...) }
	for _, p := range s.Photos {
		in := p.Instant
		line("photo %s: %s from %s by %s, by its clock %v, guess %v, tags %s/%d/%s/%s", p.Name, in.At.Format(time.RFC3339), in.Source, in.Offset, in.ByClock(), p.Guess, p.Tags.Build, p.Tags.Kit, p.Tags.Stage, p.Tags.Role)
		for _, name := range slices.Sorted(maps.Keys(p.Why)) {
			line("  why %s: %s", name, wording.Why(p.Why[name]))
		}
		line("  corrected %q doubt %q note %q said %q", wording.Fault(in.Corrected), wording.Doubts(in.Doubts), wording.Doubts(in.Passed), in.Said)
		for _, o := range p.Beside {
			line("  beside %s: %s", o.Path, wording.Link(o.Why))
		}
	}
	for _, one := range s.Sessions {
		line("session %s: %s/%s %s %s, %v; doubt %q, how %q", one.ID, one.Build, one.Stage, one.Known, one.Start.Format(time.RFC3339), one.Net, wording.Length(one.Doubt), wording.How(one.How))
	}
	for _, row := range s.ToDo() {
		line("%s: %s: %s | %s | %s", row.Kind, row.Name(), wording.ToDo(row.Why), row.Command, row.Else)
	}
	for _, a := range s.Asides {
		line("aside %s: %s", a.Path, wording.Link(a.Why))
	}
	for _, p := range s.Problems {
		line("problem %s: %s", p.File, p.What)
	}
	return out.String()
}

// oldJournal is the folder of a journal whose reasons are sentences.
var oldJournal = filepath.Join("..", "testdata", "sentences")

func openSentences(t *testing.T) *journal.State {
	t.Helper()
	dir := t.TempDir() // the index is written there
	if err := os.CopyFS(dir, os.DirFS(oldJournal)); err != nil {
		t.Fatal(err)
	}
	j, err := journal.OpenAt(dir, func() time.Time { return time.Date(2026, 7, 1, 12, 0, 0, 0, time.UTC) })
	if err != nil {
		t.Fatal(err)
	}
	return j.State
}

// The journal under testdata/sentences was written when reasons were sentences,
// and as-read.txt is what that version read in it. Neither is written again, but where
// the program since proposes another command: photos without a date are given one
// (rakelight date), also where the moment of taking in stood for it.
func TestSentencesReadAsBefore(t *testing.T) {
	want, err := os.ReadFile(filepath.Join(oldJournal, "as-read.txt"))
	if err != nil {
		t.Fatal(err)
	}
	state := openSentences(t)
	got, before := strings.Split(told(state), "\n"), strings.Split(string(want), "\n")
	for i := range max(len(got), len(before)) {
		if i >= len(got) || i >= len(before) || got[i] != before[i] {
			t.Fatalf("line %d reads\n%s\nand read\n%s", i+1, strings.Join(got[i:min(i+1, len(got))], ""), strings.Join(before[i:min(i+1, len(before))], ""))
		}
	}
	for _, p := range state.Photos {
		for name, why := range p.Why {
			if words := wording.Why(why); why.By == reason.Words && words != "folder" {
				t.Errorf("%s: why %s is not understood: %q", p.Name, name, words)
			}
		}
	}
}
