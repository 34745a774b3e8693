// What a watch does with records that others write.

package main

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// A watch goes on from its state: what others said is there, what nobody touched is
// the same value as before, and what rests on the whole stays where only photos came.
func TestCatchUp(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "journal")
	if err := journal.Create(dir, "Bench", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	t.Setenv(marksEnv, filepath.Join(t.TempDir(), "marks"))
	mine, other := openAt(t, dir), openAt(t, dir)
	photo := func(digit string) journal.PhotoBody {
		hash := strings.Repeat(digit, 64)
		return journal.PhotoBody{Hash: hash, Path: "photos/" + hash[:8] + ".jpg", Name: "a.jpg", Format: "jpeg",
			Instant: journal.Instant{At: time.Now().Add(-time.Hour), Source: "DateTimeOriginal"}}
	}
	if _, err := mine.Append(photo("1")); err != nil {
		t.Fatal(err)
	}
	first, claims := mine.State.Photos[0], mine.State.Claims()
	if _, err := other.Append(photo("2")); err != nil {
		t.Fatal(err)
	}
	if err := catchUp(mine); err != nil {
		t.Fatal(err)
	}
	if len(mine.State.Photos) != 2 {
		t.Fatalf("%d photos", len(mine.State.Photos))
	}
	if mine.State.Photos[0] != first && mine.State.Photos[1] != first {
		t.Error("the state was made anew")
	}
	if mine.State.Claims() != claims {
		t.Error("the claims were reckoned again")
	}
	if _, err := mine.Append(journal.NoteBody{Text: "A note.", At: time.Now()}); err != nil {
		t.Fatal(err)
	}
	if mine.State.Claims() == claims {
		t.Error("what was said left the claims as they were")
	}
}

func openAt(t *testing.T, dir string) *journal.Journal {
	t.Helper()
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	return j
}
