//go:build unix

// Tests of what lies among the records and is no file, or is gone already.

package record

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

func TestOddFilesAmongRecords(t *testing.T) {
	dir, file := filled(t, 3, "")
	device := filepath.Dir(file)
	try(t, os.Symlink(filepath.Join(dir, "nowhere"), filepath.Join(device, "gone.jsonl")))
	try(t, os.Symlink(t.TempDir(), filepath.Join(device, "2026-01.jsonl")))
	try(t, syscall.Mkfifo(filepath.Join(device, "2026-02.jsonl"), 0o644))
	b := book(t, dir, "") // waits for no pipe
	if len(b.Records) != 3 || len(b.Problems) != 2 {
		t.Errorf("%d records, %+v", len(b.Records), b.Problems)
	}
	if say(t, b, evening, "goes on").Seq != 4 {
		t.Error("nothing can be said any more")
	}
}
