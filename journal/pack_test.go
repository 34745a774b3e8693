// Tests of packs and answers in the fold, and of whose verdicts count.

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
)

// packRecords are two photos, a pack of two pairs of them, and answers by two
// devices that took the same file and one that took another sheet.
func packRecords(t *testing.T) []Record {
	t.Helper()
	a, b := strings.Repeat("a", 64), strings.Repeat("b", 64)
	var out []Record
	for i, one := range []struct {
		dev, kind string
		body      any
	}{
		{"x", "answers", AnswersBody{Pack: "p", Sheet: "1", Judge: "Mo", Answers: []PackAnswer{{"one", "left"}}}}, // before its pack: another device's clock
		{"x", "photo", PhotoBody{Hash: a, Path: "photos/a", Tags: Tags{Build: "boat"}}},
		{"x", "photo", PhotoBody{Hash: b, Path: "photos/b", Tags: Tags{Build: "lorry"}}},
		{"x", "pack", PackBody{Pack: "p", Pairs: []PackPair{{"one", a, b, 4}, {"two", b, a, 7}}}},
		{"y", "answers", AnswersBody{Pack: "p", Sheet: "1", Judge: "mo", Answers: []PackAnswer{{"one", "left"}, {"two", "no difference"}}}},
		{"y", "answers", AnswersBody{Pack: "p", Sheet: "2", Judge: "Mo", Answers: []PackAnswer{{"one", "right"}, {"two", "right"}}}},
		{"y", "answers", AnswersBody{Pack: "p", Sheet: "3", Judge: "Kim", Answers: []PackAnswer{{"two", "left"}}}},
	} {
		body, err := json.Marshal(one.body)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, Record{At: time.Unix(int64(100+i), 0).UTC(), Dev: one.dev, Seq: int64(i + 1), Kind: one.kind, Body: body})
	}
	return out
}

// What stands, stands: each pair of a pack has one answer a judge, the first
// record's, in whatever order and on whichever devices answers were taken.
func TestAnswersFold(t *testing.T) {
	records := packRecords(t)
	want := Fold(testPlan, records)
	var got []string
	for _, v := range want.Verdicts {
		got = append(got, fmt.Sprint(v.Judge, " ", v.Left[:1], v.Right[:1], v.Criterion, " ", v.Outcome, " ", v.Pair, v.Sheet))
	}
	if fmt.Sprint(got) != "[Mo ab4 left one1 Mo ba7 no difference two1 Kim ba7 left two3]" || len(want.Problems) != 0 || len(want.Packs) != 1 {
		t.Errorf("%v, %+v", got, want.Problems)
	}
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 1))
		mixed := append(slices.Clone(records), records[rng.IntN(len(records))])
		rng.Shuffle(len(mixed), func(i, k int) { mixed[i], mixed[k] = mixed[k], mixed[i] })
		if s := Fold(testPlan, mixed); !reflect.DeepEqual(s, want) {
			t.Fatalf("seed %d: another state", seed)
		}
	}
	// Taken back, the next one counts.
	gone := append(slices.Clone(records), Record{At: time.Unix(300, 0), Dev: "x", Seq: 9, Kind: "retract", Body: []byte(`{"record":"x/1"}`)},
		Record{At: time.Unix(301, 0), Dev: "x", Seq: 10, Kind: "retract", Body: []byte(`{"record":"y/5"}`)})
	if s := Fold(testPlan, gone); len(s.Verdicts) != 3 || s.Verdicts[0].Outcome != "right" || s.Verdicts[0].Sheet != "2" {
		t.Errorf("%+v", s.Verdicts)
	}
}

// A sheet counts for the judge it was first taken for; under another name it is
// told and changes nothing, until the first is taken back.
func TestOneSheetIsOnePerson(t *testing.T) {
	records := packRecords(t)
	again, err := suppose(AnswersBody{Pack: "p", Sheet: "3", Answers: []PackAnswer{{"one", "left"}, {"two", "left"}}}, records)
	if err != nil {
		t.Fatal(err)
	}
	again.At = time.Unix(500, 0)
	s := Fold(testPlan, append(records, again))
	if len(s.Problems) != 1 || !strings.Contains(s.Problems[0].What, "count for Kim already") || len(s.Verdicts) != 3 {
		t.Errorf("%d verdicts, %+v", len(s.Verdicts), s.Problems)
	}
	if v := s.SheetOf("p", "3"); v == nil || v.Judge != "Kim" {
		t.Errorf("%+v", v)
	}
	s = Fold(testPlan, append(records[:6:6], again))
	if len(s.Problems) != 0 || len(s.Verdicts) != 4 {
		t.Errorf("without Kim's: %d verdicts, %+v", len(s.Verdicts), s.Problems)
	}
}

func TestAnswersThatMakeNoSense(t *testing.T) {
	for i, one := range []Body{
		PackBody{Pack: "p", Pairs: nil},
		PackBody{Pack: "", Pairs: nil},
		PackBody{Pack: "q", Pairs: []PackPair{{"one", "a", "b", 1}, {"one", "a", "b", 1}}},
		AnswersBody{Pack: "q", Judge: "Mo", Answers: []PackAnswer{{"one", "left"}}},
		AnswersBody{Pack: "p", Judge: "Mo", Answers: []PackAnswer{{"three", "left"}, {"one", "up"}}},
	} {
		records := packRecords(t)
		r, err := suppose(one, records)
		if err != nil {
			t.Fatal(err)
		}
		s := Fold(testPlan, append(records, r))
		if len(s.Problems) != 1 || strings.Contains(s.Problems[0].What, "\n") || len(s.Verdicts) != 3 || len(s.Packs) != 1 {
			t.Errorf("%d: %+v", i, s.Problems)
		}
	}
}

// Judges count together only where they are shown to agree with the owner.
func TestPool(t *testing.T) {
	s := hall(3)
	rng := rand.New(rand.NewPCG(2, 2))
	pairs := s.PackPairs(24, nil, rng, nil)
	say := func(judge string, n int, outcome func(i int) string) {
		for i, p := range pairs[:n] {
			v := Verdict{Left: p.Left.Hash, Right: p.Right.Hash, Criterion: p.Criterion, Outcome: outcome(i), Judge: judge}
			if i%3 == 0 { // judged with sides exchanged
				v.Left, v.Right = v.Right, v.Left
				v.Outcome = map[string]string{"left": "right", "right": "left"}[v.Outcome]
			}
			s.Verdicts = append(s.Verdicts, v)
		}
	}
	eye := func(i int) string { return []string{"left", "right", "right"}[i%3] }
	say("Kim", 24, eye)
	say("Mo", 20, func(i int) string { return "left" })
	if got := s.Pool(); fmt.Sprint(got) != "[Kim]" {
		t.Errorf("without the owner the judge with most verdicts counts: %q", got)
	}
	say("", 24, eye)
	say("Few", 6, eye)
	if got := s.Pool(); fmt.Sprintf("%q", got) != `["" "Kim"]` {
		t.Errorf("the owner and who agrees: %q", got)
	}
	for _, one := range s.Agreements() {
		switch one.A + "+" + one.B {
		case "+Kim":
			if a := one.Agreement; a.Kappa != 1 || a.N < 20 {
				t.Errorf("%+v", a)
			}
		case "+Few":
			if one.Agreement.OK {
				t.Errorf("six pairs tell agreement: %+v", one.Agreement)
			}
		}
	}
	_, judges := s.PairsOf(0)
	if _, all := s.PairsOf(0, s.Judges()...); judges != 2 || all != 4 {
		t.Errorf("%d judges count, %d of all", judges, all)
	}
}
