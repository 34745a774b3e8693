// What is remembered in the person's folder for settings, outside of all journals:
// the journal used last, and the start that runs.

package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/gofrs/flock"

	"rakelight/journal"
)

// settingsEnv names the folder for settings; where it is not set nothing is
// remembered.
const settingsEnv = "RAKELIGHT_SETTINGS"

const (
	lastUsed  = "last-journal" // its path
	startLock = "start.lock"   // held by the start that runs
	startAt   = "start-at"     // the address at which it serves
)

// setting is a file of the folder for settings, "" = there is none.
func setting(name string) string {
	dir := os.Getenv(settingsEnv)
	if dir == "" {
		return ""
	}
	return filepath.Join(dir, name)
}

// readSetting is what a setting says; "" where nothing is remembered.
func readSetting(name string) (string, error) {
	path := setting(name)
	if path == "" {
		return "", nil
	}
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	return strings.TrimSpace(string(text)), err
}

// remember notes the journal used last. The demo is none of a person's own. Where
// nothing can be noted, the next start asks.
func remember(dir string) {
	full, err := filepath.Abs(dir)
	path := setting(lastUsed)
	if err != nil || path == "" || isDemo(full) {
		return
	}
	if was, err := readSetting(lastUsed); err == nil && was == full {
		return
	}
	_ = journal.WriteFile(path, []byte(full+"\n"))
}

// onlyStart takes the right to be the start that runs. Where another one is, at is
// the address it serves at. Where nothing can be remembered, each is on its own.
func onlyStart() (end func(), at string, err error) {
	path := setting(startLock)
	if path == "" || os.MkdirAll(filepath.Dir(path), 0o755) != nil {
		return func() {}, "", nil
	}
	lock := flock.New(path)
	got, err := lock.TryLock()
	if err != nil {
		return func() {}, "", nil // a file system without locks
	}
	if !got {
		at, err := readSetting(startAt)
		return nil, at, err
	}
	return func() { _ = os.Remove(setting(startAt)); _ = lock.Unlock() }, "", nil
}

// noteStart notes where the start that runs serves.
func noteStart(address string) {
	if path := setting(startAt); path != "" {
		_ = journal.WriteFile(path, []byte(address+"\n")) // without it a second start serves, too
	}
}
