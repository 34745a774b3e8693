// A picture whose reader is busy is as good as before.

package inbox

import (
	"strings"
	"testing"
	"time"

	"rakelight/media"
)

func TestBusyReaderIsWaitedFor(t *testing.T) {
	start := time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)
	for _, inside := range []bool{true, false} {
		d := Dropped{Shown: "inbox/a.jpg", Inside: inside}
		o := d.refused(&media.BusyError{Want: media.Reader, Kind: "jpeg"})
		if o.Status != Waiting || !strings.Contains(o.Why, "JPEG") || !strings.Contains(o.Why, map[bool]string{true: "left in the inbox", false: "left untouched"}[inside]) {
			t.Errorf("%+v", o)
		}
		f := found{path: "inbox/a.jpg", size: 1}
		s := newSettler(0, 0, 0)
		s.look([]found{f}, start)
		if s.ended(f, *o, start); len(s.look([]found{f}, start)) != 1 {
			t.Error("it is not tried again")
		}
	}
}
