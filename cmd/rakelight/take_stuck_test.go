package main

import (
	"strings"
	"testing"

	"rakelight/media/inbox"
)

// Kept photos whose copies cannot be removed are summed up by folder and reason,
// and count as left.
func TestStuckCopies(t *testing.T) {
	sum := inbox.Summary{Stuck: []inbox.Outcome{
		{Path: "inbox/card/a.jpg", Stuck: "permission denied"}, {Path: "inbox/one.jpg", Stuck: "it is in use"},
		{Path: "inbox/card/b.jpg", Stuck: "permission denied"},
	}}
	var out, errs strings.Builder
	(&app{out: &out, err: &errs}).tell(sum)
	want := "rakelight: inbox/card: 2 files are kept, but their copies here could not be removed (permission denied)\n" +
		"rakelight: inbox/one.jpg: it is kept, but this copy could not be removed (it is in use)\n"
	if errs.String() != want {
		t.Errorf("told\n%s", errs.String())
	}
	if err := aside(sum); err == nil || !strings.HasPrefix(err.Error(), "3 files left") {
		t.Errorf("%v", err)
	}
	if err := aside(inbox.Summary{Passed: []inbox.Outcome{{Status: inbox.Waiting}}}); err != nil {
		t.Errorf("a file that is still being written counts as left: %v", err)
	}
}
