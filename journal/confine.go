// This file confines the paths that records name. Records come from other
// devices and copies, so a path is believed only where this program itself
// would have put the file.

package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// ErrOutside is said of a path that leads elsewhere.
var ErrOutside = errors.New("leads out of where such files lie; it is not read, shown or written")

// confined looks that a name with slashes lies below a folder of the journal on
// every system: no way up, no drive, whatever parts the names.
func confined(name, folder string) error {
	if !strings.HasPrefix(name, folder+"/") || !fs.ValidPath(name) ||
		!fs.ValidPath(strings.ReplaceAll(name, `\`, "/")) {
		return fmt.Errorf("its path %q %w", name, ErrOutside)
	}
	return nil
}

// confinedPhoto is confined for files in photos/, whose names this program makes
// itself: they hold nothing that means something to a system.
func confinedPhoto(name string) error {
	odd := func(r rune) bool { return r < ' ' || r == 0x7f || r == ':' || r == '\\' }
	if strings.ContainsFunc(name, odd) {
		return fmt.Errorf("its path %q %w", name, ErrOutside)
	}
	return confined(name, "photos")
}

// Original is where a kept file of that name lies, below photos/. It is an error
// when the name, or a link on the way, leads out of that folder; photos/ itself
// may be a link to another disk.
func (j *Journal) Original(name string) (string, error) {
	if err := confinedPhoto(name); err != nil {
		return "", err
	}
	if !filepath.IsLocal(filepath.FromSlash(name)) { // names that are devices on Windows
		return "", fmt.Errorf("its path %q %w", name, ErrOutside)
	}
	links := false
	for at := name; at != "photos"; at = path.Dir(at) {
		info, err := os.Lstat(j.Path(at))
		links = links || err == nil && info.Mode()&fs.ModeSymlink != 0
	}
	if !links {
		return j.Path(name), nil
	}
	root, err := filepath.EvalSymlinks(j.Path("photos"))
	if err != nil {
		return "", err
	}
	real, err := filepath.EvalSymlinks(j.Path(name))
	if err != nil { // also a link to what is not there: nothing may be written through it
		return "", fmt.Errorf("its path %q %w: %v", name, ErrOutside, err)
	}
	if rel, err := filepath.Rel(root, real); err != nil || !filepath.IsLocal(rel) {
		return "", fmt.Errorf("its path %q %w", name, ErrOutside)
	}
	return real, nil
}
