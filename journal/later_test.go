// Tests of states that are read without their photos.

package journal

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// What a state answers asks State.photos, so that it is answered also where the
// photos were not read; so does what commands at the bench do by themselves.
func TestAnswersAskForPhotos(t *testing.T) {
	own := []string{"fold.go", "ground.go", "index.go", "later.go", "check.go", "burst.go", "series.go",
		"advance_photos.go", "advance_series.go", "advance_splice.go", "advance_tail.go"}
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	entries, err := filepath.Glob("entry/*.go")
	if err != nil {
		t.Fatal(err)
	}
	files = append(files, entries...)
	for _, name := range []string{"bench", "tool", "why"} {
		files = append(files, "../cmd/rakelight/cmd_"+name+".go")
	}
	reads, looked := regexp.MustCompile(`\b(s|l|State|before|after)\.Photos\b`), 0
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") || slices.Contains(own, name) {
			continue
		}
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		looked++
		for i, line := range strings.Split(string(data), "\n") {
			if reads.MatchString(line) {
				t.Errorf("%s:%d reads Photos, which is nil at the bench: %s", name, i+1, strings.TrimSpace(line))
			}
		}
	}
	if looked < 80 {
		t.Errorf("only %d files were looked at", looked)
	}
}
