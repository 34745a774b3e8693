// Tests that a tick changes one byte of a build.md and nothing else.

package plan

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const ticksText = "\ufeff---\r\ntitle: x\r\n---\r\n\r\n  Words.\r\n## Order of work\r\n- [ ] check every runner\r\n" +
	"\t* [X] wash  \r\n  goes on\r\n- [ ] check every runner\r\n~~~\r\n- [ ] code\r\n~~~\r\n## Photos\r\n" +
	"+ [ ] wash <!-- the sink -->"

func TestSetTick(t *testing.T) {
	for _, c := range []struct {
		item     CheckItem
		done     bool
		old, new string
	}{
		{CheckItem{"Order of work", "check every runner", false}, true, "[ ] check", "[x] check"},
		{CheckItem{"Order of work", "check every runner", false}, false, "", ""},
		{CheckItem{"Order of work", "wash", true}, false, "[X] wash", "[ ] wash"},
		{CheckItem{"Order of work", "wash", true}, true, "", ""},
		{CheckItem{"Photos", "wash <!-- the sink -->", false}, true, "[ ] wash", "[x] wash"},
	} {
		got, err := SetTick([]byte(ticksText), c.item, c.done)
		if want := strings.Replace(ticksText, c.old, c.new, 1); err != nil || string(got) != want {
			t.Errorf("%+v %v: %q, %v", c.item, c.done, got, err)
		}
	}
	twice, err := SetTick([]byte(ticksText), CheckItem{Section: "Order of work", Text: "check every runner"}, true)
	if err == nil {
		twice, err = SetTick(twice, CheckItem{Section: "Order of work", Text: "check every runner"}, true)
	}
	if err != nil || strings.Count(string(twice), "[x] check every runner") != 2 {
		t.Errorf("the second of two alike: %q, %v", twice, err)
	}
	for _, item := range []CheckItem{{Text: "check every runner"}, {Section: "Order of work", Text: "code"}, {}} {
		if got, err := SetTick([]byte(ticksText), item, true); !errors.Is(err, ErrNoTask) || got != nil {
			t.Errorf("%+v: %q, %v", item, got, err)
		}
	}
}

func TestTick(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "builds", "lorry", "build.md")
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(ticksText), 0o640); err != nil {
		t.Fatal(err)
	}
	if err := Tick(dir, "lorry", CheckItem{Section: "Order of work", Text: "wash"}, false); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(file)
	if want := strings.Replace(ticksText, "[X]", "[ ]", 1); err != nil || string(got) != want {
		t.Errorf("%q, %v", got, err)
	}
}
