// Tests of the fold: its properties over random records, and what each kind
// of record does.

package journal

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"
	"time"

	"rakelight/journal/reason"
	"rakelight/journal/record"
	"rakelight/journal/sanding"
)

var testPlan = Plan{Zone: time.UTC, Builds: []*Build{
	{ID: "lorry", Title: "Lorry", Stages: []Stage{{ID: "clean", Title: "Clean", Kind: "clean"}, {ID: "paint", Title: "Paint", Kind: "paint"}}, Kits: []Kit{{Runners: []Runner{{Letter: "A", Parts: numberRange(1, 20)}}}}},
	{ID: "seaplane", Title: "Seaplane", Stages: []Stage{{ID: "clean", Title: "Clean", Kind: "clean"}}},
}}

// randomWhy is a reason of any kind, also of a kind that no version has yet.
func randomWhy(rng *rand.Rand) reason.Why {
	session := &reason.Session{ID: "a/1", Build: "lorry", Stage: "clean", Began: "2026-03-14 19:00"}
	return []reason.Why{
		{By: reason.Folder, Name: "clean"}, {By: reason.InSession, Session: session}, {By: reason.NearSession, Session: session, Away: reason.Length(12 * time.Minute)},
		{By: reason.OneOfSessions, Session: session, Of: 2}, {By: reason.NoSession, Away: reason.Length(2 * time.Hour)}, {By: "of-later", Name: "x"},
	}[rng.IntN(6)]
}

func randomDoubts(rng *rand.Rand) reason.Doubts {
	all := reason.Doubts{{Is: reason.DayOnly}, {Is: reason.Twice, At: "01:30+01:00", Or: "01:30+00:00"}, {Is: reason.OutOfTime, Source: "GPS", Text: "2099"}, {Is: "of-later", Text: "x"}}
	return slices.Clone(all[:rng.IntN(len(all)+1)])
}

// randomRecords makes a history with every kind of record on three devices,
// wrong references and retractions included.
func randomRecords(rng *rand.Rand, n int) []Record {
	at := time.Date(2026, 3, 1, 18, 0, 0, 0, time.UTC)
	seq := map[string]int64{}
	var all []Record
	id := func() string {
		if len(all) == 0 || rng.IntN(12) == 0 {
			return "bench-ffff/9"
		}
		return all[rng.IntN(len(all))].ID()
	}
	named := func() RetractBody { // of two records under one id, the one
		if len(all) == 0 {
			return RetractBody{Record: "bench-ffff/9", Sum: "00000000"}
		}
		r := all[rng.IntN(len(all))]
		return RetractBody{Record: r.ID(), Sum: r.Sum()}
	}
	builds := []string{"lorry", "seaplane", "gone"}
	models, offsets := []string{"T-24", "K 2", ""}, []string{"journal zone", "stated", "GPS"}
	var cards []string
	for _, c := range []Card{{Says: BeginCard, Build: BuildKey("lorry"), Stage: StageKey("clean")}, {Says: BeginCard, Stage: StageKey("paint")}, {Says: EndCard}, {Says: CountCard, Count: 5}, {Says: PauseCard}, {Says: RunnerCard}, {Says: RoleCard, Word: "before"}} {
		text, err := c.Text()
		if err != nil {
			panic(err)
		}
		cards = append(cards, text)
	}
	prints := []string{"00ff00ff00ff00ff", "00ff00ff00ff00fe", ""}
	for range n {
		at = at.Add(time.Duration(rng.IntN(90)) * time.Minute)
		b := builds[rng.IntN(len(builds))]
		hash := fmt.Sprintf("%064d", rng.IntN(6))
		part := PartRef{Runner: "A", Number: fmt.Sprint(1 + rng.IntN(20)), Count: 1}
		minutes := float64(rng.IntN(100))
		of := func(kind Body) string { // one of a kind, if there is any
			for _, r := range slices.Backward(all) {
				if r.Kind == kind.RecordKind() && rng.IntN(2) == 0 {
					return r.ID()
				}
			}
			return "bench-ffff/9"
		}
		instead := []Body{HoldBody{}, SubBody{}, PrepBody{}, HandsBody{}}[rng.IntN(4)]
		noted := func() Noted {
			n := Noted{Build: b, Parts: []PartRef{part}, Sub: []string{"", "Cab", "cab "}[rng.IntN(3)], Photo: []string{"", hash}[rng.IntN(2)], At: []time.Time{at, {}}[rng.IntN(2)]}
			if rng.IntN(3) == 0 {
				n.Instead = []string{id(), of(instead), of(CheckedBody{})}[rng.IntN(3)]
			}
			return n
		}
		kinds := []Body{
			BeginBody{Build: b, Stage: "clean", Kind: "clean", Start: at, Tools: []string{"Glass  file", "saw"}[:rng.IntN(3)]},
			EndBody{Session: id(), End: at.Add(time.Hour)},
			BreakBody{Session: id(), Start: at, End: at.Add(10 * time.Minute)},
			DoneBody{Session: id(), Parts: []PartRef{part}, Count: rng.IntN(3), At: at},
			DoneBody{Build: b, Count: rng.IntN(4) - 1, At: at},
			BreakBody{Session: id(), Start: at},
			ReopenBody{Build: b, Parts: []PartRef{part}, At: at},
			WorkBody{Build: b, Stage: "repair", Kind: "repair", Start: at, Minutes: 30, Known: Measured, For: []string{"", "clean", id()}[rng.IntN(3)], Parts: []PartRef{part}},
			CorrectBody{Session: id(), Tools: []*[]string{nil, {}, {"knife"}}[rng.IntN(3)], AddTool: []string{"glass file"}, For: &b},
			WorkBody{Build: b, Stage: "paint", Kind: "paint", Date: "2025-11", Minutes: 40, Known: Remembered, Parts: []PartRef{part}},
			CorrectBody{Session: id(), Minutes: &minutes, Accept: rng.IntN(2) == 0},
			CorrectBody{Session: id(), Start: &at, Build: &b},
			CorrectBody{Session: id(), End: &at},
			ReopenBody{Build: b, Session: id(), Count: 1, At: at},
			PauseBody{Build: b, From: at, Why: "no wire"},
			ResumeBody{Build: b, At: at},
			ClockBody{Camera: Camera{Model: models[rng.IntN(3)]}, Fast: (time.Duration(rng.IntN(5)-2) * 20 * time.Minute).String(), From: []string{"", "2026-03-02"}[rng.IntN(2)]},
			AsideBody{Hash: fmt.Sprintf("%064d", rng.IntN(9)), Path: "inbox/aside/" + hash, CopyOf: hash},
			PhotoBody{Hash: hash, Path: "photos/" + hash, Camera: Camera{Model: models[rng.IntN(3)]}, Fingerprint: prints[rng.IntN(3)], Sharp: float64(rng.IntN(3)), Instant: Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: offsets[rng.IntN(3)]}, Why: reason.WhysOf(map[string]string{"build": "to sort"})},
			PhotoBody{Hash: hash, Path: "photos/" + hash, Camera: Camera{Model: models[rng.IntN(3)]}, Instant: Instant{At: at, Wall: at.Add(20 * time.Minute).Format(time.DateTime), Source: "DateTimeOriginal", Offset: "journal zone", Corrected: reason.Fault{Fast: 20 * time.Minute}}, Tags: Tags{Build: b, Stage: "clean"}, Why: reason.WhysOf(map[string]string{"build": "taken during the session on x", "stage": "taken during the session on x"})},
			PhotoBody{Hash: hash, Path: "photos/" + hash, Instant: Instant{At: at}, Tags: Tags{Build: b, View: Views[rng.IntN(2)]}, Guess: rng.IntN(2) == 0, Why: reason.WhysOf(map[string]string{"build": "folder"})},
			PhotoBody{Hash: hash, Path: "photos/" + hash, Instant: Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: HomeOffset, Doubts: randomDoubts(rng), Passed: randomDoubts(rng), Corrected: []reason.Fault{{}, {Fast: -20 * time.Minute}, {Text: "drifting"}}[rng.IntN(3)]}, Tags: Tags{Build: b, Stage: "clean", Kit: rng.IntN(2)}, Guess: rng.IntN(2) == 0, Why: map[string]reason.Why{"build": randomWhy(rng), "stage": randomWhy(rng), "kit": randomWhy(rng)}},
			PhotoBody{Hash: hash, Path: "photos/" + hash, Instant: Instant{At: at}, Tags: Tags{Build: b}, OldWhy: map[string]string{"build": "taken during the session on lorry/clean, 2026-03-14 19:00"}},
			PhotoBody{Hash: hash, Path: "photos/" + hash, Format: []string{"mp4", "mov"}[rng.IntN(2)], Length: int64(rng.IntN(9000)), Codec: "hvc1", Frame: [2]int{320, 240}, Camera: Camera{Model: models[rng.IntN(3)]}, Instant: Instant{At: at, Wall: at.UTC().Format(time.DateTime) + " UTC", Source: "movie header", Offset: ByStandard, Meant: []reason.Meant{"", reason.ByName, "of-later"}[rng.IntN(3)], Doubts: []reason.Doubts{nil, {{Is: reason.UTCOrNot}}}[rng.IntN(2)]}, Tags: Tags{Build: b}},
			BesideBody{Photo: hash, Hash: fmt.Sprintf("%064d", rng.IntN(9)), Path: "photos/moving" + hash[60:], Format: "mov", Why: reason.Link{By: reason.MovingShot}},
			BesideBody{Photo: hash, Hash: fmt.Sprintf("%064d", 30+rng.IntN(3)), Path: "photos/" + hash + ".2.xmp", Format: "xmp", Why: reason.Link{By: []reason.Kin{reason.XMPLater, "of-later"}[rng.IntN(2)]}, Tags: Tags{Build: b, Stage: "clean"}, TagsWhys: map[string]reason.Why{"build": randomWhy(rng), "stage": randomWhy(rng)}},
			BesideBody{Photo: hash, Hash: fmt.Sprintf("%064d", rng.IntN(9)), Path: "photos/beside" + hash[60:] + fmt.Sprint(rng.IntN(2)), Format: "cr2"},
			BesideBody{Photo: hash, Hash: fmt.Sprintf("%064d", 20+rng.IntN(3)), Path: "photos/" + hash + ".xmp", Format: "xmp", Words: []string{"w" + fmt.Sprint(rng.IntN(3))}, Instant: &Instant{At: at, Wall: at.Format(time.DateTime), Source: "sidecar xmp:CreateDate"}, Tags: Tags{Build: b, Stage: "clean"}, OldWhys: map[string]string{"build": "the picture carries the keyword " + b, "stage": "a guess: 5 min after the session on lorry/clean, 2026-03-14 19:00"}},
			RepairBody{Hash: hash, Path: "photos/" + hash, Was: []string{"", fmt.Sprintf("%064d", rng.IntN(9))}[rng.IntN(2)], Aside: []string{"", "inbox/aside/damaged/" + hash}[rng.IntN(2)]},
			TagBody{Photo: hash, Set: Tags{Role: Roles[rng.IntN(len(Roles))], Stage: "clean", View: []string{"", "left"}[rng.IntN(2)]}, Alike: []string{"", hash}[rng.IntN(2)]},
			MarkBody{Photo: hash, Criterion: rng.IntN(14), Score: []*int{nil, new(int)}[rng.IntN(2)], Rubric: Rubric},
			VerdictBody{Left: hash, Right: fmt.Sprintf("%064d", rng.IntN(6)), Criterion: 1 + rng.IntN(12), Outcome: Outcomes[rng.IntN(4)]},
			PackBody{Pack: fmt.Sprint("p", rng.IntN(2)), Pairs: []PackPair{{"a", hash, fmt.Sprintf("%064d", rng.IntN(6)), 1 + rng.IntN(12)}, {"b", hash, fmt.Sprintf("%064d", rng.IntN(6)), 4}}},
			AnswersBody{Pack: fmt.Sprint("p", rng.IntN(3)), Sheet: "s", Judge: []string{"Mo", "mo", "Kim", ""}[rng.IntN(4)], Answers: []PackAnswer{{"a", Outcomes[rng.IntN(4)]}, {[]string{"b", "c"}[rng.IntN(2)], Outcomes[rng.IntN(4)]}}},
			AnswersBody{Pack: fmt.Sprint("p", rng.IntN(2)), Sheet: "t", Judge: "Mo", Answers: []PackAnswer{{"b", Outcomes[rng.IntN(4)]}}},
			MistakeBody{Build: b, Kind: "gouge", Stage: []string{"", "clean"}[rng.IntN(2)], Parts: []PartRef{part}, Minutes: minutes, At: at},
			TrialBody{What: "glass file", Build: b, At: at, Tool: []string{"", "file"}[rng.IntN(2)], Card: rng.IntN(2)},
			ObserveBody{Trial: id(), Text: "clogs", At: at},
			[]Body{PrivateBody{Photo: hash, Not: rng.IntN(3) == 0, At: at}, PrivateBody{Build: b, Not: rng.IntN(3) == 0, At: at}, PrivateBody{Build: []string{"", b}[rng.IntN(2)], Date: []string{"2026-03-02", "soon"}[rng.IntN(2)], At: at}, PrivateBody{}}[rng.IntN(4)],
			PastBody{Photos: []string{hash, fmt.Sprintf("%064d", rng.IntN(40))}[rng.IntN(2):], Set: Tags{Build: []string{"", b}[rng.IntN(2)], Stage: []string{"", "clean"}[rng.IntN(2)], Role: []string{"", "finished"}[rng.IntN(2)]}, Clear: []string{"stage", "view"}[:rng.IntN(3)]},
			PastBody{Photos: []string{hash, hash}[:rng.IntN(3)], Out: []*bool{nil, new(bool)}[rng.IntN(2)], First: []string{"", "1998-03-01"}[rng.IntN(2)], Last: []string{"1998-05-31", "1998-03-01", ""}[rng.IntN(3)], Said: "spring 1998"},
			ReviewBody{Trial: id(), Text: "kept", At: at},
			PhotoBody{Hash: hash, Path: "photos/" + hash, Instant: Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: "stated"}, Cards: []CardSeen{{Text: cards[rng.IntN(len(cards))]}}},
			PhotoBody{Hash: hash, Path: "photos/" + hash, Width: 1200, Height: 900, Camera: Camera{Model: models[rng.IntN(2)]}, Instant: Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: "stated"}, Cards: []CardSeen{{Text: cards[rng.IntN(4)], Corners: [8]float64{200, 200, 300, 200, 300, 300, 200, 300}}}},
			CardBody{Photo: hash, Cards: cards[:rng.IntN(2)]},
			EndBody{Session: cardSession(hash), End: at.Add(time.Hour)},
			PointsBody{A: hash, B: fmt.Sprintf("%064d", rng.IntN(9)), Pairs: []PointPair{{0.1, 0.2, 0.3, rng.Float64()}, {0.8, 0.7, 0.9, 0.6}}[:1+rng.IntN(2)]},
			AlikeBody{A: hash, B: fmt.Sprintf("%064d", rng.IntN(9)), Not: rng.IntN(3) == 0},
			SheetBody{Sheet: []string{"", "K7QF", "o"}[rng.IntN(3)], Measured: []float64{47.5, 50, 5}[rng.IntN(3)], Error: []float64{0, 0.2, 9}[rng.IntN(3)], Photo: []string{"", hash}[rng.IntN(2)], From: []string{"", "2026-03-02"}[rng.IntN(2)]},
			FinishBody{Build: b, Date: []string{"", "2026-03-09", "soon"}[rng.IntN(3)], At: at},
			NoteBody{Build: b, Session: []string{"", id()}[rng.IntN(2)], Parts: []PartRef{part}, Text: []string{"", "peg cut"}[rng.IntN(2)], At: at},
			DatedBody{Photo: hash, At: []time.Time{{}, at}[rng.IntN(2)], First: "2019-03-01", Last: []string{"2019-03-01", "2019-05-31", ""}[rng.IntN(3)], Said: "spring 2019"},
			CorrectBody{Session: id(), Parts: []*[]PartRef{nil, {}, {part}}[rng.IntN(3)], Add: []PartRef{part}[:rng.IntN(2)], Take: []PartRef{part}[:rng.IntN(2)], Breaks: []*[]Rest{nil, {}, {{at, at.Add(time.Minute)}}}[rng.IntN(3)]},
			CheckedBody{noted(), CheckStates[rng.IntN(6)]}, CheckedBody{noted(), []string{"not-used", "seen", "lost"}[rng.IntN(3)]},
			SubBody{noted(), rng.IntN(3) == 0}, HoldBody{noted(), HoldWhats[rng.IntN(3)], CuringOf[rng.IntN(5)], float64(rng.IntN(30) - 1)},
			ReleaseBody{Hold: id(), Text: "dry", At: at}, ReleaseBody{Hold: of(HoldBody{}), At: at},
			PrepBody{Noted: noted(), Is: []string{"", "pegs", "store", "glued"}[rng.IntN(4)], With: []PartRef{part}, Angle: "45°", Side: "left"},
			HandsBody{noted(), []string{"", id()}[rng.IntN(2)], HandsWhats[rng.IntN(5)], "left thumb"},
			MixBody{Build: b, Name: []string{"", "hull red"}[rng.IntN(2)], Recipe: []MixPart{{What: "red", Parts: float64(rng.IntN(3))}}, Parts: []PartRef{part}, Photo: []string{"", hash}[rng.IntN(2)], Instead: []string{"", id()}[rng.IntN(2)], At: at},
			AdditionBody{Build: b, Kind: AdditionKinds[rng.IntN(2)], Text: "wire for the rail", Parts: []PartRef{part}, Instead: []string{"", id()}[rng.IntN(2)], At: at},
			SandingBody{Build: b, Parts: []PartRef{part}[:rng.IntN(2)], Surface: "flat", Finish: "primed", Remove: "nub", Steps: []sanding.Step{{Grit: 400, Scale: "P"}}, Instead: []string{"", id()}[rng.IntN(2)], At: at},
			RetractBody{Record: id()},
			named(),
			LostBody{Dev: "bench-ffff", From: int64(rng.IntN(3)), To: 2},
			PhotoBody{Hash: hash, Path: "photos/../" + hash, Instant: Instant{At: at}},
			hologram{rng.IntN(9)},
		}
		one := kinds[rng.IntN(len(kinds))]
		body, err := json.Marshal(one)
		if err != nil {
			panic(err)
		}
		dev := fmt.Sprintf("bench-%d", rng.IntN(3))
		if seq[dev] == 0 || rng.IntN(20) > 0 { // now and then two records share a number
			seq[dev]++
		}
		// Each device's clock is off by its own hour.
		written := at.Add(time.Duration(dev[len(dev)-1]-'0') * time.Hour)
		r := Record{At: written, Dev: dev, Seq: seq[dev], Kind: one.RecordKind(), Body: body}
		if rng.IntN(3) == 0 { // written by a version that looks at what it has seen
			r = r.Behind(record.Last(all))
		}
		all = append(all, r)
	}
	return all
}

// The state does not depend on the order in which records are read, on lines
// that come twice, or on how they are split over files and devices' folders.
func TestFoldProperties(t *testing.T) {
	for seed := range uint64(150) {
		rng := rand.New(rand.NewPCG(seed, 7))
		records := randomRecords(rng, 5+rng.IntN(60))
		want := Fold(testPlan, records)

		shuffled := slices.Clone(records)
		for range rng.IntN(10) {
			shuffled = append(shuffled, records[rng.IntN(len(records))])
		}
		rng.Shuffle(len(shuffled), func(i, k int) { shuffled[i], shuffled[k] = shuffled[k], shuffled[i] })
		if got := Fold(testPlan, shuffled); !reflect.DeepEqual(got, want) {
			t.Fatalf("seed %d: shuffled and doubled records fold to another state", seed)
		}

		dir := t.TempDir()
		files := map[string][]byte{}
		for _, r := range shuffled {
			line, err := record.EncodeLine(r)
			if err != nil {
				t.Fatal(err)
			}
			name := filepath.Join(dir, "records", fmt.Sprintf("folder-%d", rng.IntN(3)), fmt.Sprintf("2026-%02d.jsonl", 1+rng.IntN(3)))
			files[name] = append(append(files[name], line...), '\n')
		}
		for name, data := range files {
			if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(name, data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		book := record.Book{Dir: dir}
		err := book.Read()
		odd := slices.ContainsFunc(book.Problems, func(p Problem) bool { return p.Kind != ConflictCopy }) // which these folders look like
		if err != nil || odd {
			t.Fatalf("seed %d: %v, %v", seed, book.Problems, err)
		}
		if got := Fold(testPlan, book.Records); !reflect.DeepEqual(got, want) {
			t.Fatalf("seed %d: records split over files fold to another state", seed)
		}
	}
}

// What a version writes that has seen other records stands behind all of them,
// and lines of older versions keep the order of their instants.
func TestOrderProperties(t *testing.T) {
	for seed := range uint64(150) {
		rng := rand.New(rand.NewPCG(seed, 8))
		records := randomRecords(rng, 5+rng.IntN(60))
		for i, r := range records {
			for _, before := range records[:i] {
				if r.Tick.N > 0 && record.Compare(before, r) >= 0 {
					t.Fatalf("seed %d: %+v does not stand behind %+v, which it had seen", seed, r, before)
				}
				if r.Tick.N == 0 && before.Tick.N == 0 && !r.At.Equal(before.At) && record.Compare(before, r) != before.At.Compare(r.At) {
					t.Fatalf("seed %d: %+v and %+v are not in the order of their instants", seed, r, before)
				}
			}
		}
	}
}

// bench is a journal in a fresh folder with a clock that tests move.
func bench(t *testing.T) (*Journal, *time.Time) {
	t.Helper()
	dir := t.TempDir()
	if err := Create(filepath.Join(dir, "j"), "Bench", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	build := []byte("---\ntitle: Pilot boat\nrunners:\n  - {letter: A, parts: 24, not-used: \"7\"}\n  - {letter: B, parts: \"1-6\"}\nstages: [cut, clean, paint]\n---\n- [ ] primer\n")
	if err := WriteFile(filepath.Join(dir, "j", "builds", "pilot-boat", "build.md"), build); err != nil {
		t.Fatal(err)
	}
	j, err := Open(filepath.Join(dir, "j"))
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)
	j.Now = func() time.Time { return now }
	return j, &now
}

func TestSessionWithBreakAndParts(t *testing.T) {
	j, now := bench(t)
	at := func(min int) time.Time { return now.Add(time.Duration(min) * time.Minute) }
	refs, _, err := ParseParts("A1-A12, B3", j.State.Build("pilot-boat"))
	if err != nil {
		t.Fatal(err)
	}
	begun, err := j.Append(BeginBody{Build: "pilot-boat", Stage: "clean", Kind: "clean", Start: *now})
	if err != nil {
		t.Fatal(err)
	}
	id := begun.ID()
	if _, err := j.AppendAll([]Body{
		DoneBody{Session: id, Parts: refs, At: at(20)},
		BreakBody{Session: id, Start: at(25)},
		BreakBody{Session: id, Start: at(25), End: at(35)},
		EndBody{Session: id, End: at(70)},
	}); err != nil {
		t.Fatal(err)
	}
	s := j.State.Session(id)
	if s.Net != time.Hour || s.Done() != 12 || s.Open || s.Doubt.Any() || !s.Counted {
		t.Errorf("net %v, %d done, %+v; want 1 h and 12 parts (A7 is not for use)", s.Net, s.Done(), s)
	}
	if _, err := j.Append(ReopenBody{Build: "pilot-boat", Parts: refs[:2], At: at(80)}); err != nil {
		t.Fatal(err)
	}
	if got := j.State.Session(id).Done(); got != 10 {
		t.Errorf("after reopening two parts %d are done, want 10", got)
	}
	fresh, err := Open(j.Dir)
	if err != nil || !reflect.DeepEqual(fresh.State, j.State) {
		t.Errorf("what was written reads back differently: %v", err)
	}
}

// A timer that was ended late on another device is not counted.
func TestForgottenTimer(t *testing.T) {
	j, now := bench(t)
	begun, err := j.Append(BeginBody{Build: "pilot-boat", Stage: "clean", Kind: "clean", Start: *now})
	if err != nil {
		t.Fatal(err)
	}
	id := begun.ID()
	if _, err := j.Append(EndBody{Session: id, End: now.Add(13 * time.Hour)}); err != nil {
		t.Fatal(err)
	}
	if s := j.State.Session(id); !s.Doubt.Any() || len(j.State.Work("pilot-boat")) != 0 {
		t.Errorf("13 hours were counted: %+v", s)
	}
	minutes := 40.0
	if _, err := j.Append(CorrectBody{Session: id, Minutes: &minutes}); err != nil {
		t.Fatal(err)
	}
	if s := j.State.Session(id); s.Doubt.Any() || s.Net != 40*time.Minute {
		t.Errorf("after the correction: %v, doubt %v", s.Net, s.Doubt)
	}
}

// A retraction works whenever it comes, and can itself be taken back.
func TestRetract(t *testing.T) {
	j, _ := bench(t)
	work, err := j.Append(WorkBody{Build: "pilot-boat", Stage: "clean", Kind: "clean", Date: "2026-03-01", Minutes: 30, Known: Remembered})
	if err != nil {
		t.Fatal(err)
	}
	gone, err := j.Append(RetractBody{Record: work.ID()})
	if err != nil || len(j.State.Sessions) != 0 {
		t.Fatalf("%d sessions after the retraction, %v", len(j.State.Sessions), err)
	}
	if _, err := j.Append(RetractBody{Record: gone.ID()}); err != nil || len(j.State.Sessions) != 1 {
		t.Fatalf("%d sessions after the retraction was taken back, %v", len(j.State.Sessions), err)
	}
}

func TestTagAndTagRetracted(t *testing.T) {
	j, _ := bench(t)
	hash := "1f3a9c04" + string(bytes.Repeat([]byte("0"), 56))
	photo := PhotoBody{Hash: hash, Path: "photos/x.jpg", Name: "x.jpg", Tags: Tags{Build: "pilot-boat", Stage: "cut"}, Why: reason.WhysOf(map[string]string{"stage": "folder"}), Guess: true}
	if _, err := j.Append(photo); err != nil {
		t.Fatal(err)
	}
	rec, err := j.Append(TagBody{Photo: hash, Set: Tags{Stage: "clean", Role: "before"}})
	if err != nil {
		t.Fatal(err)
	}
	p := j.State.FindPhoto("1f3a")[0]
	if p.Tags.Stage != "clean" || p.Tags.Role != "before" || p.Guess || p.Why["stage"] != said || p.Kind != "clean" {
		t.Errorf("after the tag: %+v", p)
	}
	if _, err := j.Append(RetractBody{Record: rec.ID()}); err != nil {
		t.Fatal(err)
	}
	p = j.State.FindPhoto("1f3a")[0]
	if p.Tags.Stage != "cut" || p.Tags.Role != "" || !p.Guess || p.Why["stage"].Name != "folder" {
		t.Errorf("after the tag was taken back: %+v", p)
	}
}

// Records of a newer version are kept and change nothing else.
func TestUnknownKindIsKept(t *testing.T) {
	j, _ := bench(t)
	before := *j.State
	if _, err := j.Append(hologram{1}); err != nil {
		t.Fatal(err)
	}
	if len(j.State.Unknown) != 1 || len(j.State.Problems) != len(before.Problems) {
		t.Errorf("unknown %v, problems %v", j.State.Unknown, j.State.Problems)
	}
	data, err := os.ReadFile(filepath.Join(j.Dir, "journal.toml"))
	if err != nil {
		t.Fatal(err)
	}
	newer := bytes.Replace(data, []byte("format = 1"), []byte("format = 2"), 1)
	if err := WriteFile(filepath.Join(j.Dir, "journal.toml"), newer); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(j.Dir); err == nil {
		t.Error("a folder of a newer format was opened")
	}
}

// A session that began earlier than it was said first may end before that.
func TestEndBeforeTheFirstBeginning(t *testing.T) {
	j, now := bench(t)
	begun, err := j.Append(BeginBody{Build: "pilot-boat", Stage: "clean", Kind: "clean", Start: *now})
	if err != nil {
		t.Fatal(err)
	}
	end, earlier := now.Add(-10*time.Minute), now.Add(-40*time.Minute)
	if _, err := j.Append(EndBody{Session: begun.ID(), End: end}); err != nil {
		t.Fatal(err)
	}
	if s := j.State.Session(begun.ID()); !s.Open || len(j.State.Problems) != 1 {
		t.Errorf("an end before the beginning: %+v, %v", s, j.State.Problems)
	}
	if _, err := j.Append(CorrectBody{Session: begun.ID(), Start: &earlier}); err != nil {
		t.Fatal(err)
	}
	if s := j.State.Session(begun.ID()); s.Open || s.Net != 30*time.Minute || len(j.State.Problems) != 0 {
		t.Errorf("begun earlier: %+v, %v", s, j.State.Problems)
	}
}
