// Tests of the order of the fold: what each pass says it must come after is true,
// needed, and all.

package journal

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"rakelight/journal/reason"
)

// foldedIn is the state in that order of passes, nil where the fold gives up.
func foldedIn(in []pass, records []Record) (s *State) {
	defer func() {
		if recover() != nil {
			s = nil
		}
	}()
	return foldIn(in, testPlan, records, photoCache{})
}

func standsAt(in []pass, name string) int {
	return slices.IndexFunc(in, func(p pass) bool { return p.name == name })
}

// histories are records in which each pass has something to do.
func histories(t *testing.T) [][]Record {
	t.Helper()
	said := func(at, number string, says ...Card) PhotoBody {
		p := PhotoBody{Hash: fmt.Sprintf("%064s", number), Path: "photos/" + number, Instant: Instant{At: clock(at), Source: "DateTimeOriginal", Offset: "stated"}}
		for _, c := range says {
			text, err := c.Text()
			if err != nil {
				t.Fatal(err)
			}
			p.Cards = append(p.Cards, CardSeen{Text: text})
		}
		return p
	}
	// An end before its beginning, which is corrected; a count after that end.
	all := [][]Record{history(t, begin("19:00"), end("18:50"), CorrectBody{Session: "d/1", Start: ptr(clock("18:00"))},
		DoneBody{Build: "lorry", Count: 2, At: clock("18:55")})}
	// An end that is corrected.
	all = append(all, history(t, begin("19:00"), end("20:00"), CorrectBody{Session: "d/1", End: ptr(clock("19:30"))}))
	// A whole runner by card, of which a part is counted besides, one opened again,
	// and one repaired.
	all = append(all, history(t, said("19:00", "1", Card{Says: BeginCard, Build: BuildKey("lorry"), Stage: StageKey("clean")}),
		said("19:30", "2", Card{Says: RunnerCard}), said("20:00", "3", Card{Says: EndCard}),
		DoneBody{Build: "lorry", Parts: []PartRef{part("1")}, At: clock("19:20")}, ReopenBody{Build: "lorry", Parts: []PartRef{part("5")}, At: clock("21:00")},
		WorkBody{Build: "lorry", Stage: "repair", Kind: "repair", Start: clock("22:00"), Minutes: 20, Known: Measured, Parts: []PartRef{part("7")}}))
	// A whole runner by card, of which a part is not for use.
	all = append(all, history(t, said("19:00", "1", Card{Says: BeginCard, Build: BuildKey("lorry"), Stage: StageKey("clean")}),
		said("19:30", "2", Card{Says: RunnerCard}), said("20:00", "3", Card{Says: EndCard}),
		CheckedBody{Noted{Build: "lorry", Parts: []PartRef{part("5")}, At: clock("18:00")}, "not-used"}))
	// A photo that a clock moves from one session into another.
	moved := said("19:30", "4")
	moved.Camera, moved.Instant.Wall = Camera{Model: "T-24"}, clock("19:30").Format(time.DateTime)
	moved.Why = map[string]reason.Why{"build": {By: reason.NoSession}}
	all = append(all, history(t, begin("19:00"), end("20:00"), WorkBody{Build: "seaplane", Stage: "clean", Start: clock("17:00"), Minutes: 60, Known: Measured},
		moved, ClockBody{Camera: Camera{Model: "T-24"}, Fast: "2h"}))
	// One that a clock moves into a session of one build, and whose card puts aside
	// another.
	aside := said("19:30", "5", Card{Says: PauseCard, Build: BuildKey("lorry")})
	aside.Camera, aside.Instant.Wall, aside.Tags = moved.Camera, moved.Instant.Wall, Tags{Build: "lorry", Stage: "clean"}
	aside.Why = map[string]reason.Why{"build": {By: reason.InSession}, "stage": {By: reason.InSession}}
	all = append(all, history(t, begin("19:00"), end("20:00"), WorkBody{Build: "seaplane", Stage: "clean", Start: clock("17:00"), Minutes: 60, Known: Measured},
		aside, ClockBody{Camera: Camera{Model: "T-24"}, Fast: "2h"}))
	for seed := range uint64(60) {
		all = append(all, randomRecords(rand.New(rand.NewPCG(seed, 21)), 150))
	}
	return all
}

func TestPassesStandInTheirOrder(t *testing.T) {
	t.Parallel()
	for i, p := range passes {
		if standsAt(passes, p.name) != i {
			t.Errorf("two passes are called %q", p.name)
		}
		for _, before := range p.after {
			if at := standsAt(passes, before); at < 0 || at >= i {
				t.Errorf("%q must come after %q", p.name, before)
			}
		}
	}
	all := histories(t)
	want := make([]*State, len(all))
	for i, records := range all {
		want[i] = foldedIn(passes, records)
	}
	differs := func(in []pass) bool {
		for i, records := range all {
			if !reflect.DeepEqual(foldedIn(in, records), want[i]) {
				return true
			}
		}
		return false
	}
	// Needed: before what it says it comes after, a pass gives another state.
	for i, p := range passes {
		for _, before := range p.after {
			moved := slices.Delete(slices.Clone(passes), i, i+1)
			moved = slices.Insert(moved, standsAt(moved, before), p)
			if !differs(moved) {
				t.Errorf("%q may as well come before %q", p.name, before)
			}
		}
	}
	// All: no order that respects what they say gives another state.
	rng := rand.New(rand.NewPCG(1, 22))
	for range 12 {
		if in := anyOrder(rng); differs(in) {
			var names []string
			for _, p := range in {
				names = append(names, p.name)
			}
			t.Fatalf("another state in the order %q", names)
		}
	}
}

// anyOrder is some order of the passes that respects what they come after.
func anyOrder(rng *rand.Rand) []pass {
	var out []pass
	for len(out) < len(passes) {
		p := passes[rng.IntN(len(passes))]
		ready := standsAt(out, p.name) < 0
		for _, before := range p.after {
			ready = ready && standsAt(out, before) >= 0
		}
		if ready {
			out = append(out, p)
		}
	}
	return out
}
