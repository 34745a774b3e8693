// What a watch does with records that others write.

package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/render"
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
	if err := mine.CatchUp(); err != nil {
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

// What a person writes by hand is read, too.
func TestCatchUpReadsWhatIsWrittenByHand(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "journal")
	if err := journal.Create(dir, "Bench", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	j := openAt(t, dir)
	settings, err := os.ReadFile(j.Path("journal.toml"))
	if err != nil {
		t.Fatal(err)
	}
	written := strings.Replace(string(settings), `"Bench"`, `"The other bench"`, 1)
	if err := os.WriteFile(j.Path("journal.toml"), []byte(written), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := j.CatchUp(); err != nil || j.State.Config.Name != "The other bench" {
		t.Errorf("%q, %v", j.State.Config.Name, err)
	}
}

// A state is written once however often it is shown, and again after it could not be.
func TestPagesAreTriedAgain(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "journal")
	if err := journal.Create(dir, "Bench", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	j := openAt(t, dir)
	inTheWay := j.Path("pages/.written/folder") // where the list of our files has to be
	if err := os.MkdirAll(inTheWay, 0o755); err != nil {
		t.Fatal(err)
	}
	written := make(chan bool, 100)
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	pages := keepPages(ctx, render.NewWriter(j), func() { written <- true }, time.Millisecond)
	pages.show(seen{state: j.State})
	<-written
	<-written // nobody showed it again
	var said strings.Builder
	a := &app{err: &said}
	pages.tell(a)
	<-written
	pages.tell(a)
	if strings.Count(said.String(), "the pages were not all written") != 1 {
		t.Errorf("told as %q", said.String())
	}
	if err := os.RemoveAll(filepath.Dir(inTheWay)); err != nil {
		t.Fatal(err)
	}
	for {
		<-written
		if _, err := os.Stat(j.Path("pages/index.html")); err == nil {
			break
		}
	}
	stop()
	<-pages.ended
	for inbox := range 2 {
		if pages.show(seen{state: j.State, inbox: inbox}); len(pages.next) != inbox {
			t.Errorf("%d files in the inbox: %d states to write", inbox, len(pages.next))
		}
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
