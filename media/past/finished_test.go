package past

import (
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// Only where all that is known says that a build was finished long ago is it said so, and
// it is taken back as what is said of old pictures.
func TestFinishSaysWhatOldPicturesSay(t *testing.T) {
	day := func(s string) time.Time { at, _ := time.Parse(time.DateOnly, s); return at.Add(19 * time.Hour) }
	a, b := strings.Repeat("a1", 32), strings.Repeat("b2", 32)
	for _, c := range []struct {
		name, finished, other string // days of its pictures
		session               bool
		now, want             string
	}{
		{"long ago", "2021-04-02", "2021-03-14", false, "2026-03-14", "2021-04-02"},
		{"sixty days ago", "2021-04-02", "2021-03-14", false, "2021-06-01", "2021-04-02"},
		{"of late", "2021-04-02", "2021-03-14", false, "2021-05-31", ""},
		{"gone on with", "2021-04-02", "2021-04-10", false, "2026-03-14", ""},
		{"a session", "2021-04-02", "2021-03-14", true, "2026-03-14", ""},
		{"no such picture", "", "2021-03-14", false, "2026-03-14", ""},
	} {
		j := newJournal(t)
		photo := func(hash, at, role string) {
			if at == "" {
				return
			}
			if _, err := j.Append(journal.PhotoBody{Hash: hash, Path: "photos/" + hash, Format: "jpeg",
				Instant: journal.Instant{At: day(at), Source: "DateTimeOriginal"},
				Tags:    journal.Tags{Build: "pilot-boat", Role: role}}); err != nil {
				t.Fatal(err)
			}
		}
		photo(a, c.finished, "finished")
		photo(b, c.other, "progress")
		if c.session {
			if _, err := j.Append(journal.WorkBody{Build: "pilot-boat", Stage: "clean", Kind: "clean", Date: "2021-03-20", Minutes: 30,
				Known: journal.Remembered}); err != nil {
				t.Fatal(err)
			}
		}
		said, err := Finish(j, []string{a, b}, day(c.now))
		got := j.State.Build("pilot-boat").Finished
		if err != nil || got != c.want || len(said) != len(c.want)/len(time.DateOnly) {
			t.Errorf("%s: finished %q, want %q; %v, %v", c.name, got, c.want, said, err)
		}
		if c.want == "" {
			continue
		}
		if u, err := Undo(j); err != nil || u.Open != "pilot-boat" || j.State.Build("pilot-boat").Finished != "" {
			t.Errorf("%s: %+v, %v", c.name, u, err)
		}
	}
	j := newJournal(t)
	if said, err := Finish(j, []string{a}, day("2026-03-14")); err != nil || len(said) > 0 {
		t.Errorf("of no pictures: %v, %v", said, err)
	}
}
