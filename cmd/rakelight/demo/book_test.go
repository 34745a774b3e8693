package demo

import (
	"path/filepath"
	"testing"

	"rakelight/journal"
)

// The story's bench book goes through the door, holds some of each, and agrees with
// the builds.
func TestBookIsKept(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	if err := journal.Create(dir, "bench", zoneName, Today); err != nil {
		t.Fatal(err)
	}
	for _, p := range stories {
		if err := writeProse(dir, p); err != nil {
			t.Fatal(err)
		}
	}
	j, err := journal.OpenAt(dir, storyClock)
	if err == nil {
		err = keepBook(j)
	}
	if err != nil {
		t.Fatal(err)
	}
	s := j.State
	if len(s.Problems) > 0 || len(s.Checks) == 0 || len(s.Subs) == 0 || len(s.Preps) == 0 || len(s.Hands) == 0 {
		t.Errorf("%v, %d checks, %d sub-assemblies, %d prep notes, %d of the hands", s.Problems, len(s.Checks), len(s.Subs), len(s.Preps), len(s.Hands))
	}
	if len(s.HoldsOf("pilot-boat")) > 0 || len(s.HoldsOf("lightship")) == 0 {
		t.Error("the finished build waits for something, or the open one for nothing")
	}
	for _, b := range s.Builds {
		if lacks := s.Lacking(b.ID); len(lacks) > 0 != (b.ID == "second-lorry") {
			t.Errorf("%s lacks %q", b.ID, journal.Lacks(lacks))
		}
	}
}
