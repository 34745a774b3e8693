// Tests of corrections, and of what goes when something is taken back.

package journal

import (
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"rakelight/journal/plan"
)

// says writes records one minute apart, as one device would.
type says struct {
	t   *testing.T
	all []Record
}

var historyStart = time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)

// add appends a record and returns its id.
func (h *says) add(body Body) string {
	h.t.Helper()
	r, err := suppose(body, nil)
	if err != nil {
		h.t.Fatal(err)
	}
	r.Dev, r.Seq = "bench", int64(len(h.all)+1)
	r.At = historyStart.Add(time.Duration(r.Seq) * time.Minute)
	h.all = append(h.all, r)
	return r.ID()
}

func (h *says) fold() *State {
	b, problems := plan.ParseBuild("pilot-boat", []byte(ledgerPlan))
	if len(problems) > 0 {
		h.t.Fatal(problems)
	}
	return Fold(Plan{Builds: []*Build{b}}, h.all)
}

func TestCorrectParts(t *testing.T) {
	h := &says{t: t}
	at := historyStart
	s := h.add(BeginBody{Build: "pilot-boat", Stage: "cut", Kind: "cut", Start: at})
	h.add(DoneBody{Session: s, Parts: []PartRef{part("1"), part("2")}, At: at.Add(time.Minute)})
	h.add(DoneBody{Session: s, Count: 4, At: at.Add(2 * time.Minute)})
	h.add(BreakBody{Session: s, Start: at.Add(10 * time.Minute), End: at.Add(20 * time.Minute)})
	h.add(EndBody{Session: s, End: at.Add(time.Hour)})

	two := 2
	h.add(CorrectBody{Session: s, Count: &two, Add: []PartRef{PartRef{Runner: "B", Number: "1", Count: 1}}, Take: []PartRef{part("2")},
		Breaks: &[]Rest{{at.Add(30 * time.Minute), at.Add(45 * time.Minute)}}})
	one := h.fold().Session(s)
	if one.Done() != 4 || one.Bare != 2 || !reflect.DeepEqual(one.Parts, []PartRef{part("1"), PartRef{Runner: "B", Number: "1", Count: 1}}) || one.Net != 45*time.Minute {
		t.Errorf("added and taken away: %+v", one)
	}
	h.add(CorrectBody{Session: s, Parts: &[]PartRef{PartRef{Runner: "B", Number: "2", Count: 1}}})
	if one = h.fold().Session(s); one.Done() != 3 || !reflect.DeepEqual(one.Parts, []PartRef{PartRef{Runner: "B", Number: "2", Count: 1}}) {
		t.Errorf("replaced: %+v", one)
	}
	h.add(CorrectBody{Session: s, Parts: &[]PartRef{}, Count: new(int), Breaks: &[]Rest{}})
	if one = h.fold().Session(s); one.Done() != 0 || !one.Counted || len(one.Tallies) != 0 || one.Net != time.Hour {
		t.Errorf("emptied: %+v", one)
	}
}

// A whole runner said by a card can be corrected too, and does not come back.
func TestCorrectRunnerByCard(t *testing.T) {
	h := &says{t: t}
	card := func(hash string, minute int, c Card) {
		text, err := c.Text()
		if err != nil {
			t.Fatal(err)
		}
		at := historyStart.Add(time.Duration(minute) * time.Minute)
		h.add(PhotoBody{Hash: hash, Path: "photos/" + hash, Camera: Camera{Model: "T"}, Instant: Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: "stated"}, Cards: []CardSeen{{Text: text}}})
	}
	begin := "aaaaaaaaaaaaaaaa0000"
	card(begin, 0, Card{Says: BeginCard, Build: BuildKey("pilot-boat"), Stage: StageKey("cut")})
	card("bbbbbbbbbbbbbbbb0000", 20, Card{Says: RunnerCard, Word: "A"})
	card("cccccccccccccccc0000", 30, Card{Says: EndCard})
	s := cardSession(begin)
	if one := h.fold().Session(s); one.Done() != 3 {
		t.Fatalf("the card: %+v", one)
	}
	h.add(CorrectBody{Session: s, Take: []PartRef{part("3")}})
	if one := h.fold().Session(s); one.Done() != 2 || countOf(one.Parts, part("3")) != 0 {
		t.Errorf("taken away: %+v", one)
	}
	h.add(CorrectBody{Session: s, Parts: &[]PartRef{PartRef{Runner: "B", Number: "1", Count: 1}}})
	if one := h.fold().Session(s); one.Done() != 1 {
		t.Errorf("replaced: %+v", one)
	}
}

// What hung on something that was taken back goes with it without a word, and
// comes back with it.
func TestTakenBackWithAll(t *testing.T) {
	h := &says{t: t}
	at := historyStart
	s := h.add(BeginBody{Build: "pilot-boat", Stage: "cut", Kind: "cut", Start: at})
	h.add(DoneBody{Session: s, Build: "pilot-boat", Parts: []PartRef{part("1")}, Count: 2, At: at})
	h.add(BreakBody{Session: s, Start: at, End: at.Add(time.Minute)})
	h.add(EndBody{Session: s, End: at.Add(time.Hour)})
	h.add(CorrectBody{Session: s, Tools: &[]string{"knife"}})
	h.add(NoteBody{Build: "pilot-boat", Session: s, Text: "blunt"})
	h.add(ReopenBody{Build: "pilot-boat", Parts: []PartRef{part("1")}, At: at.Add(2 * time.Hour)})
	h.add(ReopenBody{Build: "pilot-boat", Session: s, Count: 1, At: at.Add(2 * time.Hour)})
	photo := h.add(PhotoBody{Hash: "aaaaaaaaaaaaaaaa1", Path: "photos/a.jpg", Instant: Instant{At: at}})
	h.add(TagBody{Photo: "aaaaaaaaaaaaaaaa1", Set: Tags{Role: "before"}})
	h.add(MarkBody{Photo: "aaaaaaaaaaaaaaaa1", Criterion: 1, Score: new(int), Rubric: Rubric})
	trial := h.add(TrialBody{What: "glass file", At: at})
	h.add(ObserveBody{Trial: trial, Text: "clogs", At: at})
	whole := h.fold()
	if len(whole.Problems) > 0 || len(whole.Sessions) != 1 || len(whole.Notes) != 1 {
		t.Fatalf("to begin with: %v", whole.Problems)
	}
	var back []string
	for _, id := range []string{s, photo, trial} {
		back = append(back, h.add(RetractBody{Record: id}))
	}
	if gone := h.fold(); len(gone.Problems) > 0 || len(gone.Sessions)+len(gone.Notes)+len(gone.Photos)+len(gone.Marks)+len(gone.Trials) > 0 {
		t.Errorf("taken back: %v, %d sessions, %d notes", gone.Problems, len(gone.Sessions), len(gone.Notes))
	}
	for _, id := range back {
		h.add(RetractBody{Record: id})
	}
	if again := h.fold(); !reflect.DeepEqual(again, whole) {
		t.Error("brought back, it is not as it was")
	}
	// A reference to what never was stays a problem.
	h.add(EndBody{Session: "bench/999", End: at})
	if s := h.fold(); len(s.Problems) != 1 {
		t.Errorf("an end of nothing: %v", s.Problems)
	}
}

// Whatever the history, a session's tallies make up what it counts.
func TestTalliesMakeDone(t *testing.T) {
	for seed := range uint64(300) {
		for _, s := range Fold(testPlan, randomRecords(rand.New(rand.NewPCG(seed, 5)), 80)).Sessions {
			sum := 0
			for _, one := range s.Tallies {
				n := one.Bare
				for _, p := range one.Parts {
					n += p.Count
				}
				if one.Back {
					n = -n
				}
				sum += n
			}
			if sum != s.Done() {
				t.Fatalf("seed %d, session %s: tallies make %d, done is %d: %+v", seed, s.ID, sum, s.Done(), s.Tallies)
			}
		}
	}
}
