// Tests of the probe that proves the events.

package inbox

import (
	"os"
	"path/filepath"
	"testing"
)

// A link in the inbox must not lead the probe to a file elsewhere.
func TestProbeTouchesNothingOfOthers(t *testing.T) {
	j := bench(t)
	mine := filepath.Join(j.Dir, "mine.txt")
	if err := os.WriteFile(mine, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(j.InboxDir(), ".rakelight-probe")
	if err := os.Symlink(mine, link); err != nil {
		t.Skip("no links here:", err)
	}
	w := &watching{in: New(j, Options{})}
	w.open()
	w.close()
	if got, err := os.ReadFile(mine); err != nil || string(got) != "mine" {
		t.Errorf("it holds %q now, %v", got, err)
	}
	if _, err := os.Lstat(link); err != nil {
		t.Error("the link was removed:", err)
	}
	left, err := os.ReadDir(j.InboxDir())
	if err != nil || len(left) != 1 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}
