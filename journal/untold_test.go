package journal

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"rakelight/journal/reason"
)

func TestUntold(t *testing.T) {
	at := func(day string) time.Time { one, _ := time.Parse(time.DateOnly, day); return one.Add(19 * time.Hour) }
	hash := fmt.Sprintf("%064d", 1) // of the first photo
	vague := func(_ int, b *PhotoBody) {
		b.Instant = Instant{At: b.Instant.At, Source: SaidSo, Said: "spring 1998",
			Doubts: reason.Doubts{{Is: reason.SomeDay, First: "1998-03-01", Last: "1998-05-31"}}}
	}
	scan := func(_ int, b *PhotoBody) { b.Instant.Doubts = reason.Doubts{{Is: reason.Scanned}} }
	work := func(known string) WorkBody {
		return WorkBody{Build: "lorry", Stage: "paint", Kind: "paint", Date: "2019-03-20", Minutes: 30, Known: known,
			Start: at("2019-03-20")}
	}
	finish := FinishBody{Build: "lorry", Date: "2019-03-15", At: at("2025-01-01")}
	pause := PauseBody{Build: "lorry", From: at("2019-03-15"), Why: "given away"}
	later := PhotoBody{Hash: "9" + hash[1:], Path: "photos/later", Instant: Instant{At: at("2019-04-02"), Source: "DateTimeOriginal"},
		Tags: Tags{Build: "lorry", Stage: "paint"}}
	for _, c := range []struct {
		name string
		set  func(int, *PhotoBody)
		said []Body
		last string // "" = it is told, or goes on
	}{
		{"long ago", nil, nil, "2019-03-15"},
		{"a photo since", nil, []Body{later}, ""},
		{"dated by a person", vague, nil, "spring 1998"},
		{"a scan tells no day", scan, nil, "no day"},
		{"hours remembered", nil, []Body{work(Remembered)}, "2019-03-15"},
		{"hours measured", nil, []Body{work(Measured)}, ""},
		{"finished", nil, []Body{finish}, ""},
		{"open again", nil, []Body{finish, FinishBody{Build: "lorry", At: at("2025-01-02")}}, ""},
		{"never sorted", nil, nil, ""},
		{"given away", nil, []Body{pause}, ""},
		{"taken up again", nil, []Body{pause, ResumeBody{Build: "lorry", At: at("2025-01-02")}}, ""},
	} {
		records := pastPhotos(t, []string{"2019-03-14 19:00", "2019-03-15 19:00"}, func(i int, b *PhotoBody) {
			if c.set != nil {
				c.set(i, b)
			}
		})
		if c.name != "never sorted" {
			c.said = append(c.said, PastBody{Photos: []string{hash, hash[:63] + "2"}, Set: Tags{Build: "lorry"}})
		}
		for _, b := range c.said {
			r, err := suppose(b, records)
			if err != nil {
				t.Fatal(err)
			}
			records = append(records, r)
		}
		s := Fold(testPlan, records)
		last, ok := s.Untold(s.Build("lorry"))
		want := strings.TrimPrefix(c.last, "no day")
		if ok != (c.last != "") || ok && last.String() != want {
			t.Errorf("%s: %q, %v; want %q", c.name, last, ok, c.last)
		}
	}
}
