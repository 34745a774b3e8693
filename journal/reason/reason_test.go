// Tests of reasons as records hold them, in codes and in sentences.

package reason

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"
	"time"
)

// The form in which records hold reasons never changes.
func TestForm(t *testing.T) {
	session := &Session{ID: "bench-3f2a/1", Build: "lorry", Stage: "clean", Began: "2026-03-14 19:00"}
	for _, c := range []struct {
		value any
		want  string
	}{
		{Why{By: Folder, Name: "clean"}, `{"by":"folder","name":"clean"}`},
		{Why{By: InSession, Session: session}, `{"by":"session","session":{"id":"bench-3f2a/1","build":"lorry","stage":"clean","began":"2026-03-14 19:00"}}`},
		{Why{By: NearSession, Session: &Session{Build: "lorry", Began: "2026-03-14 19:00"}, Away: Length(12 * time.Minute), Before: true},
			`{"by":"near","session":{"build":"lorry","began":"2026-03-14 19:00"},"away":"12m0s","before":true}`},
		{Why{By: OneOfSessions, Of: 2}, `{"by":"one-of","of":2}`},
		{Doubts{{Is: DayOnly}, {Is: Twice, At: "01:30+01:00", Or: "01:30+00:00"}}, `[{"is":"day"},{"is":"twice","at":"01:30+01:00","or":"01:30+00:00"}]`},
		{Doubts{{Is: OutOfTime, Source: "GPS", Text: "2099"}}, `[{"is":"odd-year","source":"GPS","text":"2099"}]`},
		{Fault{Fast: 63 * time.Minute}, `"1h3m0s"`},
		{Fault{Fast: -20 * time.Minute}, `"-20m0s"`},
		{Fault{Text: "drifting"}, `"drifting"`},
		{Link{By: RawOfShot}, `{"by":"raw"}`},
	} {
		data, err := json.Marshal(c.value)
		if err != nil || string(data) != c.want {
			t.Errorf("%+v is written %s, %v; want %s", c.value, data, err, c.want)
		}
		again := reflect.New(reflect.TypeOf(c.value))
		if err := json.Unmarshal(data, again.Interface()); err != nil || !reflect.DeepEqual(again.Elem().Interface(), c.value) {
			t.Errorf("%s reads %+v, %v", data, again.Elem(), err)
		}
	}
}

// A reason that several tags have is written once, and each has its own again.
func TestSameReasonOnce(t *testing.T) {
	session := &Session{ID: "d/1", Build: "lorry", Stage: "clean", Began: "2026-03-14 19:00"}
	by := Why{By: InSession, Session: session}
	whys := Whys{"build": by, "kit": {By: Folder, Name: "kit 2"}, "stage": by, "role": {By: "of-later"}}
	data, err := json.Marshal(whys)
	if want := `"stage":{"by":"same","name":"build"}`; err != nil || !strings.Contains(string(data), want) || strings.Count(string(data), "d/1") != 1 {
		t.Fatalf("%s, %v", data, err)
	}
	var again Whys
	if err := json.Unmarshal(data, &again); err != nil || !reflect.DeepEqual(again.Each(), whys) {
		t.Errorf("%+v, %v", again, err)
	}
	// A ring says nothing.
	ring := Whys{"build": {By: same, Name: "stage"}, "stage": {By: same, Name: "build"}, "kit": {By: same, Name: "x"}}
	if left := ring.Each(); len(left) != 0 {
		t.Errorf("a ring leaves %+v", left)
	}
}

// What a later version writes is kept: its code, and what it says in fields that
// are known.
func TestLaterCodesAreKept(t *testing.T) {
	const line = `{"by":"moon","name":"full","of":3}`
	var w Why
	if err := json.Unmarshal([]byte(line), &w); err != nil || w.BySession() || !w.Any() {
		t.Fatalf("%+v, %v", w, err)
	}
	if data, err := json.Marshal(w); err != nil || string(data) != line {
		t.Errorf("%s, %v", data, err)
	}
	var d Doubts
	if err := json.Unmarshal([]byte(`[{"is":"moon","wall":"19:30","deg":4}]`), &d); err != nil || !d.Any() || d.Has(DayOnly, Twice) || len(d.Without(Twice, Skipped)) != 1 {
		t.Errorf("%+v, %v", d, err)
	}
}

func TestDoubtsAreNotShared(t *testing.T) {
	d := make(Doubts, 1, 4)
	d[0].Is = DayOnly
	a, b := d.With(Doubt{Is: Ahead}), d.With(Doubt{Is: NeverSet})
	if a[1].Is != Ahead || b[1].Is != NeverSet || len(d) != 1 || len(a.Without(DayOnly)) != 1 || a[0].Is != DayOnly {
		t.Errorf("%v, %v, %v", a, b, d)
	}
}

// Dates are written by anybody: what stands in them is not taken for more doubts.
func TestDoubtsOfOddText(t *testing.T) {
	got := DoubtsOf("only the day is known; GPS says a; b says c, which cannot be; who knows; file time, uncertain")
	want := Doubts{{Is: DayOnly}, {Is: OutOfTime, Source: "GPS", Text: "a; b says c"}, {Is: Free, Text: "who knows"}, {Is: FileTime}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%+v", got)
	}
}

// FuzzSentences reads any sentence as some reason that records can hold, and that
// reads the same again.
func FuzzSentences(f *testing.F) {
	for sentence := range fixed {
		f.Add(sentence)
	}
	for sentence := range plain {
		f.Add(sentence + joint + sentence)
	}
	for sentence := range kin {
		f.Add(sentence)
	}
	for _, sentence := range []string{
		"", inFolder + "clean", hasKeyword + "x", during + "lorry/clean, 2026-03-14 19:00", during, guess + "5 min from the session clean on lorry",
		guess + "1 h 57 min before the session on lorry/clean, 2026-03-14 19:00", guess + "3 sessions ran at that time, this one (lorry, x) began nearest",
		noneNear + "2 h", noneNear + "under 1 min", cardAt + "11:10", notKept + "full)", "1h3m fast", "20m0s slow", "a lot",
		"the hour came twice that night: 01:30 (+01:00) or 01:30 (+00:00); 01:30 was skipped that night: 00:30 (+00:00) or 01:30 (+01:00)",
		"GPS says 2099, which cannot be; DateTime says 0000, which is no date", "some day from 2019-03-01 to 2019-05-31",
		"a smaller copy, 640 × 480 pixels without any camera data, of 1f3a9c04 (a.jpg, 4 × 3)",
	} {
		f.Add(sentence)
	}
	f.Fuzz(func(t *testing.T, sentence string) {
		sentence = strings.ToValidUTF8(sentence, "") // records hold nothing else
		for _, value := range []any{WhyOf(sentence), DoubtsOf(sentence), FaultOf(sentence), LinkOf(sentence)} {
			data, err := json.Marshal(value)
			if err != nil {
				t.Fatalf("%+v: %v", value, err)
			}
			again := reflect.New(reflect.TypeOf(value))
			if err := json.Unmarshal(data, again.Interface()); err != nil || !reflect.DeepEqual(again.Elem().Interface(), value) {
				t.Fatalf("%+v is written %s and reads %+v, %v", value, data, again.Elem(), err)
			}
		}
		if WhyOf(sentence).Any() != (sentence != "") || DoubtsOf(sentence).Any() != (sentence != "") {
			t.Fatalf("%q is no reason", sentence)
		}
		bySession := strings.HasPrefix(sentence, during) || strings.HasPrefix(sentence, guess)
		if WhyOf(sentence).BySession() != bySession {
			t.Fatalf("%q came from a session: %v", sentence, bySession)
		}
	})
}

// FuzzCodes reads any bytes as reasons without falling over, and what it reads it
// writes so that it reads the same.
func FuzzCodes(f *testing.F) {
	f.Add([]byte(`{"by":"near","session":{"build":"x","began":""},"away":"12m","before":true,"of":1}`))
	f.Add([]byte(`[{"is":"twice","at":"01:30+01:00","or":"x"}]`))
	f.Add([]byte(`"1h3m"`))
	f.Add([]byte(`{"by":"copy","width":-1,"of":""}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, value := range []any{new(Why), new(Doubts), new(Fault), new(Link)} {
			if json.Unmarshal(data, value) != nil {
				continue
			}
			once, err := json.Marshal(value)
			if err != nil {
				t.Fatal(err)
			}
			again := reflect.New(reflect.TypeOf(value).Elem()).Interface()
			if err := json.Unmarshal(once, again); err != nil {
				t.Fatal(err)
			}
			if twice, err := json.Marshal(again); err != nil || string(twice) != string(once) {
				t.Fatalf("%s is written %s, then %s, %v", data, once, twice, err)
			}
		}
	})
}
