// Tests of what single records do to sessions and photos.

package journal

import (
	"encoding/json"
	"fmt"
	"reflect"
	"testing"
	"time"

	"rakelight/journal/plan"
	"rakelight/journal/reason"
)

// history makes records of one device, a minute apart, numbered from 1.
func history(t *testing.T, add ...Body) []Record {
	t.Helper()
	var all []Record
	for i, n := range add {
		body, err := json.Marshal(n)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, Record{At: clock("19:00").Add(time.Duration(i) * time.Minute), Dev: "d", Seq: int64(i + 1), Kind: n.RecordKind(), Body: body})
	}
	return all
}

// clock is a time on 14 March 2026; "33:00" is nine the next morning.
func clock(text string) time.Time {
	var h, m int
	if _, err := fmt.Sscanf(text, "%d:%d", &h, &m); err != nil {
		panic(err)
	}
	return time.Date(2026, 3, 14, h, m, 0, 0, time.UTC)
}

func begin(from string) Body {
	return BeginBody{Build: "lorry", Stage: "clean", Kind: "clean", Start: clock(from)}
}

func end(at string) Body { return EndBody{Session: "d/1", End: clock(at)} }

func part(n string) PartRef { return PartRef{Runner: "A", Number: n, Count: 1} }

func ptr[T any](v T) *T { return &v }

func TestSessionsFold(t *testing.T) {
	rest := func(from, to string) Body {
		b := BreakBody{Session: "d/1", Start: clock(from)}
		if to != "" {
			b.End = clock(to)
		}
		return b
	}
	correct := func(b CorrectBody) Body { b.Session = "d/1"; return b }
	for _, c := range []struct {
		name     string
		records  []Body
		net      time.Duration
		done     int
		doubt    string // part of it
		open     bool
		problems int
	}{
		{"begin and end", []Body{begin("19:00"), end("20:00")}, time.Hour, 0, "", false, 0},
		{"running", []Body{begin("19:00")}, 0, 0, "", true, 0},
		{"end before begin is written", []Body{hologram{1}, EndBody{Session: "d/3", End: clock("20:00")}, begin("19:00")}, time.Hour, 0, "", false, 0},
		{"end too early", []Body{begin("19:00"), end("18:00")}, 0, 0, "", true, 1},
		{"overlapping breaks", []Body{begin("19:00"), rest("19:10", "19:30"), rest("19:20", "19:40"), end("20:00")}, 30 * time.Minute, 0, "", false, 0},
		{"break over both ends", []Body{begin("19:00"), rest("18:50", "19:10"), rest("19:50", "20:30"), end("20:00")}, 40 * time.Minute, 0, "", false, 0},
		{"break outside", []Body{begin("19:00"), rest("21:00", "22:00"), end("20:00")}, time.Hour, 0, "", false, 0},
		{"break still running at the end", []Body{begin("19:00"), rest("19:45", ""), end("20:00")}, 45 * time.Minute, 0, "", false, 0},
		{"break ended later", []Body{begin("19:00"), rest("19:10", ""), rest("19:10", "19:30"), end("20:00")}, 40 * time.Minute, 0, "", false, 0},
		{"break backward", []Body{begin("19:00"), rest("19:30", "19:10"), end("20:00")}, time.Hour, 0, "", false, 1},
		{"the whole session a break", []Body{begin("19:00"), rest("18:00", "21:00"), end("20:00")}, 0, 0, "", false, 0},
		{"overnight", []Body{begin("21:40"), end("33:00")}, 11*time.Hour + 20*time.Minute, 0, "ran-long", false, 0},
		{"long by day", []Body{begin("09:00"), end("15:00")}, 6 * time.Hour, 0, "ran-long", false, 0},
		{"long and vouched for", []Body{begin("09:00"), end("15:00"), correct(CorrectBody{Accept: true})}, 6 * time.Hour, 0, "", false, 0},
		{"long with breaks", []Body{begin("09:00"), rest("12:00", "14:00"), end("15:00")}, 4 * time.Hour, 0, "", false, 0},
		{"end corrected", []Body{begin("19:00"), end("33:00"), correct(CorrectBody{End: ptr(clock("20:30"))})}, 90 * time.Minute, 0, "", false, 0},
		{"minutes corrected", []Body{begin("19:00"), rest("19:10", "19:20"), end("33:00"), correct(CorrectBody{Minutes: ptr(25.0)})}, 25 * time.Minute, 0, "", false, 0},
		{"minutes, then an end", []Body{begin("19:00"), end("33:00"), correct(CorrectBody{Minutes: ptr(25.0)}), correct(CorrectBody{End: ptr(clock("20:00"))})}, time.Hour, 0, "", false, 0},
		{"running, minutes said", []Body{begin("19:00"), correct(CorrectBody{Minutes: ptr(25.0)})}, 25 * time.Minute, 0, "", false, 0},
		{"corrected to nonsense", []Body{begin("19:00"), end("20:00"), correct(CorrectBody{End: ptr(clock("18:00"))}), correct(CorrectBody{Minutes: ptr(-1.0)}), correct(CorrectBody{Count: ptr(-1)})}, time.Hour, 0, "", false, 3},
		{"counted", []Body{begin("19:00"), DoneBody{Session: "d/1", Parts: []PartRef{part("1"), {Runner: "A", Number: "2"}}, Count: 3}, end("20:00")}, time.Hour, 5, "", false, 0},
		{"counted, no session named", []Body{begin("19:00"), end("20:00"), DoneBody{Build: "lorry", Stage: "clean", Count: 3, At: clock("19:30")}}, time.Hour, 3, "", false, 0},
		{"counted at another time", []Body{begin("19:00"), end("20:00"), DoneBody{Build: "lorry", Count: 3, At: clock("20:30")}}, time.Hour, 0, "", false, 1},
		{"counted at a time corrected later", []Body{begin("19:00"), end("20:00"), DoneBody{Build: "lorry", Count: 3, At: clock("20:30")}, correct(CorrectBody{End: ptr(clock("21:00"))})}, 2 * time.Hour, 3, "", false, 0},
		{"counted on another stage", []Body{begin("19:00"), end("20:00"), DoneBody{Build: "lorry", Stage: "paint", Count: 3, At: clock("19:30")}}, time.Hour, 0, "", false, 1},
		{"a count below zero", []Body{begin("19:00"), DoneBody{Session: "d/1", Count: -3}, end("20:00")}, time.Hour, 0, "", false, 1},
		{"reopened", []Body{begin("19:00"), DoneBody{Session: "d/1", Parts: []PartRef{part("1"), part("2")}}, end("20:00"), ReopenBody{Build: "lorry", Parts: []PartRef{part("2")}, At: clock("21:00")}}, time.Hour, 1, "", false, 0},
		{"reopened twice", []Body{begin("19:00"), DoneBody{Session: "d/1", Parts: []PartRef{part("1"), part("2")}}, end("20:00"), ReopenBody{Build: "lorry", Parts: []PartRef{part("2")}, At: clock("21:00")}, ReopenBody{Build: "lorry", Parts: []PartRef{part("2"), part("1")}, At: clock("21:00")}}, time.Hour, 0, "", false, 1},
		{"reopened, but never done", []Body{begin("19:00"), DoneBody{Session: "d/1", Parts: []PartRef{part("1")}}, end("20:00"), ReopenBody{Build: "lorry", Parts: []PartRef{part("2")}, At: clock("21:00")}}, time.Hour, 1, "", false, 1},
		{"reopened by count", []Body{begin("19:00"), DoneBody{Session: "d/1", Count: 4}, end("20:00"), ReopenBody{Build: "lorry", Session: "d/1", Parts: []PartRef{part("9")}, Count: 2, At: clock("21:00")}}, time.Hour, 1, "", false, 0},
		{"reopened too many", []Body{begin("19:00"), DoneBody{Session: "d/1", Count: 4}, end("20:00"), ReopenBody{Build: "lorry", Session: "d/1", Count: 5}}, time.Hour, 4, "", false, 1},
		{"remembered", []Body{WorkBody{Build: "lorry", Stage: "clean", Date: "1998", Minutes: 600, Known: Remembered, Count: 7}}, 10 * time.Hour, 7, "", false, 0},
		{"remembered, start corrected", []Body{WorkBody{Build: "lorry", Stage: "clean", Date: "2026-03-01", Minutes: 40}, correct(CorrectBody{Start: ptr(clock("10:00"))})}, 40 * time.Minute, 0, "", false, 0},
	} {
		s := Fold(testPlan, history(t, c.records...))
		if len(s.Problems) != c.problems || len(s.Sessions) != 1 {
			t.Errorf("%s: %d sessions, problems %+v; want 1 and %d", c.name, len(s.Sessions), s.Problems, c.problems)
			continue
		}
		one := s.Sessions[0]
		if one.Net != c.net || one.Done() != c.done || one.Open != c.open || string(one.Doubt.Is) != c.doubt || one.Doubt.Any() && (one.Doubt.Ran != c.net || one.Doubt.Overnight != (c.name == "overnight")) || one.Kind != "clean" {
			t.Errorf("%s: net %v, %d done, doubt %v, open %v, kind %q; want %v, %d, %q, %v", c.name, one.Net, one.Done(), one.Doubt, one.Open, one.Kind, c.net, c.done, c.doubt, c.open)
		}
		if !one.Open && one.End.Before(one.Start) {
			t.Errorf("%s: it ends %v, before it begins %v", c.name, one.End, one.Start)
		}
		if got := len(s.Work("lorry")); (got == 1) != (!c.open && c.doubt == "") {
			t.Errorf("%s: %d sessions go to the metrics", c.name, got)
		}
	}
}

// Work that says nothing usable is a problem and no session.
func TestWorkRefused(t *testing.T) {
	for _, b := range []WorkBody{{Build: "lorry", Minutes: 5}, {Date: "yesterday", Minutes: 5}, {Date: "2026", Minutes: -5}, {Date: "2026", Minutes: 1e12}, {Date: "2026", Count: -1}} {
		if s := Fold(testPlan, history(t, b)); len(s.Sessions) != 0 || len(s.Problems) != 1 {
			t.Errorf("%+v: %d sessions, problems %v", b, len(s.Sessions), s.Problems)
		}
	}
}

// A retraction counts by what it names, not by its clock.
func TestRetractionsOfSlowClock(t *testing.T) {
	records := history(t, begin("19:00"), RetractBody{Record: "d/1"})
	slow := history(t, RetractBody{Record: "d/2"})[0]
	slow.Dev, slow.At = "slow", slow.At.Add(-24*time.Hour)
	if s := Fold(testPlan, records); len(s.Sessions) != 0 {
		t.Error("the session was taken back, and is there")
	}
	if s := Fold(testPlan, append(records, slow)); len(s.Sessions) != 1 {
		t.Error("the retraction was taken back by a device whose clock is behind, and still counts")
	}
	ring := history(t, RetractBody{Record: "d/2"}, RetractBody{Record: "d/1"})
	if s := Fold(testPlan, ring); len(s.Sessions) != 0 {
		t.Error("a ring of retractions made a session")
	}
}

// Two records under one id are both kept, and told.
func TestTwins(t *testing.T) {
	records := append(history(t, begin("19:00")), history(t, begin("21:00"))...)
	s := Fold(testPlan, records)
	if len(s.Sessions) != 2 || s.Sessions[0].ID == s.Sessions[1].ID || len(s.Problems) != 1 {
		t.Errorf("%d sessions, problems %+v; want two of different names and one problem", len(s.Sessions), s.Problems)
	}
}

// Of two devices that took in one photo, the first names the file; what the
// second knows better is added.
func TestPhotoOnTwoDevices(t *testing.T) {
	photo := func(path string, tags Tags, guess bool, why string) Body {
		return PhotoBody{Hash: "aa", Path: path, Tags: tags, Guess: guess, Why: reason.WhysOf(map[string]string{"build": why, "stage": why, "role": why})}
	}
	s := Fold(testPlan, history(t,
		photo("photos/1.jpg", Tags{Build: "lorry", Stage: "clean", View: "top"}, true, "nearest session"),
		photo("photos/2.jpg", Tags{Build: "seaplane", Stage: "base", Role: "after", View: "left"}, false, "folder")))
	want := Tags{Build: "seaplane", Stage: "base", Role: "after", View: "top"}
	if len(s.Photos) != 1 {
		t.Fatalf("%d photos", len(s.Photos))
	}
	p := s.Photos[0]
	if p.Path != "photos/1.jpg" || !reflect.DeepEqual(p.Tags, want) || p.Guess || p.Why["stage"].Name != "folder" || p.Why["role"].Name != "folder" {
		t.Errorf("%+v; want the first path and tags %+v", p, want)
	}
	if p.Kind != "base" {
		t.Errorf("kind %q of a stage the build lacks and that is a kind; want base", p.Kind)
	}
}

// A stage means nothing in another build.
func TestTagOtherBuild(t *testing.T) {
	photo := PhotoBody{Hash: "aa", Path: "photos/1.jpg", Tags: Tags{Build: "lorry", Stage: "wheels", Kit: 2, Role: "after"}}
	for _, c := range []struct {
		tag  TagBody
		want Tags
	}{
		{TagBody{Set: Tags{Build: "seaplane"}}, Tags{Build: "seaplane", Role: "after"}},
		{TagBody{Set: Tags{Build: "seaplane", Stage: "clean"}}, Tags{Build: "seaplane", Stage: "clean", Role: "after"}},
		{TagBody{Set: Tags{Build: "lorry"}}, Tags{Build: "lorry", Stage: "wheels", Kit: 2, Role: "after"}},
		{TagBody{Clear: []string{"build", "role"}}, Tags{}},
	} {
		c.tag.Photo = "aa"
		s := Fold(testPlan, history(t, photo, c.tag))
		if got := s.Photos[0]; !reflect.DeepEqual(got.Tags, c.want) || got.Kind == "wheels" {
			t.Errorf("%+v: tags %+v, want %+v", c.tag, got.Tags, c.want)
		}
	}
}

func TestOverdue(t *testing.T) {
	s := &Session{Start: clock("19:00"), Open: true}
	if s.Overdue(clock("23:59"), plan.DefaultLongest) || !s.Overdue(clock("24:01"), plan.DefaultLongest) {
		t.Error("a timer is overdue after 5 h, and not before")
	}
	s.Open = false
	if s.Overdue(clock("33:00"), plan.DefaultLongest) {
		t.Error("an ended session is never overdue")
	}
}

func BenchmarkAppend(b *testing.B) {
	dir := b.TempDir() + "/j"
	if err := Create(dir, "x", "UTC", clock("19:00")); err != nil {
		b.Fatal(err)
	}
	j, err := Open(dir)
	if err != nil {
		b.Fatal(err)
	}
	var many []Body
	for i := range 5000 {
		many = append(many, PhotoBody{Hash: fmt.Sprintf("%064x", i), Path: fmt.Sprintf("photos/%d.jpg", i), Instant: Instant{At: clock("19:00")}, Tags: Tags{Build: "lorry"}, Why: reason.WhysOf(map[string]string{"build": "folder"})})
	}
	if _, err := j.AppendAll(many); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := j.Append(ResumeBody{Build: "lorry"}); err != nil {
			b.Fatal(err)
		}
	}
}
