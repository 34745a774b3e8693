package journal

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

// The identity stays through later records, other devices and other titles, and is
// that of the device that wrote first.
func TestIdentity(t *testing.T) {
	dir := t.TempDir()
	now := time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)
	if err := Create(dir, "Bench", "UTC", now); err != nil {
		t.Fatal(err)
	}
	j, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if got := j.Identity(); got != "" {
		t.Errorf("before the first record: %q", got)
	}
	j.Now = func() time.Time { return now }
	say := func() {
		t.Helper()
		if _, err := j.Append(NoteBody{Build: "lorry", Text: "a note", At: now}); err != nil {
			t.Fatal(err)
		}
	}
	say()
	first := j.Identity()
	if first == "" {
		t.Fatal("none after the first record")
	}
	now = now.AddDate(0, 2, 0)
	say()
	if got := j.Identity(); got != first {
		t.Errorf("%q after two months, was %q", got, first)
	}
	// Devices that come later draw their names by lot: before and behind the first.
	for range 6 {
		if err := os.Remove(filepath.Join(dir, ".cache", "device")); err != nil {
			t.Fatal(err)
		}
		if j, err = Open(dir); err != nil {
			t.Fatal(err)
		}
		j.Now = func() time.Time { return now }
		now = now.Add(time.Hour)
		say()
	}
	stray := filepath.Join(dir, "records", "aaa")
	if err := os.MkdirAll(stray, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(stray, "2025-01.jsonl"), []byte("no record\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if folders, err := os.ReadDir(filepath.Join(dir, "records")); err != nil || len(folders) != 8 {
		t.Fatalf("%d folders, %v", len(folders), err)
	}
	if got := j.Identity(); got != first {
		t.Errorf("%q beside devices that came later, was %q", got, first)
	}
}
