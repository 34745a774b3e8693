// Tests of the bench book.

package journal

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"rakelight/journal/plan"
)

// benchBook is a history of the bench book on one build.
type benchBook struct {
	says
	plan Plan
}

const bookPlan = "---\nrunners:\n  - {letter: A, parts: 12, not-used: \"7\", missing: \"9\", class: flat}\n  - {letter: B, parts: 4}\n" +
	"stages: [inspect, cut, dry-fit, assemble, paint]\n---\n"

func newBook(t *testing.T) *benchBook {
	b, problems := plan.ParseBuild("pilot-boat", []byte(bookPlan))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return &benchBook{says{t: t}, Plan{Zone: time.UTC, Builds: []*Build{b}, Config: Config{Curing: map[string]string{"filler": "24h"}}}}
}

func (h *benchBook) fold() *State { return Fold(h.plan, h.all) }

// of is what an entry is about: parts of runner A, some minutes after the beginning.
func of(minutes int, numbers ...string) Noted {
	n := Noted{Build: "pilot-boat", At: historyStart.Add(time.Duration(minutes) * time.Minute)}
	for _, one := range numbers {
		n.Parts = append(n.Parts, part(one))
	}
	return n
}

// insteadOf is an entry that corrects another.
func (n Noted) insteadOf(record string) Noted {
	n.Instead = record
	return n
}

// worked is a session on a stage in which parts were done.
func (h *benchBook) worked(stage string, minutes int, numbers ...string) string {
	return h.add(WorkBody{Build: "pilot-boat", Stage: stage, Kind: stage, Date: "2026-03-14", Start: of(minutes).At, Minutes: 10,
		Known: Measured, Parts: of(0, numbers...).Parts})
}

func lacksOf(s *State) string { return Lacks(s.Lacking("pilot-boat")) }

// What was said last of a part counts, by its moment; a correction counts in the place
// of what it corrects, and when that is taken back the earlier one counts again.
func TestRunnerCheck(t *testing.T) {
	h := newBook(t)
	if got := lacksOf(h.fold()); got != "A9 missing" {
		t.Errorf("by build.md: %q", got)
	}
	h.add(CheckedBody{of(0, "1", "2", "3", "9"), "seen"})
	if got := lacksOf(h.fold()); got != "" {
		t.Errorf("all were seen: %q", got)
	}
	two := h.add(CheckedBody{of(5, "2", "3"), "damaged"})
	h.add(CheckedBody{of(1, "2"), "missing"}) // said later of an earlier moment
	h.add(CheckedBody{of(9, "3"), "asked"})
	if got := lacksOf(h.fold()); got != "A2 damaged; A3 replacement asked for" {
		t.Errorf("lacking: %q", got)
	}
	right := h.add(CheckedBody{of(5, "4").insteadOf(two), "damaged"})
	s := h.fold()
	if got := lacksOf(s); got != "A2 missing; A3 replacement asked for; A4 damaged" {
		t.Errorf("corrected: %q", got)
	}
	if c := s.Checks[2]; c.Record != two || c.Replaced != right || c.Counts() {
		t.Errorf("what was corrected stays readable: %+v", c)
	}
	typed := of(20, "1") // a time that is typed has no seconds
	h.add(CheckedBody{Noted{Build: typed.Build, Parts: typed.Parts, At: typed.At.Add(40 * time.Second)}, "missing"})
	h.add(CheckedBody{typed, "come"})
	back := h.add(RetractBody{Record: right})
	if got := lacksOf(h.fold()); got != "A2 damaged; A3 replacement asked for" {
		t.Errorf("the correction taken back: %q", got)
	}
	h.add(RetractBody{Record: back})
	h.add(CheckedBody{of(20, "2", "3", "4"), "come"})
	if s := h.fold(); lacksOf(s) != "" || len(s.Problems) > 0 {
		t.Errorf("all has come: %q, %v", lacksOf(s), s.Problems)
	}
}

// Of two corrections of one entry the later record counts, and it alone.
func TestCorrectedTwice(t *testing.T) {
	h := newBook(t)
	first := h.add(PrepBody{Noted: of(0, "1"), Is: "pegs"})
	h.add(PrepBody{Noted: of(0, "2").insteadOf(first), Is: "pegs"})
	h.add(PrepBody{Noted: of(0, "3").insteadOf(first), Is: "pegs"})
	got := h.fold().PrepsOf("pilot-boat")
	if len(got) != 1 || got[0].On() != "A3" {
		t.Errorf("%+v", got)
	}
	h.add(PrepBody{Noted: of(0, "4").insteadOf("nobody/1"), Is: "pegs"})
	h.add(PrepBody{Noted: of(0, "5").insteadOf("bench/5"), Is: "pegs"}) // itself
	if s := h.fold(); len(s.Problems) != 2 || len(s.PrepsOf("pilot-boat")) != 1 {
		t.Errorf("%v, %+v", s.Problems, s.Preps)
	}
}

// Parts that the runner check found not to be for use count as build.md's do: in no
// total, in no count of a whole runner, and nobody names them by mistake.
func TestNotUsedByTheRunnerCheck(t *testing.T) {
	h := newBook(t)
	before := h.fold().Build("pilot-boat")
	no := h.add(CheckedBody{of(0, "4", "7"), "not-used"})
	s := h.fold()
	b := s.Build("pilot-boat")
	was, _ := before.CountOf(before.Stage("cut"))
	now, _ := b.CountOf(b.Stage("cut"))
	if was != 15 || now != 14 {
		t.Errorf("%d parts to cut, were %d", now, was)
	}
	if r := b.Kits[0].Runners[0]; !reflect.DeepEqual(r.NotUsed, []string{"7", "4"}) || !reflect.DeepEqual(r.Spared, []string{"4"}) {
		t.Errorf("%+v", r)
	}
	if h.plan.Builds[0].Kits[0].Runners[0].Spared != nil {
		t.Error("the plan's own build was changed")
	}
	if p := s.Ledger(b)[0].Part("4"); p.Use != NotUsed {
		t.Errorf("%+v", p)
	}
	for number, hint := range map[string]string{"A4": "rakelight runners A4 seen", "A7": "build.md"} {
		_, _, err := ParseParts(number, b)
		ask, ok := err.(*AskError)
		if !ok || !strings.Contains(ask.Hint, hint) {
			t.Errorf("%s: %v", number, err)
		}
	}
	h.add(CheckedBody{of(5, "4"), "seen"})
	if _, _, err := ParseParts("A4", h.fold().Build("pilot-boat")); err != nil {
		t.Error(err)
	}
	h.add(RetractBody{Record: no})
	if got, _ := h.fold().Build("pilot-boat").CountOf(b.Stage("cut")); got != 15 {
		t.Errorf("taken back: %d to cut", got)
	}
}

// A stage in which parts are counted lacks what is not there and not done in it yet.
func TestLackingIn(t *testing.T) {
	h := newBook(t)
	h.add(CheckedBody{of(0, "1", "2"), "damaged"})
	h.worked("cut", 5, "1")
	s := h.fold()
	b := s.Build("pilot-boat")
	for stage, want := range map[string]string{"cut": "A2 damaged; A9 missing", "assemble": "A1,A2 damaged; A9 missing", "paint": "", "inspect": ""} {
		if got := Lacks(s.LackingIn(b, b.Stage(stage), 0)); got != want {
			t.Errorf("%s lacks %q, want %q", stage, got, want)
		}
	}
}

// What cures is ready by the time that was said, else by the person's own.
func TestReadyAt(t *testing.T) {
	s := newBook(t).fold()
	for _, c := range []struct {
		what, of string
		hours    float64
		want     time.Duration // 0 = not known
	}{
		{"curing", "filler", 0, 24 * time.Hour}, {"curing", "Filler", 0, 24 * time.Hour}, {"curing", "filler", 0.5, 30 * time.Minute},
		{"curing", "glue", 0, 0}, {"curing", "", 12, 12 * time.Hour}, {"masked", "filler", 0, 0},
	} {
		got := s.ReadyAt(Hold{HoldBody: HoldBody{Noted: of(0), Is: c.what, Of: c.of, Hours: c.hours}})
		if c.want == 0 != got.IsZero() || c.want != 0 && got.Sub(historyStart) != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}

// What ended stays ended when it is corrected later, and a release that is taken back
// lets it hold again.
func TestHolds(t *testing.T) {
	h := newBook(t)
	held := h.add(HoldBody{Noted: of(0, "1", "2"), Is: "masked"})
	h.add(HoldBody{Noted: of(0, "3"), Is: "unglued"})
	if got := len(h.fold().HoldsOf("pilot-boat")); got != 2 {
		t.Fatalf("%d hold", got)
	}
	over := h.add(ReleaseBody{Hold: held, Text: "one edge lifted", At: of(30).At})
	right := h.add(HoldBody{Noted: of(0, "1").insteadOf(held), Is: "masked"})
	s := h.fold()
	if got := s.HoldsOf("pilot-boat"); len(got) != 1 || got[0].On() != "A3" {
		t.Errorf("%+v", got)
	}
	if got := s.Holds[2]; got.Record != right || got.Released != over || got.EndText != "one edge lifted" || !got.Until.Equal(of(30).At) {
		t.Errorf("the correction: %+v", got)
	}
	h.add(RetractBody{Record: over})
	if got := h.fold().HoldsOf("pilot-boat"); len(got) != 2 {
		t.Errorf("%+v", got)
	}
	h.add(RetractBody{Record: held}) // what corrects it goes along
	if s := h.fold(); len(s.HoldsOf("pilot-boat")) != 1 || len(s.Problems) > 0 {
		t.Errorf("%+v, %v", s.HoldsOf("pilot-boat"), s.Problems)
	}
}

// Before parts are glued it is asked what cannot be seen then.
func TestDryFitQuestions(t *testing.T) {
	h := newBook(t)
	asked := func() string {
		var all []string
		for _, q := range h.fold().DryFitQuestions("pilot-boat") {
			words := q.Part.String()
			if q.Gates {
				words += " gates"
			}
			if q.Pegs {
				words += " pegs"
			}
			all = append(all, words)
		}
		return strings.Join(all, ", ")
	}
	h.worked("cut", 0, "1", "2", "3")
	if got := asked(); got != "" {
		t.Errorf("nothing was fitted: %s", got)
	}
	h.worked("dry-fit", 20, "1", "2", "3")
	if got := asked(); got != "A1 gates pegs, A2 gates pegs, A3 gates pegs" {
		t.Error(got)
	}
	h.add(PrepBody{Noted: of(40, "1"), Is: "gates-together", With: of(0, "2").Parts})
	h.add(SubBody{Noted: Noted{Build: "pilot-boat", Sub: "Cab", Parts: of(0, "2", "3").Parts, At: of(40).At}})
	h.add(PrepBody{Noted: Noted{Build: "pilot-boat", Sub: "cab", At: of(41).At}, Is: "pegs"})
	if got := asked(); got != "A1 pegs, A3 gates" {
		t.Error(got)
	}
	h.worked("assemble", 50, "1", "3")
	if got := asked(); got != "" {
		t.Error(got)
	}
}

// The story of a part holds all that is known of it, by time, also what was said of
// the sub-assembly that held it then.
func TestPartStory(t *testing.T) {
	h := newBook(t)
	cab := func(minutes int) Noted { return Noted{Build: "pilot-boat", Sub: "cab", At: of(minutes).At} }
	sub := cab(30)
	sub.Sub, sub.Parts = "Cab", of(0, "1", "2").Parts
	h.worked("cut", 10, "1", "2")
	h.add(CheckedBody{of(1, "1", "2"), "seen"})
	h.add(SubBody{Noted: sub})
	held := h.add(HoldBody{Noted: cab(40), Is: "curing", Of: "filler"})
	h.add(ReleaseBody{Hold: held, At: of(90).At})
	h.add(NoteBody{Build: "pilot-boat", Parts: of(0, "1").Parts, Text: "warped", At: of(20).At})
	h.add(MistakeBody{Build: "pilot-boat", Kind: "gouge", Parts: of(0, "1").Parts, At: of(25).At})
	wrong := h.add(PrepBody{Noted: of(50, "1"), Is: "shim"})
	h.add(PrepBody{Noted: of(50, "1").insteadOf(wrong), Is: "pin"})
	h.add(PrepBody{Noted: of(55, "3"), Is: "gates-together", With: of(0, "1").Parts})
	without := cab(100)
	without.Parts = of(0, "2").Parts
	h.add(SubBody{Noted: without})
	h.add(HoldBody{Noted: cab(110), Is: "masked"}) // A1 is in it no longer
	h.add(PhotoBody{Hash: strings.Repeat("a", 64), Path: "photos/a.jpg", Instant: Instant{At: of(35).At, Source: "DateTimeOriginal"},
		Tags: Tags{Build: "pilot-boat", Role: "after", Parts: of(0, "1").Parts}})
	h.add(MixBody{Build: "pilot-boat", Name: "hull red", Recipe: []MixPart{{What: "red", Parts: 3}, {What: "thinner", Parts: 2, Thins: true}}, Parts: of(0, "1").Parts, At: of(120).At})
	h.add(AdditionBody{Build: "pilot-boat", Kind: "addition", Text: "wire rail", Parts: of(0, "1").Parts, At: of(125).At})
	s := h.fold()
	var got []string
	for _, e := range s.PartStory("pilot-boat", part("1")) {
		_, words, _ := strings.Cut(s.TellStory(e), "  ")
		words, _, _ = strings.Cut(words, " (")
		got = append(got, words)
	}
	want := []string{"looked at", "cut done", "note: warped", "mistake: gouge", "in the sub-assembly Cab", "photo, after",
		"cab: filler curing", "pinned", "A3: gates cut together with A1", "cab: filler curing, over", "no longer in the sub-assembly cab",
		"painted with hull red: 3 red, 2 thinner", "addition: wire rail"}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%q\nwant\n%q", got, want)
	}
}

// Whoever comes back finds what the model does not show.
func TestReturn(t *testing.T) {
	h := newBook(t)
	h.worked("cut", 0, "1", "2", "3")
	h.add(PauseBody{Build: "pilot-boat", From: of(60).At, Why: "no wire", Next: "drill A2"})
	h.add(HoldBody{Noted: of(1, "1"), Is: "unglued"})
	h.add(HoldBody{Noted: of(2, "2"), Is: "masked"})
	h.add(HoldBody{Noted: of(3, "3"), Is: "curing", Of: "glue"})
	h.add(PrepBody{Noted: of(4, "1", "2"), Is: "store", Side: "tub 1"})
	h.add(PrepBody{Noted: of(5, "2"), Is: "store", Side: "tub 2"})
	h.add(PrepBody{Noted: of(6, "3"), Is: "pegs"})
	h.add(PhotoBody{Hash: strings.Repeat("a", 64), Path: "photos/a.jpg", Instant: Instant{At: of(35).At, Source: "DateTimeOriginal"}, Tags: Tags{Build: "pilot-boat"}})
	r, ok := h.fold().Return("pilot-boat")
	if !ok || r.Pause == nil || r.Pause.Next != "drill A2" || r.LastPhoto == nil || r.Last.Stage != "cut" || r.NextStage != "cut" {
		t.Errorf("%v %+v", ok, r)
	}
	if len(r.NotGlued) != 1 || len(r.MasksOn) != 1 || len(r.Curing) != 1 || len(r.Mind) != 1 || Lacks(r.Lacking) != "A9 missing" {
		t.Errorf("%+v", r)
	}
	if len(r.Stored) != 2 || r.Stored[0].On() != "A1" || r.Stored[1].On() != "A2" {
		t.Errorf("loose parts lie in %+v", r.Stored)
	}
	h.worked("assemble", 90, "2", "3")
	h.add(ResumeBody{Build: "pilot-boat", At: of(80).At})
	r, _ = h.fold().Return("pilot-boat")
	if r.Pause != nil || len(r.Stored) != 1 || len(r.Mind) != 0 {
		t.Errorf("gone on since: %+v", r)
	}
	if _, ok := h.fold().Return("nobody"); ok {
		t.Error("there is no such build")
	}
}

// The hands stand beside the hours of the work they came of, with how many sessions.
func TestHandsByKind(t *testing.T) {
	h := newBook(t)
	s := h.worked("cut", 0, "1")
	h.worked("cut", 20, "2")
	for _, what := range []string{"sore", "sore", "rest"} {
		h.add(HandsBody{Noted: of(5), Session: s, Is: what})
	}
	h.add(HandsBody{Noted: of(5), Is: "strain"})
	got := h.fold().HandsByKind()
	if len(got) != 2 || got[0].Kind != "cut" || got[0].Sessions != 2 || got[0].Hours != 1.0/3 || got[0].Times["sore"] != 2 || got[1].Kind != "" || got[1].Times["strain"] != 1 {
		t.Errorf("%+v", got)
	}
}
