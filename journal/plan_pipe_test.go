//go:build unix

// Tests of pipes where texts should lie.

package journal

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

func TestPipesAreNotWaitedFor(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	if err := Create(dir, "x", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	diary := filepath.Join(dir, "builds", "lorry", "diary")
	if err := os.MkdirAll(diary, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{filepath.Join(dir, "builds", "lorry", "build.md"), filepath.Join(diary, "2026-03-14.md")} {
		if err := syscall.Mkfifo(path, 0o644); err != nil {
			t.Skip("no pipes here:", err)
		}
	}
	j, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	said := 0
	for _, p := range j.State.Problems {
		if strings.Contains(p.What, "no ordinary file") {
			said++
		}
	}
	if said != 2 {
		t.Errorf("%+v", j.State.Problems)
	}
}
