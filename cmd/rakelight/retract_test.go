package main

import (
	"regexp"
	"strings"
	"testing"
)

// What is said of many photos at once is taken back at once, by the command that is
// printed, and that again.
func TestManyTagsAreTakenBackAtOnce(t *testing.T) {
	t.Parallel()
	d := newDesk(t)
	var names []string
	for _, at := range []string{"2026-03-14 19:00", "2026-03-14 19:10", "2026-03-14 19:20"} {
		names = append(names, d.photo(at, "", nil).Short())
	}
	stages := func() (all string) {
		d.open()
		for _, p := range d.j.State.Photos {
			all += p.Tags.Stage + " "
		}
		return all
	}
	command := regexp.MustCompile(`rakelight retract \S+/\d+\.\.\d+`)
	_, said := d.types("rakelight tag " + strings.Join(names, " ") + " pilot-boat paint")
	if stages() != "paint paint paint " || command.FindString(said) == "" {
		t.Fatal(said)
	}
	for _, want := range []string{"clean clean clean ", "paint paint paint "} {
		var code int
		if code, said = d.types(command.FindString(said)); code != exitDone || stages() != want {
			t.Fatalf("exit %d: %s: %s", code, said, stages())
		}
	}
	if code, said := d.types("rakelight retract bench-0000/3..9"); code == exitDone || !strings.Contains(said, "bench-0000/") {
		t.Errorf("exit %d: %s", code, said)
	}
}
