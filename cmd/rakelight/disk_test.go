// Tests of what is said when the disk is the trouble.

package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// Every code this system has, under every wrapping it may come in.
func TestEachTroubleOfTheDiskHasItsHint(t *testing.T) {
	said := map[string]bool{}
	for _, one := range troubles {
		for _, code := range one.codes {
			for _, err := range []error{
				&fs.PathError{Op: "write", Path: filepath.Join("bench", ".rakelight-1.tmp"), Err: code},
				fmt.Errorf("x was not written: %w", &os.LinkError{Op: "rename", Old: "a", New: filepath.Join("bench", ".rakelight-x"), Err: code}),
				errors.Join(errors.New("other"), fmt.Errorf("deep: %w", &fs.PathError{Op: "sync", Path: filepath.Join("bench", ".rakelight-"), Err: code})),
			} {
				var out, errw bytes.Buffer
				a := &app{out: &out, err: &errw}
				if got := a.answer(statusCmd, err); got != exitFailed || out.Len() > 0 {
					t.Errorf("%v: exit %d, %q", err, got, out.String())
				}
				if want := "\nrakelight: hint: " + fmt.Sprintf(one.hint, "bench") + "\n"; !strings.HasSuffix(errw.String(), want) {
					t.Errorf("%v: %q, want %q", err, errw.String(), want)
				}
			}
		}
		if said[one.hint] {
			t.Errorf("twice: %s", one.hint)
		}
		said[one.hint] = true
	}
	if len(troubles) != 5 {
		t.Errorf("%d kinds of trouble", len(troubles))
	}
	if hint := diskHint(&fs.PathError{Op: "open", Path: "bench", Err: fs.ErrPermission}); !strings.Contains(hint, "permissions of bench") {
		t.Error(hint)
	}
	if hint := diskHint(errors.New("anything else")); hint != "" {
		t.Error(hint)
	}
}

// A journal in which nothing may be written: each command that writes says so.
func TestNoRightToWrite(t *testing.T) {
	if runtime.GOOS == "windows" || os.Getuid() == 0 {
		t.Skip("rights bind nobody here")
	}
	dir := filepath.Join(t.TempDir(), "bench")
	now := func() time.Time { return time.Date(2026, 3, 14, 20, 0, 0, 0, time.UTC) }
	if err := journal.Create(dir, "x", "UTC", now()); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Join(dir, "builds", "lorry"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"records", "photos", "inbox", "."} {
		if err := os.Chmod(filepath.Join(dir, name), 0o555); err != nil {
			t.Fatal(err)
		}
		defer os.Chmod(filepath.Join(dir, name), 0o755)
	}
	for _, args := range [][]string{{"on", "lorry", "clean"}, {"worked", "lorry", "clean", "40 min yesterday"}, {"pause", "lorry", "--why", "paint"}, {"write"},
		{"cards"}, {"cards", "--out", filepath.Join(dir, "a.html")}, {"mistake", "lorry", "seam"}, {"new", filepath.Join(dir, "new")}} {
		var out, errw bytes.Buffer
		if got := run(context.Background(), append([]string{"--journal", dir}, args...), &out, &errw, now); got != exitFailed || !strings.Contains(errw.String(), "hint: give yourself the right to it") {
			t.Errorf("%q: exit %d, %s%s", args, got, out.String(), errw.String())
		}
	}
}
