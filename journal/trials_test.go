// Tests of sessions and marks with a tool on trial and without it.

package journal

import (
	"reflect"
	"slices"
	"testing"
	"time"
)

func TestTry(t *testing.T) {
	day := func(n int) time.Time { return time.Date(2026, 3, n, 19, 0, 0, 0, time.UTC) }
	session := func(id string, n, parts int, tools ...string) *Session {
		return &Session{ID: id, Build: "boat", Stage: "clean", Kind: "clean", Class: "flat", Start: day(n), Date: day(n).Format(time.DateOnly),
			Net: time.Hour, Bare: parts, Counted: true, Known: Measured, Tools: tools}
	}
	photo := func(hash string, n int) *Photo {
		return &Photo{Hash: hash, Kind: "clean", Tags: Tags{Build: "boat", Stage: "clean"}, Instant: Instant{At: day(n).Add(time.Hour)}}
	}
	mark := func(hash string, criterion, score, n int) Mark {
		return Mark{Photo: hash, Criterion: criterion, Score: score, Rubric: Rubric, At: day(n)}
	}
	card := session("f", 7, 22)
	card.Trials = []int{3}
	early := session("g", 2, 9)
	early.Trials = []int{3} // the card was another trial's then
	s := &State{Zone: time.UTC, Builds: []*Build{{ID: "boat"}}, Sessions: []*Session{
		session("a", 1, 10), early, session("b", 3, 12), session("c", 5, 20, "Glass  FILE", "saw"), session("d", 6, 24, "glass file"), card, session("e", 8, 11), session("late", 20, 99, "glass file"),
	}, Photos: []*Photo{photo("p0", 0), photo("p1", 1), photo("p5", 5), photo("p6", 6), {Hash: "other", Kind: "paint", Tags: Tags{Build: "boat", Stage: "paint"}, Instant: Instant{At: day(6)}}},
		Marks: []Mark{mark("p1", 1, 2, 9), mark("p1", 1, 4, 9), mark("p5", 1, 3, 9), mark("p6", 1, 4, 9), mark("p0", 1, 4, 9), mark("p5", 7, 1, 9), mark("other", 7, 1, 9),
			{Photo: "p6", Criterion: 1, Score: 1, Rubric: Rubric, Judge: "friend", At: day(9)}},
	}
	trial := &Trial{ID: "d/1", What: "glass file", Tool: "glass file", Card: 3, At: day(4), Closed: day(10)}
	got := s.Try(trial)
	if len(got.Kinds) != 1 {
		t.Fatalf("%+v", got)
	}
	k := got.Kinds[0]
	if k.With.N != 3 || k.With.PerHour != 22 || k.Without.N != 4 || k.Without.PerHour != 10.5 {
		t.Errorf("with it %d sessions at %v, without %d at %v; want 3 at 22, 4 at 10.5", k.With.N, k.With.PerHour, k.Without.N, k.Without.PerHour)
	}
	// The first marks of the owner, on criteria of the stage kind, of photos that show a session.
	if len(got.Marks) != 1 || got.Marks[0].Criterion != 1 || got.Marks[0].With.N != 2 || got.Marks[0].With.Value != 3.5 || got.Marks[0].Without.N != 1 || got.Marks[0].Without.Value != 2 {
		t.Errorf("%+v", got.Marks)
	}
	// What is corrected of a session it had counts after the close; a later session
	// does not, not even by the scatter it shows.
	s.Sessions[3].Bare = 44
	if k := s.Try(trial).Kinds[0]; k.With.PerHour != 30 {
		t.Errorf("corrected after the close: %v an hour", k.With.PerHour)
	}
	// Taken back, it is gone.
	kept := s.Sessions
	s.Sessions = slices.Delete(slices.Clone(kept), 3, 4)
	two := s.Try(trial).Kinds[0]
	if two.With.N != 2 {
		t.Errorf("%d with it after one was taken back", two.With.N)
	}
	s.Sessions = append(s.Sessions, session("later", 21, 1), session("latest", 22, 300))
	s.scatter = scatterOf(s.Work(""))
	if again := s.Try(trial).Kinds[0]; !reflect.DeepEqual(again, two) {
		t.Errorf("later sessions changed a closed trial:\n%+v\nwas\n%+v", again, two)
	}
	s.Sessions = kept
	trial.Closed = time.Time{}
	if k := s.Try(trial).Kinds[0]; k.With.N != 4 {
		t.Errorf("while it runs all sessions count: %d with it", k.With.N)
	}
}

// The day a trial begins is the journal's, whatever zone the record was written in.
func TestTrialBeginsWithTheDay(t *testing.T) {
	zone := time.FixedZone("", -5*3600)
	at := time.Date(2026, 3, 14, 21, 0, 0, 0, zone)
	trial := &Trial{ID: "d/1", Tool: "glass file", Card: 3, At: at.UTC()}
	s := &State{Zone: zone, Builds: []*Build{{ID: "boat"}}, Sessions: []*Session{{
		ID: "a", Build: "boat", Stage: "clean", Kind: "clean", Start: at.Add(-3 * time.Hour), Date: "2026-03-14", Net: time.Hour, Bare: 9, Counted: true, Known: Measured, Trials: []int{3},
	}}}
	if got := s.Try(trial); len(got.Kinds) != 1 || got.Kinds[0].With.N != 1 {
		t.Errorf("the card of the session before counts on the day the trial began: %+v", got.Kinds)
	}
}
