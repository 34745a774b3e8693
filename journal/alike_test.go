// Tests of what a person said of two photos that look alike.

package journal

import (
	"slices"
	"strings"
	"testing"
)

// The latest word on two photos counts, whichever was named first, and the one before
// it when it is taken back.
func TestAlike(t *testing.T) {
	a, b := &Photo{Hash: strings.Repeat("a", 64)}, &Photo{Hash: strings.Repeat("b", 64)}
	records := []Record{
		pointsRecord(t, 1, "photo", PhotoBody{Hash: a.Hash, Path: "photos/a"}),
		pointsRecord(t, 2, "photo", PhotoBody{Hash: b.Hash, Path: "photos/b"}),
		pointsRecord(t, 3, "alike", AlikeBody{A: a.Hash, B: b.Hash, Not: true}),
		pointsRecord(t, 4, "alike", AlikeBody{A: b.Hash, B: a.Hash}),
	}
	yes := Alike{A: a.Hash, B: b.Hash, Record: "bench-1/4"}
	s := Fold(testPlan, records)
	if len(s.Problems) > 0 || !slices.Equal(s.Alikes, []Alike{yes}) || s.AlikeOf(a, b) != yes || s.AlikeOf(b, a) != yes {
		t.Errorf("%v, %+v", s.Problems, s.Alikes)
	}
	s = Fold(testPlan, append(records, pointsRecord(t, 5, "retract", RetractBody{Record: "bench-1/4"})))
	if said := s.AlikeOf(b, a); !said.Not || said.Record != "bench-1/3" {
		t.Errorf("taken back, it is %+v", said)
	}
	if said := s.AlikeOf(a, &Photo{Hash: "c"}); said != (Alike{}) {
		t.Errorf("of a photo nobody spoke of: %+v", said)
	}
	for _, body := range []AlikeBody{{A: a.Hash, B: a.Hash}, {A: a.Hash, B: "gone"}} {
		s := Fold(testPlan, append(slices.Clip(records[:2]), pointsRecord(t, 3, "alike", body)))
		if len(s.Alikes) > 0 || len(s.Problems) != 1 {
			t.Errorf("%+v: %+v, %v", body, s.Alikes, s.Problems)
		}
	}
}

// Readers see which photos a person put beside each other, and neither which not nor
// what was asked.
func TestAlikesForReaders(t *testing.T) {
	hashes := []string{strings.Repeat("1", 64), strings.Repeat("2", 64), strings.Repeat("3", 64)}
	s := &State{Builds: []*Build{{ID: "lorry"}}}
	for _, h := range hashes {
		s.Photos = append(s.Photos, &Photo{Hash: h, Tags: Tags{Build: "lorry"}})
	}
	s.Alikes = []Alike{{A: hashes[0], B: hashes[1], Record: "d/1"}, {A: hashes[0], B: hashes[2], Not: true, Record: "d/2"}, {A: hashes[1], B: hashes[2], Record: "d/3"}}
	s.Privates = []Private{{Photo: hashes[2]}}
	out := s.ForReaders(nil)
	if !slices.Equal(out.Alikes, []Alike{{A: hashes[0], B: hashes[1]}}) {
		t.Errorf("readers get %+v", out.Alikes)
	}
}

// A photo that has its view from one it was called alike to stands in no blind pair: which
// photo that is was chosen with both in sight. Tagged by its person it does.
func TestFoundAlikeIsNotJudged(t *testing.T) {
	a, b := strings.Repeat("a", 64), strings.Repeat("b", 64)
	photo := func(hash, build string, tags Tags) PhotoBody {
		tags.Build, tags.Stage, tags.Role = build, "clean", "after"
		return PhotoBody{Hash: hash, Path: "photos/" + hash, Width: 800, Height: 600, Tags: tags}
	}
	records := []Record{
		pointsRecord(t, 1, "photo", photo(a, "lorry", Tags{})),
		pointsRecord(t, 2, "photo", photo(b, "seaplane", Tags{View: "left", Light: "raking"})),
		pointsRecord(t, 3, "alike", AlikeBody{A: a, B: b}),
		pointsRecord(t, 4, "tag", TagBody{Photo: a, Set: Tags{View: "left", Light: "raking"}, Alike: b}),
	}
	judgeable := func(records []Record) bool {
		s := Fold(testPlan, records)
		p := s.PhotosByHash()[a]
		if p.Tags.View != "left" || p.Tags.Light != "raking" || len(s.Problems) > 0 {
			t.Errorf("%+v, %v", p.Tags, s.Problems)
		}
		return p.judgeable()
	}
	if judgeable(records) {
		t.Error("it is judged")
	}
	if !judgeable(append(records, pointsRecord(t, 5, "tag", TagBody{Photo: a, Set: Tags{View: "left", Light: "raking"}}))) {
		t.Error("tagged by its person it is not judged")
	}
}
