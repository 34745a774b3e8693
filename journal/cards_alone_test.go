// Tests of pictures that show bench cards alone.

package journal

import (
	"encoding/json"
	"slices"
	"testing"
	"time"
)

// TestPicturesOfCardsAlone holds that a picture of nothing but cards says what
// they say and takes none of it on itself: it is no "before", and nobody is
// asked for its stage. The card that puts a build aside gives it its build.
func TestPicturesOfCardsAlone(t *testing.T) {
	small, large := [8]float64{100, 100, 240, 100, 240, 240, 100, 240}, [8]float64{60, 60, 520, 60, 520, 520, 60, 520}
	take := func(corners map[int][8]float64, lines ...string) *State {
		records := shots(t, lines...)
		for i := range records {
			var b PhotoBody
			if err := json.Unmarshal(records[i].Body, &b); err != nil {
				t.Fatal(err)
			}
			b.Width, b.Height = 1120, 840
			for k := range b.Cards {
				b.Cards[k].Corners = corners[i]
			}
			records[i].Body, _ = json.Marshal(b)
		}
		return Fold(cardPlan, records)
	}
	s := take(map[int][8]float64{0: large, 2: small, 3: large}, "19:00 begin pilot-boat clean & before", "19:02 photo", "19:30 after", "+20:00 pause lorry")
	var got []string
	for _, p := range s.Photos {
		alone := "work"
		if p.OfCards() {
			alone = "cards"
		}
		got = append(got, alone+" "+p.Tags.Build+" "+p.Tags.Stage+" "+p.Tags.Role)
	}
	want := []string{"cards pilot-boat clean ", "work pilot-boat clean before", "work pilot-boat clean after", "cards lorry  "}
	if !slices.Equal(got, want) {
		t.Errorf("photos %q; want %q", got, want)
	}
	for _, row := range s.ToDo() {
		if row.Photo != nil && row.Photo.OfCards() && row.Kind == Unsorted {
			t.Errorf("a person is asked where %s belongs", row.Name())
		}
	}
	if len(s.Pauses) != 1 || s.Pauses[0].Photo == "" || !s.Pauses[0].From.Equal(time.Date(2026, 3, 15, 20, 0, 0, 0, time.UTC)) {
		t.Errorf("pauses %+v; want one of the lorry since the evening after", s.Pauses)
	}
}

// TestPauseCardNamesTheBuild holds that the build a pause card names comes above
// the build a session nearby would tell.
func TestPauseCardNamesTheBuild(t *testing.T) {
	s := Fold(cardPlan, shots(t, "19:00 begin pilot-boat clean", "20:00 end", "20:30 pause lorry", "20:40 pause pilot-boat"))
	if len(s.Photos) != 4 {
		t.Fatalf("%d photos", len(s.Photos))
	}
	for i, build := range map[int]string{2: "lorry", 3: "pilot-boat"} {
		if p := s.Photos[i]; p.Tags.Build != build || p.Why["build"] != cardInPicture {
			t.Errorf("build %q (%v); want %s by the card", p.Tags.Build, p.Why["build"], build)
		}
	}
	if p := s.Photos[2]; p.Tags.Stage != "" || p.Guess {
		t.Errorf("stage %q, guess %v; the session was of another build", p.Tags.Stage, p.Guess)
	}
}
