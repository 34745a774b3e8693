// Tests of marks, verdicts, mistakes and trials.

package journal

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"rakelight/journal/metrics"
)

// judgedJournal has two photos of two builds.
func judgedJournal(t *testing.T) (j *Journal, boat, lorry string) {
	t.Helper()
	j, _ = bench(t)
	boat, lorry = strings.Repeat("a", 64), strings.Repeat("b", 64)
	for hash, build := range map[string]string{boat: "pilot-boat", lorry: "lorry"} {
		if _, err := j.Append(PhotoBody{Hash: hash, Path: "photos/" + hash[:4], Name: hash[:4] + ".jpg", Tags: Tags{Build: build}}); err != nil {
			t.Fatal(err)
		}
	}
	return j, boat, lorry
}

func must(t *testing.T, j *Journal, body Body) Record {
	t.Helper()
	r, err := j.Append(body)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func score(n int) *int { return &n }

// A later opinion is a mark of its own; the first one stays as it was given.
func TestMarksAreFrozen(t *testing.T) {
	j, boat, _ := judgedJournal(t)
	must(t, j, MarkBody{Photo: boat, Criterion: 4, Score: score(3), Rubric: Rubric})
	must(t, j, MarkBody{Photo: boat, Criterion: 4, Score: score(2), Rubric: Rubric})
	must(t, j, MarkBody{Photo: boat, Criterion: 9, Rubric: Rubric})
	must(t, j, MarkBody{Photo: boat, Criterion: 4, Score: score(0), Rubric: "R0"})
	must(t, j, MarkBody{Photo: boat, Criterion: 4, Score: score(1), Rubric: Rubric, Judge: "Mo"})
	marks := j.State.MarksOf("")
	if len(marks) != 2 || !reflect.DeepEqual(marks[0].Scores, []float64{3}) || marks[0].Name != "joins" || marks[1].NotApplicable != 1 || marks[1].Scores != nil {
		t.Errorf("%+v", marks)
	}
	if twice := j.State.Remarks(""); !reflect.DeepEqual(twice, []metrics.Remark{{Photo: boat, First: 3, Second: 2}}) {
		t.Errorf("%+v", twice)
	}
}

func TestVerdictsAreKept(t *testing.T) {
	j, boat, lorry := judgedJournal(t)
	must(t, j, VerdictBody{Left: boat, Right: lorry, Criterion: 4, Outcome: "left"})
	must(t, j, VerdictBody{Left: lorry, Right: boat, Criterion: 4, Outcome: "cannot tell"})
	must(t, j, VerdictBody{Left: lorry, Right: boat, Criterion: 7, Outcome: "no difference", Judge: "Mo"})
	pairs, judges := j.State.PairsOf(4)
	if len(pairs) != 1 || judges != 1 || pairs[0].Left != "pilot-boat" || pairs[0].Right != "lorry" || pairs[0].Outcome != "left" {
		t.Errorf("%+v of %d judges", pairs, judges)
	}
	if pairs, judges = j.State.PairsOf(0); len(pairs) != 1 || judges != 1 {
		t.Errorf("a judge who is not known to agree counts: %+v of %d judges", pairs, judges)
	}
	if pairs, judges = j.State.PairsOf(0, "", "Mo"); len(pairs) != 2 || judges != 2 {
		t.Errorf("on all criteria, of both, %+v of %d judges", pairs, judges)
	}
}

// What makes no sense is a problem that is told, and changes nothing else.
func TestJudgementsThatMakeNoSense(t *testing.T) {
	boat, lorry := strings.Repeat("a", 64), strings.Repeat("b", 64)
	for i, one := range []Body{
		MarkBody{Photo: boat, Criterion: 13, Score: score(1), Rubric: Rubric},
		MarkBody{Photo: boat, Criterion: 1, Score: score(5), Rubric: Rubric},
		MarkBody{Photo: strings.Repeat("c", 64), Criterion: 1, Rubric: Rubric},
		VerdictBody{Left: boat, Right: boat, Criterion: 1, Outcome: "left"},
		VerdictBody{Left: boat, Right: lorry, Criterion: 1, Outcome: "up"},
		MistakeBody{Build: "lorry"},
		MistakeBody{Build: "lorry", Kind: "gouge", Minutes: -1},
		TrialBody{},
		ObserveBody{Trial: "bench-0000/1", Text: "x"},
		ReviewBody{Trial: "bench-0000/1", Text: "x"},
	} {
		records := []Record{{At: time.Unix(1, 0), Dev: "d", Seq: 1, Kind: "photo", Body: []byte(fmt.Sprintf(`{"hash":%q,"path":"photos/a"}`, boat))},
			{At: time.Unix(2, 0), Dev: "d", Seq: 2, Kind: "photo", Body: []byte(fmt.Sprintf(`{"hash":%q,"path":"photos/b"}`, lorry))}}
		r, err := suppose(one, nil)
		if err != nil {
			t.Fatal(err)
		}
		s := Fold(testPlan, append(records, r))
		if len(s.Problems) != 1 || len(s.Marks)+len(s.Verdicts)+len(s.Mistakes)+len(s.Trials) != 0 {
			t.Errorf("%d, %s: %d problems, %+v", i, one.RecordKind(), len(s.Problems), s.Problems)
		}
	}
}

func TestMistakesAndTrials(t *testing.T) {
	j, now := bench(t)
	must(t, j, WorkBody{Build: "pilot-boat", Stage: "clean", Kind: "clean", Date: "2026-03-01", Minutes: 30, Known: Measured, Count: 40})
	slip := must(t, j, MistakeBody{Build: "pilot-boat", Stage: "clean", Kind: "gouge", Minutes: 12, At: *now})
	must(t, j, MistakeBody{Build: "pilot-boat", Stage: "clean", Kind: "gouge", Minutes: 3, At: *now})
	slips := j.State.Slips()
	if len(slips) != 1 || slips[0].Counts[0] != 2 || slips[0].Parts[0] != 40 || j.State.Mistakes[0].Lost != 12*time.Minute {
		t.Errorf("%+v, %+v", slips, j.State.Mistakes)
	}
	must(t, j, RetractBody{Record: slip.ID()})
	if got := j.State.Slips(); got[0].Counts[0] != 1 {
		t.Errorf("after one was taken back: %+v", got)
	}
	trial := must(t, j, TrialBody{What: "glass file", Question: "quicker on flat gates?", At: *now})
	must(t, j, ObserveBody{Trial: trial.ID(), Text: "clogs after an hour", At: now.Add(time.Hour)})
	must(t, j, ReviewBody{Trial: trial.ID(), Text: "Kept for **flat** gates.", At: now.Add(2 * time.Hour)})
	one := j.State.Trials[0]
	if one.What != "glass file" || len(one.Observations) != 1 || one.Review == "" || one.Closed.IsZero() {
		t.Errorf("%+v", one)
	}
}

// What was said of a raw picture counts for the photo it comes to lie beside.
func TestJudgedThenBeside(t *testing.T) {
	j, boat, lorry := judgedJournal(t)
	raw := strings.Repeat("c", 64)
	must(t, j, PhotoBody{Hash: raw, Path: "photos/c.cr2", Name: "c.cr2", Format: "cr2", Tags: Tags{Build: "pilot-boat"}})
	must(t, j, MarkBody{Photo: raw, Criterion: 4, Score: score(3), Rubric: Rubric})
	must(t, j, VerdictBody{Left: lorry, Right: raw, Criterion: 4, Outcome: "right"})
	must(t, j, PackBody{Pack: "pack", Pairs: []PackPair{{"one", raw, lorry, 4}, {"self", boat, raw, 4}}})
	must(t, j, AnswersBody{Pack: "pack", Sheet: "s", Judge: "Mo", Answers: []PackAnswer{{"one", "left"}, {"self", "left"}}})
	trial := must(t, j, TrialBody{What: "glass file"})
	must(t, j, ObserveBody{Trial: trial.ID(), Text: "clean", Photo: raw})
	must(t, j, BesideBody{Photo: boat, Hash: raw, Path: "photos/c.cr2", Format: "cr2"})
	s := j.State
	if len(s.Marks) != 1 || s.Marks[0].Photo != boat {
		t.Errorf("marks %+v", s.Marks)
	}
	if len(s.Verdicts) != 2 || s.Verdicts[0].Right != boat || s.Verdicts[1].Left != boat {
		t.Errorf("verdicts %+v", s.Verdicts)
	}
	if s.Trials[0].Observations[0].Photo != boat {
		t.Errorf("trials %+v", s.Trials[0])
	}
	if len(s.Problems) != 1 || !strings.Contains(s.Problems[0].What, "both of its photos are one") {
		t.Errorf("problems %+v", s.Problems)
	}
}
