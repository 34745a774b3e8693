// A photo with a bench card, from the inbox to the session it begins.

package inbox_test

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/shot"
	"rakelight/media/inbox"
	"rakelight/media/scene"
)

func TestCardsInTheInbox(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "j")
	if err := journal.Create(dir, "Bench", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	build := []byte("---\ntitle: Pilot boat\nstages: [cut, clean]\n---\n")
	if err := journal.WriteFile(filepath.Join(dir, "builds", "pilot-boat", "build.md"), build); err != nil {
		t.Fatal(err)
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	at := time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)
	cards := []journal.Card{
		{Says: journal.BeginCard, Build: journal.BuildKey("pilot-boat"), Stage: journal.StageKey("clean")},
		{Says: journal.CountCard, Count: 10}, {Says: journal.EndCard},
	}
	var placed shot.Placed
	for i, c := range cards {
		placed = shot.Placed{Face: card.Face{Card: c, Words: c.String()}, Share: 0.3, X: 0.5, Y: 0.5, Turn: 0.3}
		img, err := shot.Shot{Width: 1200, Height: 900, Seed: uint64(i), Cards: []shot.Placed{placed}, Noise: 2, Defocus: 1}.Draw()
		if err != nil {
			t.Fatal(err)
		}
		f, err := os.Create(filepath.Join(dir, "inbox", c.String()+".jpg"))
		if err != nil {
			t.Fatal(err)
		}
		exif := scene.Exif{Make: "Tarrow", Model: "T-24", At: at.Add(time.Duration(i) * 20 * time.Minute), Offset: "+00:00"}
		if err := scene.WriteJPEG(f, img, exif); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := inbox.New(j, inbox.Options{}).TakeAll(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	s := j.State
	if len(s.Sessions) != 1 || s.Sessions[0].Net != 40*time.Minute || s.Sessions[0].Done() != 10 || s.Sessions[0].Known != journal.Measured || s.Sessions[0].Stage != "clean" {
		t.Fatalf("three cards made the sessions %+v, cards %+v", s.Sessions, s.Cards)
	}
	last := s.Photos[2]
	if last.Tags.Build != "pilot-boat" || last.Tags.Stage != "clean" {
		t.Errorf("the photo of the end card is tagged %+v", last.Tags)
	}
	for i, want := range placed.Corners(1200, 900) {
		if got := last.Cards[0].Corners; math.Hypot(got[2*i]-want[0], got[2*i+1]-want[1]) > 0.5 {
			t.Errorf("corner %d is recorded at %v, drawn at %v", i, got[2*i:2*i+2], want)
		}
	}
}
