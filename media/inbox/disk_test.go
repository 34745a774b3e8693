// Tests of a disk that fails while a photo is kept.

package inbox

import (
	"errors"
	"io/fs"
	"os"
	"testing"
)

// What the disk said comes back as it is, so that the person can be told what to
// do about it.
func TestFailureOfTheDiskIsTold(t *testing.T) {
	j := bench(t)
	// No folder can be made where files lie.
	if err := errors.Join(os.Remove(j.Path("photos")), os.WriteFile(j.Path("photos"), []byte("in the way"), 0o644)); err != nil {
		t.Fatal(err)
	}
	drop(t, j, "a.jpg", shot(t, 1))
	sum, err := New(j, Options{}).TakeAll(t.Context(), nil)
	if err != nil || len(sum.Left) != 1 {
		t.Fatalf("%+v, %v", sum, err)
	}
	var at *fs.PathError
	if !errors.As(sum.Left[0].Err, &at) {
		t.Errorf("%+v", sum.Left[0])
	}
}
