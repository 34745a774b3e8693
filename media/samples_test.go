// Where the real camera pictures for the tests are: in the sources of the
// second reader, which the module cache holds.

package media

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// samples returns the paths of real camera pictures, or skips the test where
// the sources are not to be had.
func samples(t testing.TB) []string {
	t.Helper()
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/rwcarlsen/goexif").Output()
	if err != nil {
		t.Skipf("the sample pictures are not here: %v", err)
	}
	dir := filepath.Join(strings.TrimSpace(string(out)), "exif", "samples")
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Skipf("the sample pictures are not here: %v", err)
	}
	var paths []string
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".jpg") {
			paths = append(paths, filepath.Join(dir, e.Name()))
		}
	}
	return paths
}

// faultOf is the fault of a *BrokenError, -1 for any other error and for none.
func faultOf(err error) Fault {
	var broken *BrokenError
	if errors.As(err, &broken) {
		return broken.Fault
	}
	return -1
}
