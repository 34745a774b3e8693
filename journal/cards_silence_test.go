// Tests of sessions by card that nothing but a silence ends.

package journal

import (
	"testing"
	"time"
)

// TestSilenceUntilNow holds that a session by card ends at its last photo once
// no photo came for the limit, though none came after either; that its hours do
// not hang on a later photo; and that a timer begun since is other work.
func TestSilenceUntilNow(t *testing.T) {
	shown := []string{"19:00 begin pilot-boat clean", "19:50 photo", "20:10 12"}
	at := func(now string) *State {
		plan := cardPlan
		plan.Now, _ = time.Parse(time.DateTime, now)
		return Fold(plan, shots(t, shown...))
	}
	if got, want := told(at("2026-03-14 21:30:00")), "pilot-boat/clean 19:00-running measured 12"; got != want {
		t.Errorf("80 min after the last photo: %q; want %q", got, want)
	}
	ended := "pilot-boat/clean 19:00-20:10 estimated 12"
	if got := told(at("2026-03-14 21:50:00")); got != ended {
		t.Errorf("100 min after the last photo: %q; want %q", got, ended)
	}
	s := at("2026-03-17 12:00:00")
	later := Fold(cardPlan, shots(t, append(shown, "++09:00 photo")...))
	if told(s) != told(later) || s.Sessions[0].Net != later.Sessions[0].Net {
		t.Errorf("%q without a later photo, %q with one", told(s), told(later))
	}

	// At 20:30 a timer began; the end card at 21:00 is its end.
	records := shots(t, append(shown, "21:00 end")...)
	timer, err := suppose(BeginBody{Build: "lorry", Stage: "clean", Kind: "clean", Start: time.Date(2026, 3, 14, 20, 30, 0, 0, time.UTC)}, records)
	if err != nil {
		t.Fatal(err)
	}
	records = append(records, timer)
	if got, want := told(Fold(cardPlan, records)), ended+"\nlorry/clean 20:30-21:00 measured 0"; got != want {
		t.Errorf("with a timer begun since: %q; want %q", got, want)
	}
}
