// Tests of the question about a camera's clock: what is tapped is what the journal
// proposes.

package bench

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/plan"
)

// clocks is a look at a journal of six evenings with two cameras: photos of one lie in
// the sessions, those of the other three hours later.
func clocks(t *testing.T) journal.Look {
	t.Helper()
	var records []journal.Record
	add := func(at time.Time, body journal.Body) string {
		data, err := json.Marshal(body)
		if err != nil {
			t.Fatal(err)
		}
		records = append(records, journal.Record{At: at, Dev: "bench", Seq: int64(len(records) + 1),
			Kind: body.RecordKind(), Body: data})
		return records[len(records)-1].ID()
	}
	var last time.Time
	for day := range 6 {
		start := time.Date(2026, 3, 2+day, 18, 10*day, 0, 0, time.UTC)
		id := add(start, journal.BeginBody{Build: "lorry", Stage: "cut", Kind: "cut", Start: start})
		last = start.Add(2 * time.Hour)
		for i := range 8 {
			for _, name := range []string{"T-24", "Pocket"} {
				at := start.Add(time.Duration(14*i+7) * time.Minute)
				if name == "Pocket" {
					at = at.Add(3 * time.Hour)
				}
				hash := fmt.Sprintf("%062d%02d", len(records), i)
				add(last, journal.PhotoBody{Hash: hash, Path: "photos/" + hash + ".jpg", Name: hash,
					Camera: journal.Camera{Make: "Tarrow", Model: name}, Instant: journal.Instant{At: at,
						Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: journal.StatedOffset}})
			}
		}
		add(last, journal.EndBody{Session: id, End: last})
	}
	p := plan.Plan{}
	p.Zone = time.UTC
	return journal.LookAt(p, records, last.Add(time.Hour))
}

func TestClockIsAskedAbout(t *testing.T) {
	look := clocks(t)
	all := clockAsks(look.State)
	if proposed := look.ProposeClocks(); len(proposed) != 1 || len(all) != 1 ||
		!strings.Contains(all[0].Words, journal.Spell(proposed[0].Fast)+" fast") || len(all[0].Answers) != 1 {
		t.Fatalf("asked: %+v; cameras %+v", all, look.Cameras())
	}
	request, err := sayings["clock"](said{valuesOf(all[0].Answers[0].Fields)}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	want := look.ProposeClocks()[0]
	if got, ok := request.(entry.Clock); !ok || got.Fast != want.Fast || got.From != want.From || got.To != want.To {
		t.Errorf("the answer says %+v, proposed is %+v", request, want)
	}
	if _, err := request.Plan(look); err != nil {
		t.Error(err)
	}
}

func valuesOf(fields map[string]string) map[string][]string {
	all := map[string][]string{}
	for name, value := range fields {
		all[name] = []string{value}
	}
	return all
}

func TestWordsOfWhatWasSaid(t *testing.T) {
	look := clocks(t)
	look.Builds = []*journal.Build{{ID: "lorry", Title: "Field-kitchen lorry",
		Stages: []journal.Stage{{ID: "cut", Title: "Cut", Kind: "cut"}}}}
	a := &asking{Look: look}
	part := []journal.PartRef{{Runner: "A", Number: "2", Count: 1}}
	on := journal.Noted{Build: "lorry", Parts: part}
	score := 3
	for _, c := range []struct {
		body journal.Body
		want string
	}{
		{journal.DoneBody{Session: look.Sessions[0].ID, Parts: part}, "Field-kitchen lorry, Cut off: A2 done"},
		{journal.DoneBody{Session: look.Sessions[0].ID, Count: 5}, "Field-kitchen lorry, Cut off: 5 parts done"},
		{journal.ReopenBody{Build: "lorry", Stage: "cut", Parts: part}, "Field-kitchen lorry, Cut off: A2 to do again"},
		{journal.CheckedBody{Noted: on, State: "missing"}, "Field-kitchen lorry: A2 missing"},
		{journal.HoldBody{Noted: on, Is: "curing", Of: "glue"}, "Field-kitchen lorry: A2 glue curing"},
		{journal.PrepBody{Noted: on, Is: "pegs", Angle: "45°"}, "Field-kitchen lorry: A2 pegs cut at 45°"},
		{journal.MixBody{Build: "lorry", Name: "red"}, "Field-kitchen lorry: mix: red"},
		{journal.MistakeBody{Build: "lorry", Kind: "gouge", Parts: part}, "Field-kitchen lorry: A2 mistake: gouge"},
		{journal.MarkBody{Photo: "x", Score: &score}, "A photo marked"},
		{journal.NoteBody{Build: "gone", Text: strings.Repeat("é", 200)}, "Gone: note: " + strings.Repeat("é", 148) + "…"},
	} {
		data, err := json.Marshal(c.body)
		if err != nil {
			t.Fatal(err)
		}
		got := a.wordsOf(journal.Said{Record: journal.Record{Dev: "other", Seq: 1, Kind: c.body.RecordKind(), Body: data}})
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.body.RecordKind(), got, c.want)
		}
	}
}
