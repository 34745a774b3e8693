// This file clears what a crash left of writing by way of temporary files.

package record

import (
	"errors"
	"io/fs"
	"path/filepath"
	"regexp"
	"time"

	"rakelight/journal/disk"
)

// leftoverPattern is how every temporary file of ours is named, as
// os.CreateTemp reads it. They lie in the folder of the file they become.
const leftoverPattern = ".rakelight-*.tmp"

var leftoverName = regexp.MustCompile(`^\.rakelight-[0-9]+\.tmp$`)

func isLeftover(name string) bool { return leftoverName.MatchString(name) }

// leftoverAge is how long nobody has written to a temporary file before it
// counts as left behind. A process that lives writes to it all the time, also
// over a slow network.
const leftoverAge = time.Hour

// Leftovers are the temporary files of ours in a folder and in those below it,
// as paths, that nobody has written to for an hour. A folder that is not there
// has none.
func Leftovers(dir string) ([]string, error) {
	var left []string
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) {
			return nil // it went meanwhile
		}
		if err != nil || !d.Type().IsRegular() || !isLeftover(d.Name()) {
			return err
		}
		info, err := d.Info()
		if err == nil && time.Since(info.ModTime()) > leftoverAge {
			left = append(left, path)
		}
		return nil
	})
	return left, err
}

// ClearLeftovers removes what Leftovers finds in a folder and below. What cannot
// be removed stays, and Leftovers goes on to tell of it.
func ClearLeftovers(dir string) {
	left, _ := Leftovers(dir)
	for _, path := range left {
		disk.Remove(path)
	}
}
