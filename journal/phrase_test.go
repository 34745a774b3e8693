// Tests of remembered work as people type it.

package journal

import (
	"testing"
	"time"
)

func TestParseWorked(t *testing.T) {
	now := time.Date(2026, 11, 25, 20, 0, 0, 0, time.UTC) // a Wednesday
	for _, c := range []struct {
		text    string
		minutes float64
		date    string
	}{
		{"about 40 min yesterday evening", 40, "2026-11-24"},
		{"40m", 40, "2026-11-25"},
		{"1h20 2026-03-14", 80, "2026-03-14"},
		{"1 h 20 min today", 80, "2026-11-25"},
		{"1,5 hours on sunday", 90, "2026-11-22"},
		{"2 h wednesday", 120, "2026-11-18"},
		{"6 h spring 1998", 360, "1998"},
		{"90 minutes 2021-07", 90, "2021-07"},
		{"25 min 3 days ago", 25, "2026-11-22"},
	} {
		got, err := ParseWorked(c.text, now)
		if err != nil || got.Minutes != c.minutes || got.Date != c.date || got.Words != c.text {
			t.Errorf("ParseWorked(%q) = %+v, %v; want %v min on %s", c.text, got, err, c.minutes, c.date)
		}
	}
	for _, bad := range []string{"", "yesterday", "0 min", "30 h", "40 min tomorrow", "40 min 2027-01-01", "40 min 2026-02-31", "40 min today yesterday", "forty min"} {
		if got, err := ParseWorked(bad, now); err == nil || got != (Worked{}) {
			t.Errorf("ParseWorked(%q) = %+v, %v; want an empty value and an error", bad, got, err)
		}
	}
}
