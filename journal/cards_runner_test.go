// Tests of whole runners said by card: which parts are left for the card to
// count, and what they tell of the session.

package journal

import (
	"encoding/json"
	"testing"
	"time"
)

var runnerPlan = Plan{Zone: time.UTC, Builds: []*Build{{
	ID: "lightship", Stages: []Stage{{ID: "clean", Title: "Clean", Kind: "clean"}},
	Kits: []Kit{
		{Runners: []Runner{{Letter: "A", Parts: numberRange(1, 6), Class: "flat"}, {Letter: "B", Parts: numberRange(1, 5), Class: "small"}}},
		{Runners: []Runner{{Letter: "A", Parts: numberRange(1, 4), Class: "small"}}},
	},
}}}

// TestRunnerByCard holds that a runner's card counts only what nobody named, in
// whatever order the records came, and gives the session the class and the kit
// of its parts where they have one.
func TestRunnerByCard(t *testing.T) {
	runner := func(kit int, letter string) string {
		text, err := Card{Says: RunnerCard, Kit: kit, Word: letter}.Text()
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	class := "curved"
	for _, c := range []struct {
		name  string
		texts []string
		more  func(id string) []Body
		done  int
		class string
		kit   int
	}{
		{"a runner", []string{runner(1, "B")}, nil, 5, "small", 1},
		{"of the second kit", []string{runner(2, "A")}, nil, 4, "small", 2},
		{"two of one kit and two classes", []string{runner(1, "A"), runner(1, "B")}, nil, 11, "", 1},
		{"two of two kits and one class", []string{runner(1, "B"), runner(2, "A")}, nil, 9, "small", 0},
		{"some of it was named before", []string{runner(1, "A")}, func(id string) []Body {
			return []Body{DoneBody{Session: id, Parts: []PartRef{{Kit: 1, Runner: "A", Number: "1", Count: 1}, {Kit: 1, Runner: "A", Number: "2", Count: 1}}}}
		}, 6, "flat", 1},
		{"beside a bare count", []string{runner(1, "A")}, func(id string) []Body {
			return []Body{DoneBody{Session: id, Count: 3}}
		}, 9, "", 0},
		{"a person said the class", []string{runner(1, "A")}, func(id string) []Body {
			return []Body{CorrectBody{Session: id, Class: &class}}
		}, 6, "curved", 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			records := shots(t, "19:00 begin lightship clean", "20:00 end")
			var b PhotoBody
			if err := json.Unmarshal(records[1].Body, &b); err != nil {
				t.Fatal(err)
			}
			for _, text := range c.texts {
				b.Cards = append(b.Cards, CardSeen{Text: text})
			}
			records[1].Body, _ = json.Marshal(b)
			if c.more != nil {
				for i, n := range c.more("card-0000000000000001") {
					body, err := json.Marshal(n)
					if err != nil {
						t.Fatal(err)
					}
					records = append(records, Record{At: records[0].At.Add(time.Hour), Dev: "bench-2", Seq: int64(i + 1), Kind: n.RecordKind(), Body: body})
				}
			}
			s := Fold(runnerPlan, records)
			if len(s.Problems) > 0 || len(s.Sessions) != 1 {
				t.Fatalf("%d sessions, problems %v", len(s.Sessions), s.Problems)
			}
			one := s.Sessions[0]
			if one.Done() != c.done || one.Class != c.class || one.Kit != c.kit {
				t.Errorf("%d done, class %q, kit %d; want %d, %q, %d (cards %+v)", one.Done(), one.Class, one.Kit, c.done, c.class, c.kit, s.Cards)
			}
		})
	}
}
