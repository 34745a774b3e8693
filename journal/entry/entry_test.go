// Tests of the rules at the door, each through every thing it holds for.

package entry

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

const boat = `---
title: Pilot boat
runners:
  - {letter: A, parts: 12, class: flat, not-used: "7"}
  - {letter: B, parts: 6, class: curved}
stages: [cut, clean, paint, repair, {id: cure, kind: wait}]
totals: {paint: 3}
---
`

// table is a journal with two builds, and a clock that is moved by hand.
type table struct {
	*testing.T
	j   *journal.Journal
	now time.Time
}

func sitDown(t *testing.T) *table {
	t.Helper()
	b := &table{T: t, now: time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)}
	dir := filepath.Join(t.TempDir(), "j")
	if err := journal.Create(dir, "Bench", "UTC", b.now); err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"pilot-boat", "lorry"} {
		if err := os.MkdirAll(filepath.Join(dir, "builds", id), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "builds", id, "build.md"), []byte(boat), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	var err error
	if b.j, err = journal.OpenAt(dir, func() time.Time { return b.now }); err != nil {
		t.Fatal(err)
	}
	if len(b.j.State.Problems) > 0 {
		t.Fatal(b.j.State.Problems)
	}
	return b
}

// at is a time of the evening, hours and minutes.
func (b *table) at(clock string) time.Time {
	t, err := time.Parse("2006-01-02 15:04", "2026-03-14 "+clock)
	if err != nil {
		b.Fatal(err)
	}
	return t
}

// says says it at a time of the evening.
func (b *table) says(clock string, r Request) Outcome {
	b.Helper()
	b.now = b.at(clock)
	out, err := Do(b.j, r)
	if err != nil {
		b.Fatalf("%s, %+v: %v", clock, r, err)
	}
	return out
}

// refused holds that it is refused for the reason, and nothing is written.
func (b *table) refused(clock string, r Request, want Reason) *Refusal {
	b.Helper()
	b.now = b.at(clock)
	before := records(b.j)
	_, err := Do(b.j, r)
	var no *Refusal
	if !errors.As(err, &no) || no.Reason != want {
		b.Errorf("%s, %+v: %v, want %q", clock, r, err, want)
		return &Refusal{}
	}
	if got := records(b.j); got != before {
		b.Errorf("%+v was refused and wrote:\n%s", r, got)
	}
	return no
}

// records are the lines on disk.
func records(j *journal.Journal) string {
	var all strings.Builder
	files, _ := filepath.Glob(filepath.Join(j.Dir, "records", "*", "*.jsonl"))
	for _, name := range files {
		data, _ := os.ReadFile(name)
		all.Write(data)
	}
	return all.String()
}

func matters(remarks []Remark) []Matter {
	var all []Matter
	for _, r := range remarks {
		all = append(all, r.Matter)
	}
	return all
}

func TestAnEvening(t *testing.T) {
	b := sitDown(t)
	b.says("19:00", Begin{Build: "pilot-boat", Stage: "clean", Class: "flat", Tools: []string{"file"}})
	b.says("19:20", Done{Parts: "A1-A8"})
	b.says("19:30", Break{})
	b.says("19:40", Break{})
	b.says("19:45", Tool{Name: "Flush cutter"})
	out := b.says("20:00", Begin{Build: "lorry", Stage: "cut"})
	if s := out.Sessions(); len(s) != 2 || s[0].Net != 50*time.Minute || s[0].Done() != 7 || !s[1].Open {
		t.Errorf("%+v", s)
	}
	if out := b.says("20:05", Done{Parts: "0"}); !out.Sessions()[0].Counted || out.Sessions()[0].Done() != 0 {
		t.Errorf("none done: %+v", out.Sessions()[0])
	}
	b.says("20:30", End{})
	if found := b.j.Check(true); len(found) > 0 {
		t.Error(found)
	}
}

// A rule of time holds for everything that names a moment.
func TestWhatHasNotComeIsRefused(t *testing.T) {
	b := sitDown(t)
	b.refused("19:00", Begin{Build: "pilot-boat", Stage: "clean", At: b.at("19:01")}, NotYet)
	b.refused("19:00", Worked{Build: "pilot-boat", Stage: "clean", Minutes: 30, Date: "2026-03-15"}, NotYet)
	b.refused("19:00", Worked{Build: "pilot-boat", Stage: "clean", Minutes: 30, Date: "2026-03-14", Start: b.at("18:45")}, NotYet)
	b.refused("19:00", Pause{Build: "lorry", Why: "wire", From: b.at("20:00")}, NotYet)
	b.refused("19:00", Mistake{Build: "lorry", Kind: "gouge", At: b.at("20:00")}, NotYet)
	b.refused("19:00", Trial{What: "glass file", From: b.at("20:00")}, NotYet)
	id := b.says("19:00", Begin{Build: "pilot-boat", Stage: "clean"}).Sessions()[0].ID
	b.refused("19:10", Done{Parts: "A1", At: b.at("19:11")}, NotYet)
	b.refused("19:10", Break{At: b.at("19:11")}, NotYet)
	b.refused("19:10", End{At: b.at("19:11")}, NotYet)
	// A length that the timer cannot have, said while it runs and afterwards.
	b.refused("19:40", End{Lasted: 3 * time.Hour}, LongerThanSince)
	b.refused("19:40", Correct{Session: id, Lasted: 3 * time.Hour}, LongerThanSince)
	b.says("19:40", End{})
	b.refused("19:50", Correct{Session: id, Lasted: 3 * time.Hour}, LongerThanSince)
}

// Everything that is said of the session that runs asks about a forgotten timer,
// and about two.
func TestForgottenAndSeveral(t *testing.T) {
	b := sitDown(t)
	all := []Request{Done{Parts: "A1"}, Break{}, Tool{Name: "file"}, End{}}
	for _, r := range all {
		b.refused("08:00", r, NoSession)
	}
	b.says("08:00", Begin{Build: "pilot-boat", Stage: "clean"})
	for _, r := range append(all, Begin{Build: "lorry", Stage: "cut"}) {
		b.refused("21:00", r, Forgotten)
	}
	b.says("21:00", End{Lasted: time.Hour})
	b.says("21:00", Begin{Build: "pilot-boat", Stage: "clean"})
	// Another device's session comes by sync.
	if _, err := b.j.Append(journal.BeginBody{Build: "lorry", Stage: "cut", Kind: "cut", Start: b.at("21:05")}); err != nil {
		t.Fatal(err)
	}
	for _, r := range []Request{Done{Parts: "A1"}, Break{}, Tool{Name: "file"}, End{Lasted: time.Minute}} {
		b.refused("21:30", r, SeveralSessions)
	}
	// Both end, and what lay over each other is said, with what ends it.
	out := b.says("21:30", End{})
	if got := matters(out.Remarks); !reflect.DeepEqual(got, []Matter{Overlapping}) || len(out.Sessions()) != 2 {
		t.Fatalf("%v", got)
	}
	o := out.Remarks[0].Overlap
	if o.By != 25*time.Minute || o.Until != 5*time.Minute {
		t.Errorf("%+v", o)
	}
	if len(b.j.Check(false)) != 1 {
		t.Errorf("check: %v", b.j.Check(false))
	}
	b.says("21:31", Correct{Session: o.First, Lasted: o.Until})
	if left := b.j.State.Overlaps(); len(left) > 0 {
		t.Errorf("the remedy left %v", left)
	}
}

// 74 minutes do not fit into 43: one pair of hands does one thing.
func TestSessionsDoNotOverlap(t *testing.T) {
	b := sitDown(t)
	id := b.says("19:00", Begin{Build: "pilot-boat", Stage: "clean"}).Sessions()[0].ID
	b.says("19:43", End{})
	no := b.refused("19:43", Begin{Build: "lorry", Stage: "cut", At: b.at("19:10")}, Overlaps)
	if no.Other.ID != id {
		t.Errorf("%+v", no)
	}
	b.refused("20:00", Worked{Build: "lorry", Stage: "cut", Minutes: 30, Date: "2026-03-14", Start: b.at("18:45")}, Overlaps)
	// Curing takes no hands, and of what only the day is known nobody knows.
	b.says("20:00", Worked{Build: "lorry", Stage: "cure", Minutes: 30, Date: "2026-03-14", Start: b.at("18:45")})
	b.says("20:00", Worked{Build: "lorry", Stage: "cut", Minutes: 30, Date: "2026-03-14"})
	// The remedy: it ended earlier. Then the other fits, and must stay as short.
	b.says("20:00", Correct{Session: id, Lasted: 10 * time.Minute})
	b.says("20:00", Worked{Build: "lorry", Stage: "paint", Minutes: 31, Date: "2026-03-14", Start: b.at("19:10")})
	b.refused("20:10", Correct{Session: id, Lasted: 20 * time.Minute}, Overlaps)
	if found := b.j.Check(false); len(found) > 0 {
		t.Error(found)
	}
}

// A camera whose clock is ahead ends a session later than now. That keeps nobody
// from beginning the next; it is told when that one ends.
func TestBeginNowIsNeverKeptWaiting(t *testing.T) {
	b := sitDown(t)
	b.says("19:00", Begin{Build: "pilot-boat", Stage: "clean"})
	if _, err := b.j.Append(journal.EndBody{Session: b.j.State.Running()[0].ID, End: b.at("20:05")}); err != nil {
		t.Fatal(err)
	}
	b.says("20:02", Begin{Build: "lorry", Stage: "cut"})
	if got := matters(b.says("20:30", End{}).Remarks); !reflect.DeepEqual(got, []Matter{Overlapping}) {
		t.Errorf("%v", got)
	}
}

func TestBreaksLieInTheirSession(t *testing.T) {
	b := sitDown(t)
	b.says("19:00", Begin{Build: "pilot-boat", Stage: "clean"})
	b.refused("19:30", Break{At: b.at("18:30")}, BeganLater)
	b.says("19:30", Break{At: b.at("19:10")})
	b.refused("19:30", Break{At: b.at("19:05")}, BreakBackward)
	b.says("19:30", Break{At: b.at("19:20")})
	// In another break: the two would be one that never ends.
	no := b.refused("19:30", Break{At: b.at("19:15")}, BreakTaken)
	if !no.Break.End.Equal(b.at("19:20")) {
		t.Errorf("%+v", no.Break)
	}
	b.says("19:30", Break{At: b.at("19:20")})
	b.says("19:40", Break{At: b.at("19:30")})
	if s := b.says("20:00", End{}).Sessions()[0]; s.Net != 40*time.Minute {
		t.Errorf("%s, %v", s.Net, s.Breaks)
	}
}

// A part counts once in a stage, whichever way it is counted.
func TestPartsCountOnce(t *testing.T) {
	b := sitDown(t)
	b.says("19:00", Begin{Build: "pilot-boat", Stage: "clean"})
	b.says("19:10", Done{Parts: "A1,A2"})
	b.refused("19:10", Done{Parts: "A2,A3"}, CountedTwice)
	b.says("19:20", End{})
	b.refused("19:20", Worked{Build: "pilot-boat", Stage: "clean", Minutes: 9, Date: "2026-03-13", Parts: "A1"}, CountedTwice)
	cut := b.says("19:20", Worked{Build: "pilot-boat", Stage: "cut", Minutes: 9, Date: "2026-03-13", Parts: "A1"}).Sessions()[0].ID
	b.refused("19:20", Correct{Session: cut, Stage: "clean"}, CountedTwice)
	b.says("19:20", Correct{Session: cut, Build: "lorry"})
	if s := b.j.State.Session(cut); s.Build != "lorry" || s.Stage != "cut" {
		t.Errorf("%+v", s)
	}
	// An unknown part is one everywhere.
	for _, r := range []Request{
		Worked{Build: "lorry", Stage: "clean", Minutes: 9, Date: "2026-03-13", Parts: "A13"},
		Reopen{Build: "lorry", Parts: "A13"}, Mistake{Build: "lorry", Kind: "gouge", Parts: "A13"},
	} {
		var ask *journal.AskError
		if _, err := Do(b.j, r); !errors.As(err, &ask) || !strings.Contains(ask.What, "A13") {
			t.Errorf("%+v: %v", r, err)
		}
	}
}

// More than there is: the same remark, whatever brought it about, and its remedy
// ends it.
func TestMoreThanThereIs(t *testing.T) {
	b := sitDown(t)
	b.says("19:00", Begin{Build: "pilot-boat", Stage: "paint"})
	out := b.says("19:10", Done{Parts: "4"})
	if got := matters(out.Remarks); !reflect.DeepEqual(got, []Matter{MoreThanThere}) {
		t.Fatalf("done: %v", got)
	}
	if got := matters(b.says("19:11", Tool{Name: "brush"}).Remarks); len(got) != 0 {
		t.Errorf("it is said again: %v", got)
	}
	o := out.Remarks[0].Over
	enough := 3
	b.says("19:20", Correct{Session: o.Session, Count: &enough})
	if over := b.j.State.Over(); len(over) > 0 {
		t.Errorf("the remedy left %v", over)
	}
	b.says("19:20", End{})
	if got := matters(b.says("19:30", Worked{Build: "pilot-boat", Stage: "paint", Minutes: 5, Date: "2026-03-14", Start: b.at("19:21"), Parts: "1"}).Remarks); !reflect.DeepEqual(got, []Matter{MoreThanThere}) {
		t.Errorf("worked: %v", got)
	}
	more := 7
	if got := matters(b.says("19:30", Correct{Session: o.Session, Count: &more}).Remarks); !reflect.DeepEqual(got, []Matter{MoreThanThere}) {
		t.Errorf("correct: %v", got)
	}
	// The session to mend is one that counts, with enough to take off.
	last := b.j.State.Over()[0]
	if last.Session != o.Session || last.Done-last.There != 5 {
		t.Errorf("%+v", last)
	}
}

// A build that is put aside is not worked on, said now or afterwards.
func TestPausedBuild(t *testing.T) {
	b := sitDown(t)
	other := b.says("19:00", Worked{Build: "lorry", Stage: "cut", Minutes: 5, Date: "2026-03-14", Start: b.at("18:50")}).Sessions()[0].ID
	b.says("18:56", Pause{Build: "pilot-boat", Why: "wire", From: b.at("18:45")})
	b.refused("19:00", Begin{Build: "pilot-boat", Stage: "clean"}, PausedBuild)
	b.refused("19:00", Worked{Build: "pilot-boat", Stage: "clean", Minutes: 9, Date: "2026-03-14"}, PausedBuild)
	b.refused("19:00", Correct{Session: other, Build: "pilot-boat"}, PausedBuild)
	b.refused("19:00", Pause{Build: "pilot-boat", Why: "wire"}, PausedAlready)
	b.says("19:00", Worked{Build: "pilot-boat", Stage: "clean", Minutes: 9, Date: "2026-03-13"})
	b.says("19:00", Resume{Build: "pilot-boat"})
	b.refused("19:00", Resume{Build: "pilot-boat"}, NotPaused)
	b.says("19:00", Begin{Build: "pilot-boat", Stage: "clean"})
	b.refused("19:00", Pause{Build: "pilot-boat", Why: "wire"}, StillRunning)
}

// A class, a kit and what a repair mends are checked alike in all three.
func TestSortsOfWork(t *testing.T) {
	b := sitDown(t)
	id := b.says("19:00", Worked{Build: "lorry", Stage: "cut", Minutes: 5, Date: "2026-03-13"}).Sessions()[0].ID
	b.refused("19:00", Begin{Build: "lorry", Stage: "cut", Class: "funny"}, UnknownClass)
	b.refused("19:00", Worked{Build: "lorry", Stage: "cut", Minutes: 5, Date: "2026-03-13", Class: "funny"}, UnknownClass)
	b.refused("19:00", Correct{Session: id, Class: text("funny")}, UnknownClass)
	b.refused("19:00", Begin{Build: "lorry", Stage: "cut", For: "clean"}, NoRepair)
	b.refused("19:00", Worked{Build: "lorry", Stage: "cut", Minutes: 5, Date: "2026-03-13", For: "clean"}, NoRepair)
	b.refused("19:00", Correct{Session: id, For: "clean"}, NoRepair)
	b.refused("19:00", Begin{Build: "lorry", Stage: "cut", Kit: 2}, UnknownKit)
	b.refused("19:00", Worked{Build: "lorry", Stage: "cut", Minutes: 5, Date: "2026-03-13", Kit: 2}, UnknownKit)
	b.refused("19:00", Correct{Session: id}, NothingSaid)
	b.refused("19:00", Correct{Session: "none", Note: text("x")}, NoSuchSession)
}

// Two processes at once: what the second one checked on its own state does not
// hold any more, and it is refused under the lock.
func TestCheckedAgainUnderTheLock(t *testing.T) {
	b := sitDown(t)
	other, err := journal.OpenAt(b.j.Dir, func() time.Time { return b.now })
	if err != nil {
		t.Fatal(err)
	}
	b.says("19:00", Begin{Build: "lorry", Stage: "cut"})
	if len(other.State.Running()) != 0 {
		t.Fatal("the other process knows already")
	}
	here := b.j
	b.j = other
	b.refused("19:00", Begin{Build: "lorry", Stage: "cut"}, RunsAlready)
	b.says("19:00", Done{Parts: "A1"})
	b.j = here
	b.refused("19:00", Done{Parts: "A1"}, CountedTwice)
}

func TestPreviewWritesNothing(t *testing.T) {
	b := sitDown(t)
	before, state := records(b.j), b.j.State
	plan, after, err := Preview(b.j, Worked{Build: "lorry", Stage: "paint", Minutes: 9, Date: "2026-03-13", Parts: "4"})
	if err != nil || len(plan.Add) != 1 || len(after.Sessions) != 1 || !reflect.DeepEqual(matters(plan.Remarks), []Matter{MoreThanThere}) {
		t.Errorf("%+v, %v", plan, err)
	}
	if records(b.j) != before || b.j.State != state || len(state.Sessions) != 0 {
		t.Error("a preview changed the journal")
	}
}

// Taking a session back takes with it what hangs on it, and leaves no remark; it
// comes back whole.
func TestRetractTakesAlong(t *testing.T) {
	b := sitDown(t)
	id := b.says("19:00", Begin{Build: "lorry", Stage: "clean"}).Sessions()[0].ID
	b.says("19:10", Done{Parts: "A1-A3"})
	b.says("19:15", Break{})
	b.says("19:20", Break{})
	b.says("20:00", End{})
	b.says("20:01", Correct{Session: id, Note: text("by lamp")})
	b.says("20:02", Reopen{Build: "lorry", Parts: "A2"})
	whole := *b.j.State.Session(id)
	back := b.says("20:05", RetractAll{Records: []string{id}}).Records[0].ID()
	if found := b.j.Check(false); len(found) > 0 || len(b.j.State.Sessions) != 0 {
		t.Errorf("%v, %v", found, b.j.State.Sessions)
	}
	b.refused("20:06", RetractAll{Records: []string{id}}, TakenBack)
	b.refused("20:06", RetractAll{Records: []string{"none/1"}}, NoSuchRecord)
	b.says("20:06", RetractAll{Records: []string{back}})
	if s := b.j.State.Session(id); s == nil || !reflect.DeepEqual(*s, whole) {
		t.Errorf("it came back as %+v, was %+v", s, whole)
	}
}

// The end of a session and the beginning of the next are one entry, and are taken back
// as one: the first runs again.
func TestRetractAllOfAnEntry(t *testing.T) {
	b := sitDown(t)
	first := b.says("19:00", Begin{Build: "lorry", Stage: "cut"}).Sessions()[0].ID
	var ids []string
	for _, r := range b.says("19:30", Begin{Build: "lorry", Stage: "clean"}).Records {
		ids = append(ids, r.ID())
	}
	if len(ids) != 2 {
		t.Fatalf("an end and a beginning are %q", ids)
	}
	b.says("19:31", RetractAll{Records: ids})
	if running := b.j.State.Running(); len(running) != 1 || running[0].ID != first || len(b.j.State.Sessions) != 1 {
		t.Errorf("there run %+v", running)
	}
	b.refused("19:32", RetractAll{Records: ids}, TakenBack)
	b.refused("19:32", RetractAll{}, NoSuchRecord)
}

// Who has seen all of a runner has not seen what was missing from it before: that part
// is named to say so.
func TestWholeRunnerSeenLeavesWhatWasMissing(t *testing.T) {
	b := sitDown(t)
	lorry := func(parts, state string) CheckParts {
		return CheckParts{About: About{Build: "lorry", Parts: parts}, State: state}
	}
	b.says("19:00", lorry("A3", "missing"))
	out := b.says("19:01", lorry("A", "seen"))
	if lacks := journal.Lacks(b.j.State.Lacking("lorry")); lacks != "A3 missing" {
		t.Errorf("lacking: %q", lacks)
	}
	if len(out.Remarks) != 1 || out.Remarks[0].Matter != StayAsFound || out.Remarks[0].Name != "A3 missing" {
		t.Errorf("remarks: %+v", out.Remarks)
	}
	b.says("19:02", lorry("A3", "seen"))
	if lacks := b.j.State.Lacking("lorry"); len(lacks) != 0 {
		t.Errorf("lacking: %+v", lacks)
	}
}

// What another record rests on is taken back after it: else that one would stand
// there without effect and without a word.
func TestRetractNamesWhatRestsOnIt(t *testing.T) {
	b := sitDown(t)
	id := b.says("19:00", Worked{Build: "lorry", Stage: "paint", Minutes: 9, Date: "2026-03-13"}).Sessions()[0].ID
	three := 3
	counted := b.says("19:01", Correct{Session: id, Count: &three}).Records[0].ID()
	b.refused("19:02", Reopen{Build: "pilot-boat", Parts: "2", Session: id}, NoSuchSession)
	b.refused("19:02", Reopen{Build: "lorry", Parts: "4", Session: id}, FewerDone)
	reopened := b.says("19:02", Reopen{Build: "lorry", Parts: "2", Session: id}).Records[0].ID()
	if no := b.refused("19:03", RetractAll{Records: []string{counted}}, RestsOn); no.Record != reopened {
		t.Errorf("%+v", no)
	}
	b.says("19:03", RetractAll{Records: []string{reopened}})
	b.says("19:03", RetractAll{Records: []string{counted}})
}

// A session is mended whole: when it was, its breaks, its parts.
func TestMendAnEvening(t *testing.T) {
	b := sitDown(t)
	id := b.says("19:00", Begin{Build: "pilot-boat", Stage: "clean"}).Sessions()[0].ID
	b.says("19:10", Done{Parts: "A1,A2"})
	b.says("19:30", End{})
	b.says("19:40", Begin{Build: "lorry", Stage: "cut"})
	b.says("20:10", End{})
	rest := func(from, to string) *[]journal.Rest { return &[]journal.Rest{{Start: b.at(from), End: b.at(to)}} }
	b.refused("20:20", Correct{Session: id, End: b.at("19:50")}, Overlaps)
	b.refused("20:20", Correct{Session: id, End: b.at("18:50")}, EndsBefore)
	b.refused("20:20", Correct{Session: id, End: b.at("21:50")}, NotYet)
	b.refused("20:20", Correct{Session: id, Breaks: rest("18:30", "18:40")}, BreakOutside)
	b.refused("20:20", Correct{Session: id, Take: "A3"}, NotDone)
	b.refused("20:20", Correct{Session: id, Add: "A2"}, CountedTwice)
	b.says("20:20", Correct{Session: id, Start: b.at("18:30"), End: b.at("19:40"), Breaks: rest("18:50", "19:00"), Add: "A3", Take: "A1"})
	if s := b.j.State.Session(id); s.Net != time.Hour || journal.Ranges(s.Parts) != "A2,A3" || s.Known != journal.Measured || s.Doubt.Any() {
		t.Errorf("%s, %s, %s", s.Net, journal.Ranges(s.Parts), s.Known)
	}
	// What was opened again rests on the session that did it.
	opened := b.says("20:20", Reopen{Build: "pilot-boat", Parts: "A3"}).Records[0].ID()
	if no := b.refused("20:20", Correct{Session: id, Take: "A3"}, RestsOn); no.Record != opened {
		t.Errorf("%+v", no)
	}
	b.says("20:20", RetractAll{Records: []string{opened}})
	named := "A2,A4"
	b.says("20:20", Correct{Session: id, Parts: &named})
	if s := b.j.State.Session(id); journal.Ranges(s.Parts) != "A2,A4" {
		t.Errorf("%s", journal.Ranges(s.Parts))
	}
	if found := b.j.Check(false); len(found) > 0 {
		t.Error(found)
	}
}

func TestFinishAndNote(t *testing.T) {
	b := sitDown(t)
	b.refused("19:00", Note{Text: "pegs cut off"}, WhichBuild)
	b.refused("19:00", Note{Text: " ", Build: "lorry"}, NoWords)
	b.says("19:00", Note{Text: "pegs cut off", Build: "lorry", Parts: "A1"})
	id := b.says("19:00", Begin{Build: "lorry", Stage: "cut"}).Sessions()[0].ID
	b.says("19:05", Note{Text: "by lamp"})
	if n := b.j.State.NotesIn(id); len(n) != 1 || n[0].Build != "lorry" || n[0].Stage != "cut" {
		t.Errorf("%+v", n)
	}
	b.refused("19:10", Finish{Build: "lorry"}, StillRunning)
	b.says("19:20", End{})
	b.refused("19:20", Finish{Build: "lorry", Date: "2026-03-15"}, NotYet)
	b.refused("19:20", Unfinish{Build: "lorry"}, NotFinished)
	b.says("19:20", Finish{Build: "lorry"})
	b.refused("19:20", Finish{Build: "lorry"}, FinishedAlready)
	if got := b.j.State.Build("lorry").Finished; got != "2026-03-14" {
		t.Errorf("finished %q", got)
	}
	b.says("19:20", Unfinish{Build: "lorry"})
	if got := b.j.State.Build("lorry").Finished; got != "" {
		t.Errorf("still finished %q", got)
	}
}

// Of two records under one id the person says which is meant, and the retraction
// names that one alone.
func TestRetractOneOfTwo(t *testing.T) {
	mk := func(body string) journal.Record {
		return journal.Record{At: time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC), Dev: "d", Seq: 1, Kind: "pause", Body: []byte(body)}
	}
	a, b := mk(`{"build":"lorry","why":"no wire"}`), mk(`{"build":"lorry","why":"no paint"}`)
	l := journal.LookAt(journal.Plan{}, []journal.Record{a, b, b}, a.At)
	var no *Refusal
	if _, err := (RetractAll{Records: []string{"d/1"}}).Plan(l); !errors.As(err, &no) || no.Reason != SeveralRecords || len(no.Records) != 2 {
		t.Fatalf("%v, %+v; want to be asked which of two", err, no)
	}
	plan, err := RetractAll{Records: []string{"d/1#" + b.Sum()}}.Plan(l)
	if err != nil || plan.Add[0].(journal.RetractBody) != (journal.RetractBody{Record: "d/1", Sum: b.Sum()}) {
		t.Errorf("%+v, %v", plan, err)
	}
}
