// Tests of the remark about hours between two cards without any photo.

package journal

import (
	"strings"
	"testing"
	"time"
)

func TestUnseen(t *testing.T) {
	at := func(hour, min int) time.Time { return time.Date(2026, 3, 14, hour, min, 0, 0, time.UTC) }
	id := "card-0000000000000001"
	for _, c := range []struct {
		name  string
		shots []string
		more  []Body
		unset bool
		want  string
	}{
		{"nothing between", []string{"18:00 begin pilot-boat clean", "22:00 end"}, nil, false, "18:00-22:00"},
		{"a photo between", []string{"18:00 begin pilot-boat clean", "19:50 photo", "21:40 end"}, nil, false, ""},
		{"the longest of two", []string{"17:00 begin pilot-boat clean", "19:10 5", "21:40 end"}, nil, false, "19:10-21:40"},
		{"just as long", []string{"18:00 begin pilot-boat clean", "20:00 end"}, nil, false, ""},
		{"a break was entered", []string{"18:00 begin pilot-boat clean", "22:00 end"}, []Body{BreakBody{Session: id, Start: at(19, 0), End: at(21, 0)}}, false, ""},
		{"a person said so", []string{"18:00 begin pilot-boat clean", "22:00 end"}, []Body{CorrectBody{Session: id, Accept: true}}, false, ""},
		{"the setting", []string{"18:00 begin pilot-boat clean", "22:00 end"}, nil, true, ""},
		{"only estimated", []string{"18:00 begin pilot-boat clean", "18:30 5", "+19:00 photo"}, nil, false, ""},
	} {
		plan := cardPlan
		if c.unset {
			plan.Config.CardUnseen = "4h"
		}
		records := shots(t, c.shots...)
		for i, n := range c.more {
			records = append(records, written(t, int64(i+1), n))
		}
		s := Fold(plan, records)
		got := ""
		if one := s.Sessions[0]; !one.Unseen.Start.IsZero() {
			got = one.Unseen.Start.Format("15:04") + one.Unseen.End.Format("-15:04")
		}
		words := s.SaysUnseen(s.Sessions[0])
		if got != c.want || (words != "") != (c.want != "") || len(s.Problems) > 0 {
			t.Errorf("%s: %s, %q, problems %v; want %s", c.name, got, words, s.Problems, c.want)
		}
		if words != "" && (!strings.Contains(words, "rakelight correct "+id+" --worked TIME") || !strings.Contains(words, "rakelight correct "+id+" --yes")) {
			t.Errorf("%s: no remedy in %q", c.name, words)
		}
	}
}
