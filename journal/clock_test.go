// Tests of clock corrections: what moves, what stays, and that nothing is
// corrected twice or for good.

package journal

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal/reason"
)

func lisbon(t *testing.T) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation("Europe/Lisbon")
	if err != nil {
		t.Fatal(err)
	}
	return zone
}

func moment(t *testing.T, text string) time.Time {
	t.Helper()
	at, err := time.Parse("2006-01-02 15:04:05 -07:00", text)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

func TestCorrectClock(t *testing.T) {
	zone := lisbon(t)
	cam := Camera{Make: "Tarrow", Model: "T-24", Serial: "0042817"}
	fault := func(fast, from, to string) []ClockFault {
		return []ClockFault{{Make: "tarrow ", Model: "T-24", Fast: fast, From: from, To: to}}
	}
	plain := func(at, wall, offset string) Instant {
		return Instant{At: moment(t, at), Wall: wall, Source: "DateTimeOriginal", Offset: offset}
	}
	with := func(in Instant, corrected, doubt string) Instant {
		in.Corrected, in.Doubts = reason.FaultOf(corrected), reason.DoubtsOf(doubt)
		return in
	}
	for _, c := range []struct {
		name   string
		in     Instant
		clocks []ClockFault
		want   string    // At
		said   string    // Corrected
		doubt  reason.Is // among the doubts; "" = none
	}{
		{"fast", plain("2026-03-14 20:35:05 +00:00", "2026:03:14 20:35:05", "journal zone"), fault("1h3m", "", ""), "2026-03-14 19:32:05 +00:00", "1h3m fast", ""},
		{"slow", plain("2026-03-14 20:35:05 +00:00", "2026:03:14 20:35:05", "journal zone"), fault("-20m", "", ""), "2026-03-14 20:55:05 +00:00", "20m slow", ""},
		{"first and last day count", plain("2026-03-14 20:35:05 +00:00", "2026:03:14 20:35:05", "journal zone"), fault("1h", "2026-03-14", "2026-03-14"), "2026-03-14 19:35:05 +00:00", "1h fast", ""},
		{"the day after", plain("2026-03-15 00:05:00 +00:00", "2026:03:15 00:05:00", "journal zone"), fault("1h", "", "2026-03-14"), "2026-03-15 00:05:00 +00:00", "", ""},
		{"the day is the one shown", plain("2026-03-15 00:05:00 +00:00", "2026:03:15 00:05:00", "journal zone"), fault("1h", "2026-03-15", ""), "2026-03-14 23:05:00 +00:00", "1h fast", ""},
		{"replaces what intake took off", with(plain("2026-03-14 19:32:05 +00:00", "2026:03:14 20:35:05", "journal zone"), "1h3m fast", ""), fault("1h", "", ""), "2026-03-14 19:35:05 +00:00", "1h fast", ""},
		{"undoes what intake took off", with(plain("2026-03-14 19:32:05 +00:00", "2026:03:14 20:35:05", "journal zone"), "1h3m fast", ""), nil, "2026-03-14 20:35:05 +00:00", "", ""},
		{"never twice", with(plain("2026-03-14 19:32:05 +00:00", "2026:03:14 20:35:05", "journal zone"), "1h3m fast", ""), fault("1h3m", "", ""), "2026-03-14 19:32:05 +00:00", "1h3m fast", ""},
		{"zero overrules the next", with(plain("2026-03-14 19:32:05 +00:00", "2026:03:14 20:35:05", "journal zone"), "1h3m fast", ""), append(fault("0s", "", ""), fault("1h3m", "", "")...), "2026-03-14 20:35:05 +00:00", "", ""},
		{"over the change to summer time", plain("2026-03-29 02:30:00 +01:00", "2026:03:29 02:30:00", "journal zone"), fault("2h", "", ""), "2026-03-29 00:30:00 +00:00", "2h fast", ""},
		{"out of a skipped hour", with(plain("2026-03-29 02:30:00 +01:00", "2026:03:29 01:30:00", "journal zone"), "", "01:30 was skipped that night: 01:30 (+00:00) or 02:30 (+01:00)"), fault("1h", "", ""), "2026-03-29 00:30:00 +00:00", "1h fast", ""},
		{"into a repeated hour", plain("2026-10-25 02:33:00 +00:00", "2026:10:25 02:33:00", "journal zone"), fault("1h3m", "", ""), "2026-10-25 01:30:00 +01:00", "1h3m fast", reason.Twice},
		{"back out of it", with(plain("2026-10-25 01:30:00 +01:00", "2026:10:25 02:33:00", "journal zone"), "1h3m fast", "the hour came twice that night: 01:30 (+01:00) or 01:30 (+00:00)"), nil, "2026-10-25 02:33:00 +00:00", "", ""},
		{"other doubts stay", with(plain("2026-03-14 20:35:05 +00:00", "2026:03:14 20:35:05", "journal zone"), "", "GPS says x, which cannot be"), fault("1h", "", ""), "2026-03-14 19:35:05 +00:00", "1h fast", reason.OutOfTime},
		{"a stated offset stays", plain("2026-03-29 02:30:00 +09:00", "2026:03:29 02:30:00", "stated"), fault("2h", "", ""), "2026-03-29 00:30:00 +09:00", "2h fast", ""},
		{"another zone than the journal's of today", plain("2026-08-14 20:35:05 +09:00", "2026:08:14 20:35:05", "journal zone"), fault("1h", "", ""), "2026-08-14 19:35:05 +09:00", "1h fast", ""},
		// 63 minutes fast looked like the next zone, three minutes off.
		{"satellites show the zone anew", plain("2026-03-14 19:35:05 +01:00", "2026:03:14 19:35:05", "GPS"), fault("1h3m", "", ""), "2026-03-14 18:32:05 +00:00", "1h3m fast", ""},
		{"fractions stay", plain("2026-03-14 20:35:05 +00:00", "2026-03-14T20:35:05.25", "journal zone"), fault("1h", "", ""), "2026-03-14 19:35:05 +00:00", "1h fast", ""},
		{"a name's digits", plain("2026-03-14 20:35:05 +00:00", "20260314_203505", "journal zone"), fault("1h", "", ""), "2026-03-14 19:35:05 +00:00", "1h fast", ""},
		{"a header in UTC, shown elsewhere", plain("2026-08-14 20:35:05 +01:00", "2026-08-14 19:35:05 UTC", ByStandard), fault("1h", "2026-08-14", ""), "2026-08-14 19:35:05 +01:00", "1h fast", ""},
		{"one of the night before there", plain("2026-08-14 00:35:05 +01:00", "2026-08-13 23:35:05 UTC", ByStandard), fault("1h", "", "2026-08-13"), "2026-08-14 00:35:05 +01:00", "", ""},
		{"satellite time stays", Instant{At: moment(t, "2026-03-14 20:35:05 +00:00"), Wall: "2026:03:14 20:35:05", Source: "GPS", Offset: "GPS"}, fault("1h", "", ""), "2026-03-14 20:35:05 +00:00", "", ""},
		{"file time stays", Instant{At: moment(t, "2026-03-14 20:35:05 +00:00"), Wall: "2026-03-14 20:35:05 +00:00", Source: "file time", Doubts: reason.Doubts{{Is: reason.FileTime}}}, fault("1h", "", ""), "2026-03-14 20:35:05 +00:00", "", reason.FileTime},
		{"a day without an hour stays", with(plain("2026-03-14 12:00:00 +00:00", "2026:03:14", "journal zone"), "", "only the day is known"), fault("1h", "", ""), "2026-03-14 12:00:00 +00:00", "", reason.DayOnly},
		{"another serial", plain("2026-03-14 20:35:05 +00:00", "2026:03:14 20:35:05", "journal zone"), []ClockFault{{Model: "T-24", Serial: "7", Fast: "1h"}}, "2026-03-14 20:35:05 +00:00", "", ""},
		{"words of a later version", with(plain("2026-03-14 19:35:05 +00:00", "2026:03:14 20:35:05", "journal zone"), "drifting", ""), fault("1h", "", ""), "2026-03-14 19:35:05 +00:00", "drifting", ""},
	} {
		got := correctClock(c.in, cam, c.clocks, zone)
		if s := got.At.Format("2006-01-02 15:04:05 -07:00"); s != c.want || got.Corrected != reason.FaultOf(c.said) || c.doubt != "" && !got.Doubts.Has(c.doubt) || c.doubt == "" && got.Doubts.Any() {
			t.Errorf("%s: %s, corrected %v, doubts %v", c.name, s, got.Corrected, got.Doubts)
		}
		if again := correctClock(got, cam, c.clocks, zone); !reflect.DeepEqual(again, got) {
			t.Errorf("%s: a second time it moves: %+v", c.name, again)
		}
	}
}

// clockBench is a journal with two sessions on one evening and a camera an
// hour and three minutes fast.
func clockBench(t *testing.T) (*Journal, func(n int, wall string, tags Tags, why map[string]reason.Why) *Photo) {
	t.Helper()
	j, _ := bench(t)
	for _, w := range []struct {
		stage, start string
		minutes      float64
	}{{"clean", "2026-03-14 19:10:00 +00:00", 50}, {"paint", "2026-03-14 20:10:00 +00:00", 60}} {
		if _, err := j.Append(WorkBody{Build: "pilot-boat", Stage: w.stage, Kind: w.stage, Date: "2026-03-14", Start: moment(t, w.start), Minutes: w.minutes, Known: Measured}); err != nil {
			t.Fatal(err)
		}
	}
	return j, func(n int, wall string, tags Tags, why map[string]reason.Why) *Photo {
		t.Helper()
		hash := fmt.Sprintf("%064d", n)
		body := PhotoBody{Hash: hash, Path: "photos/" + hash, Camera: Camera{Make: "Tarrow", Model: "T-24"}, Tags: tags, Why: why,
			Instant: Instant{At: moment(t, wall+" +00:00"), Wall: wall, Source: "DateTimeOriginal", Offset: "journal zone"}}
		if _, err := j.Append(body); err != nil {
			t.Fatal(err)
		}
		return photo(j, n)
	}
}

func photo(j *Journal, n int) *Photo { return j.State.FindPhoto(fmt.Sprintf("%064d", n))[0] }

// Tags that a session gave follow the clock; those that a person, a folder or
// a keyword gave do not. Taken back, all is as it was.
func TestClockMovesTags(t *testing.T) {
	j, take := clockBench(t)
	byPaint := "taken during the session on pilot-boat/paint, 2026-03-14 20:10"
	take(1, "2026-03-14 20:35:05", Tags{Build: "pilot-boat", Stage: "paint"}, reason.WhysOf(map[string]string{"build": byPaint, "stage": byPaint}))
	take(2, "2026-03-14 20:36:00", Tags{Build: "pilot-boat", Stage: "paint", Role: "after"}, reason.WhysOf(map[string]string{"build": "it lay in the folder pilot-boat", "stage": "it lay in the folder paint"}))
	take(3, "2026-03-14 20:37:00", Tags{Build: "pilot-boat", Stage: "paint"}, reason.WhysOf(map[string]string{"build": byPaint, "stage": byPaint}))
	take(4, "2026-03-14 20:38:00", Tags{Build: "pilot-boat", Stage: "paint"}, reason.WhysOf(map[string]string{"build": "it lay in the folder pilot-boat", "stage": byPaint}))
	take(5, "2026-03-15 00:10:00", Tags{}, reason.WhysOf(map[string]string{"build": "to sort: no folder or keyword names it, and no session lies within 2 h"}))
	if _, err := j.Append(TagBody{Photo: fmt.Sprintf("%064d", 3), Set: Tags{Build: "pilot-boat", Stage: "cut"}}); err != nil {
		t.Fatal(err)
	}
	before := j.State
	body := ClockBody{Camera: Camera{Make: "Tarrow", Model: "T-24"}, Fast: "1h3m"}
	supposed, err := j.Look().Suppose(body)
	if err != nil {
		t.Fatal(err)
	}
	if j.State != before {
		t.Error("supposing changed the state")
	}
	rec, err := j.Append(body)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(supposed.Photos, j.State.Photos) {
		t.Error("what was supposed is not what came")
	}
	for n, want := range map[int]string{1: "clean", 2: "paint", 3: "cut", 4: "clean", 5: "paint"} {
		if p := photo(j, n); p.Tags.Stage != want || p.Instant.Corrected.Fast != 63*time.Minute {
			t.Errorf("photo %d: %+v, %v", n, p.Tags, p.Why)
		}
	}
	if p := photo(j, 5); !p.Guess || p.Why["build"].By != reason.NearSession || p.Why["build"].Away != reason.Length(117*time.Minute) || p.Why["build"].Before {
		t.Errorf("%+v", p)
	}
	moves := Moves(before, j.State)
	if gained, changed, lost := Gains(moves); len(moves) != 5 || gained != 1 || changed != 2 || lost != 0 {
		t.Errorf("%d moves, %d gained, %d changed, %d lost", len(moves), gained, changed, lost)
	}
	if _, err := j.Append(RetractBody{Record: rec.ID()}); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(j.State.Photos, before.Photos) {
		t.Error("taken back, the photos are not as they were")
	}
}

// A folder that named a stage while a session told the build keeps its word in
// whatever build the session tells after the move.
func TestClockFolderStage(t *testing.T) {
	s := &State{Zone: time.UTC, Builds: testPlan.Builds, Sessions: []*Session{
		{ID: "1", Build: "lorry", Stage: "paint", Kind: "paint", Known: Measured, Start: moment(t, "2026-03-14 10:00:00 +00:00"), End: moment(t, "2026-03-14 11:00:00 +00:00")},
		{ID: "2", Build: "seaplane", Stage: "clean", Kind: "clean", Known: Measured, Start: moment(t, "2026-03-14 14:00:00 +00:00"), End: moment(t, "2026-03-14 15:00:00 +00:00")},
	}}
	at := Instant{At: moment(t, "2026-03-14 14:30:00 +00:00"), Source: "DateTimeOriginal"}
	tags, why, _ := s.Tag(WordsOf("paint", nil), at)
	if tags.Build != "seaplane" || tags.Stage != "clean" {
		t.Fatalf("%+v", tags) // the seaplane has no painting
	}
	p := &Photo{Folder: "paint", Tags: tags, Why: why, Instant: at}
	p.Instant.At = moment(t, "2026-03-14 10:30:00 +00:00")
	s.tagAgain(p)
	if p.Tags.Build != "lorry" || p.Tags.Stage != "paint" || p.Why["stage"] != (reason.Why{By: reason.Folder, Name: "paint"}) {
		t.Errorf("%+v, %v", p.Tags, p.Why)
	}
}

// A photo that came under a clock record, and one that came before, are the
// same in the end, whatever is taken back afterwards.
func TestClockLaterPhotos(t *testing.T) {
	j, take := clockBench(t)
	raw := Instant{At: moment(t, "2026-03-14 20:35:05 +00:00"), Source: "DateTimeOriginal"}
	tags, why, _ := j.State.Tag(nil, raw)
	take(1, "2026-03-14 20:35:05", tags, why)
	rec, err := j.Append(ClockBody{Camera: Camera{Model: "T-24"}, Fast: "1h3m"})
	if err != nil {
		t.Fatal(err)
	}
	// Intake asks State.Clocks and records what it believes then.
	fast := ClockOf(j.State.Clocks, Camera{Make: "Tarrow", Model: "T-24"}, "2026-03-14")
	shown := moment(t, "2026-03-14 20:35:05 +00:00")
	in := Instant{At: shown.Add(-fast), Wall: "2026:03:14 20:35:05", Source: "DateTimeOriginal", Offset: "journal zone", Corrected: reason.Fault{Fast: fast}}
	tags, why, guess := j.State.Tag(nil, in)
	if _, err = j.Append(PhotoBody{Hash: fmt.Sprintf("%064d", 2), Path: "photos/2", Camera: Camera{Make: "Tarrow", Model: "T-24"}, Instant: in, Tags: tags, Why: why, Guess: guess}); err != nil {
		t.Fatal(err)
	}
	agree := func(stage, clock string) {
		t.Helper()
		a, b := photo(j, 1), photo(j, 2)
		if !a.Instant.At.Equal(b.Instant.At) || !reflect.DeepEqual(a.Tags, b.Tags) || a.Tags.Stage != stage || a.Instant.At.Format("15:04") != clock {
			t.Errorf("%v %+v\n%v %+v\nwant %s at %s", a.Instant, a.Tags, b.Instant, b.Tags, stage, clock)
		}
	}
	agree("clean", "19:32")
	second, err := j.Append(ClockBody{Camera: Camera{Model: "T-24"}, Fast: "5m", From: "2026-03-14"})
	if err != nil {
		t.Fatal(err)
	}
	agree("paint", "20:30")
	for _, step := range []struct{ id, stage, clock string }{{second.ID(), "clean", "19:32"}, {rec.ID(), "paint", "20:35"}} {
		if _, err := j.Append(RetractBody{Record: step.id}); err != nil {
			t.Fatal(err)
		}
		agree(step.stage, step.clock)
	}
	// The settings speak where no record does, and only as long as they stand.
	toml := Plan{Zone: time.UTC, Builds: j.State.Builds, Config: Config{Clocks: []ClockFault{{Model: "T-24", Fast: "1h3m"}, {Model: "T-24", Fast: "x"}, {Fast: "1h", From: "soon"}}}}
	if s := Fold(toml, j.records()); s.Photos[0].Instant.At.Format("15:04") != "19:32" || len(s.Clocks) != 1 {
		t.Errorf("by the settings: %+v", s.Photos[0].Instant)
	}
	for _, bad := range []ClockBody{{Fast: "1h"}, {Camera: Camera{Model: "T"}, Fast: "soon"}, {Camera: Camera{Model: "T"}, Fast: "1h", From: "x"}, {Camera: Camera{Model: "T"}, Fast: "1h", From: "2026-03-02", To: "2026-03-01"}, {Camera: Camera{Model: "T"}, Fast: "600000h"}} {
		if bad.Check() == nil {
			t.Errorf("%+v was believed", bad)
		}
	}
}

// Whatever the history, clock records that are all taken back leave no trace.
func TestClocksTakenBack(t *testing.T) {
	moved := 0
	for seed := range uint64(320) {
		rng := rand.New(rand.NewPCG(seed, 11))
		var without, with []Record
		ids := map[string]bool{}
		for _, r := range randomRecords(rng, 200) {
			if ids[r.ID()] || r.Kind == "retract" {
				continue // two records of one name would be taken back together
			}
			ids[r.ID()] = true
			with = append(with, r)
			if r.Kind != "clock" {
				without = append(without, r)
			}
		}
		want := Fold(testPlan, without)
		moved += len(Moves(want, Fold(testPlan, with)))
		back := slices.Clone(with)
		for i, r := range with {
			if r.Kind == "clock" {
				body, err := json.Marshal(RetractBody{Record: r.ID()})
				if err != nil {
					t.Fatal(err)
				}
				back = append(back, Record{At: r.At, Dev: "bench-back", Seq: int64(i + 1), Kind: "retract", Body: body})
			}
		}
		if got := Fold(testPlan, back); !reflect.DeepEqual(got.Photos, want.Photos) {
			t.Fatalf("seed %d: a clock record left a trace", seed)
		}
	}
	if moved < 50 {
		t.Errorf("the clocks moved %d photos only: the test says little", moved)
	}
}

func TestCameras(t *testing.T) {
	s := &State{Photos: []*Photo{
		{Camera: Camera{Make: "Tarrow", Model: "T-24", Serial: "1"}}, {Camera: Camera{Make: "Tarrow", Model: "T-24", Serial: "2"}},
		{Camera: Camera{Make: "Osprel", Model: "OSPREL K 2"}}, {},
	}}
	all := s.Cameras()
	if len(all) != 3 || all[0].Name != "osprel-k-2" || all[1].Name == all[2].Name || !strings.HasPrefix(all[1].Name, "tarrow-t-24-") {
		t.Fatalf("%+v", all)
	}
	for name, want := range map[string]string{"osprel": "osprel-k-2", "K 2": "osprel-k-2", all[2].Name: all[2].Name, "tarrow-t-24": "", "": "", "x": ""} {
		c, err := s.ResolveCamera(name)
		if c.Name != want || (err == nil) != (want != "") {
			t.Errorf("%q is %q, %v", name, c.Name, err)
		}
	}
}
