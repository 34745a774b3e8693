// Test that a journal of format 1, as it was first written, reads the same for
// ever. Its files under testdata are never written again.

package journal

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"
)

func TestFormat1(t *testing.T) {
	dir := t.TempDir() // the index is written there
	if err := os.CopyFS(dir, os.DirFS(filepath.Join("testdata", "format-1"))); err != nil {
		t.Fatal(err)
	}
	j, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	s := j.State
	if len(s.Problems) > 0 || len(s.Unknown) > 0 || s.Zone.String() != "Europe/Lisbon" || len(s.Config.Clocks) != 1 || s.Config.Clocks[0].Fast != "1h3m" {
		t.Errorf("problems %+v, unknown %v, %+v", s.Problems, s.Unknown, s.Config)
	}
	if len(s.Builds) != 1 || len(s.Builds[0].Kits) != 1 || len(s.Builds[0].Kits[0].Runners[0].Parts) != 25 || len(s.Builds[0].Stages) != 4 || len(s.Builds[0].Checklist) != 2 {
		t.Fatalf("builds %+v", s.Builds)
	}
	if first, last := s.FirstDay(s.Builds[0]), s.LastDay(s.Builds[0]); first != "2026-03-14" || last != "2026-03-14" {
		t.Errorf("days %s to %s", first, last)
	}
	if len(s.Sessions) != 2 || len(s.Running()) != 0 {
		t.Fatalf("%d sessions, %d running; want 2 and none", len(s.Sessions), len(s.Running()))
	}
	cut, clean := s.Sessions[0], s.Sessions[1]
	if cut.Known != Remembered || cut.Date != "2025-11" || cut.Net != 35*time.Minute || cut.Done() != 12 {
		t.Errorf("remembered: %+v", cut)
	}
	if clean.ID != "bench-3f2a/1" || clean.Net != time.Hour || clean.Done() != 4 || clean.Class != "flat" || clean.Kind != "clean" {
		t.Errorf("measured: %+v", clean)
	}
	if w := s.Work("mail-seaplane"); len(w) != 2 || w[1].Parts != 4 || w[1].Hours != 1 || w[1].Finish != "bare" || w[1].Week != "2026-W11" || w[0].Week != "" {
		t.Errorf("work %+v", w)
	}
	wantTags := Tags{Build: "mail-seaplane", Stage: "clean", Role: "after", View: "left", Light: "raking"}
	if len(s.Photos) != 1 || !reflect.DeepEqual(s.Photos[0].Tags, wantTags) {
		t.Fatalf("photos %+v", s.Photos)
	}
	if p := s.Photos[0]; p.Caption != "level at last" || p.Kind != "clean" || p.Why["role"] != said || p.Why["stage"].Name != "folder" || s.FindPhoto(p.Short())[0] != p {
		t.Errorf("photo %+v", p)
	}
	if len(s.Pauses) != 1 || s.Pauses[0].Until.IsZero() || s.Pauses[0].Next != "rig the floats" || s.Paused("mail-seaplane") != nil {
		t.Errorf("pauses %+v", s.Pauses)
	}
	if len(s.Diary) != 1 || s.Diary[0].Title != "Floats" || s.Diary[0].Body != "Both floats are level now.\n" {
		t.Errorf("diary %+v", s.Diary)
	}
	if found := j.Check(true); len(found) != 1 || found[0].Kind != MissingPhoto {
		t.Errorf("check found %+v; want the photo missing, which is not kept here", found)
	}
}
