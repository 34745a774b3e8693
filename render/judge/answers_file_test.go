// Tests of files that are said to hold answers.

package judge

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"rakelight/journal"
)

func TestReadAnswers(t *testing.T) {
	dir := t.TempDir()
	good := Answers{Pack: "7kq3m9x2wd", Sheet: "abcdefgh", Judge: "Mo", Of: 2, Given: []journal.PackAnswer{{Pair: "abcdef", Outcome: "left"}}}
	path := filepath.Join(dir, "answers.txt")
	if err := os.WriteFile(path, []byte(good.Text()), 0o644); err != nil {
		t.Fatal(err)
	}
	if got, err := ReadAnswers(path); err != nil || len(got) != 1 || got[0].Judge != "Mo" {
		t.Errorf("%v, %v", got, err)
	}
	// A terabyte that takes no room on the disk: it is refused, not read.
	large := filepath.Join(dir, "large.txt")
	f, err := os.Create(large)
	if err != nil {
		t.Fatal(err)
	}
	if f.Truncate(1<<40) != nil { // where files have no holes
		if err := f.Truncate(maxText + 1); err != nil {
			t.Fatal(err)
		}
	}
	f.Close()
	refused := []string{dir, large, filepath.Join(dir, "none")}
	if runtime.GOOS != "windows" {
		refused = append(refused, "/dev/zero") // never ends
	}
	for _, name := range refused {
		if got, err := ReadAnswers(name); err == nil {
			t.Errorf("%s: %v", name, got)
		}
	}
}
