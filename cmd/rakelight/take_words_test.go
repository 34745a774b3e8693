// Tests of what take says of files that were left where they are.

package main

import (
	"errors"
	"fmt"
	"io/fs"
	"testing"

	"rakelight/media/inbox"
)

// The hint is of what happened: a file that may not be read is not damaged.
func TestHintOfWhatWasLeft(t *testing.T) {
	const damaged = "copy a damaged one from the camera again; move what is no photo out of the inbox"
	const denied = "give yourself the right to read the file in its permissions, then rakelight take"
	no, cut := inbox.Outcome{Why: "it may not be read", Denied: true}, inbox.Outcome{Why: "it is cut off"}
	full := inbox.Outcome{Why: "it could not be kept", Err: &fs.PathError{Op: "write", Path: "photos", Err: troubles[0].codes[0]}}
	room := fmt.Sprintf(hintFull, "photos")
	for want, left := range map[string][]inbox.Outcome{damaged: {cut}, denied: {no, no}, damaged + "; " + denied: {cut, no}, room: {full, full}, room + "; " + damaged: {full, cut}} {
		var told *setAsideError
		if err := aside(inbox.Summary{Left: left}); !errors.As(err, &told) || told.hint != want {
			t.Errorf("%v: %v, want %q", left, told, want)
		}
	}
}
