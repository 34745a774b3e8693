// Tests of what the work is done with.

package journal

import (
	"math"
	"reflect"
	"testing"
	"time"

	"rakelight/journal/sanding"
)

// sayShop is what may be said of mixes, additions and sanding plans, with what is
// there, and in the place of it.
func (h *fate) sayShop(s *State, build, photo string, parts []PartRef, at time.Time) []Body {
	rng := h.rng
	return []Body{
		MixBody{Build: build, Name: "hull red", Recipe: []MixPart{{"red", 3, false}, {"thinner", 1, true}}, Photo: photo,
			Parts: parts, Instead: []string{"", pick(rng, s.Mixes).Record}[rng.IntN(2)], At: at},
		AdditionBody{Build: build, Kind: "addition", Text: "wire", Photo: photo,
			Instead: []string{"", pick(rng, s.Additions).Record}[rng.IntN(2)], At: at},
		SandingBody{Build: build, Parts: parts, Steps: []sanding.Step{{Grit: 400, Scale: "P"}},
			Instead: []string{"", pick(rng, s.Sandings).Record, "bench-0/3"}[rng.IntN(3)], At: at},
	}
}

func TestMixes(t *testing.T) {
	h := &says{t: t}
	a12 := PartRef{Runner: "A", Number: "12", Count: 1}
	first := h.add(MixBody{Build: "pilot-boat", Name: "hull red", Recipe: []MixPart{{"red", 3, false}, {"thinner", 1, true}},
		Coats: 2, Batch: "7", Parts: []PartRef{{Runner: "A", Number: "12"}}, At: clock("19:00")})
	want := Mix{Build: "pilot-boat", Name: "hull red", Recipe: []MixPart{{"red", 3, false}, {"thinner", 1, true}}, Coats: 2,
		Batch: "7", Parts: []PartRef{a12}, At: clock("19:00"), Record: first}
	if got := h.fold().MixesOf("pilot-boat"); len(got) != 1 || !reflect.DeepEqual(got[0], want) {
		t.Fatalf("got %+v\nwant %+v", got, want)
	}
	// A later one stands in its place: the first is kept and does not count.
	second := h.add(MixBody{Build: "pilot-boat", Name: "hull red", Recipe: []MixPart{{"red", 2, false}}, Instead: first})
	s := h.fold()
	if got := s.MixesOf("pilot-boat"); len(got) != 1 || got[0].Record != second || got[0].Instead != first {
		t.Errorf("corrected: %+v", got)
	}
	if len(s.Mixes) != 2 || s.Mixes[0].By != second {
		t.Errorf("the one corrected is not kept: %+v", s.Mixes)
	}
	// Another device corrected the first one, too: the latest counts, alone.
	third := h.add(MixBody{Build: "pilot-boat", Name: "hull red", Recipe: []MixPart{{"red", 4, false}}, Instead: first})
	if got := h.fold().MixesOf("pilot-boat"); len(got) != 1 || got[0].Record != third {
		t.Errorf("corrected twice: %+v", got)
	}
	h.add(RetractBody{Record: third})
	if got := h.fold().MixesOf("pilot-boat"); len(got) != 1 || got[0].Record != second {
		t.Errorf("the second is not back: %+v", got)
	}
	h.add(RetractBody{Record: second})
	if got := h.fold().MixesOf("pilot-boat"); len(got) != 1 || got[0].Record != first || got[0].By != "" {
		t.Errorf("the first is not back: %+v", got)
	}
	if got := h.fold().Problems; len(got) > 0 {
		t.Errorf("problems: %v", got)
	}
}

func TestSandingOf(t *testing.T) {
	h := &says{t: t}
	a1, a2 := PartRef{Runner: "A", Number: "1", Count: 1}, PartRef{Runner: "A", Number: "2", Count: 1}
	steps := []sanding.Step{{Grit: 400, Scale: "P", Backing: "block", Check: "level"}, {Grit: 800, Scale: "P", Wet: true}}
	h.add(SandingBody{Build: "pilot-boat", Parts: []PartRef{a1, a2}, Surface: "flat", Finish: "primed", Remove: "nub", Steps: steps[:1]})
	later := h.add(SandingBody{Build: "pilot-boat", Parts: []PartRef{a2}, Surface: "flat", Finish: "primed", Remove: "nub", Steps: steps})
	of := h.add(SandingBody{Build: "pilot-boat", Sub: "wheelhouse", Surface: "curved", Finish: "primed", Remove: "seam", Steps: steps})
	s := h.fold()
	if p, ok := s.SandingOf("pilot-boat", a1); !ok || !reflect.DeepEqual(p.Steps, steps[:1]) {
		t.Errorf("A1: %+v", p)
	}
	if p, ok := s.SandingOf("pilot-boat", a2); !ok || p.Record != later || !reflect.DeepEqual(p.Steps, steps) {
		t.Errorf("A2: %+v", p)
	}
	if p, ok := s.SandingOfSub("pilot-boat", "wheelhouse"); !ok || p.Record != of {
		t.Errorf("wheelhouse: %+v", p)
	}
	if p, ok := s.SandingOfSub("pilot-boat", ""); ok {
		t.Errorf("no sub-assembly has the plan %+v", p)
	}
	if p, ok := s.SandingOf("lorry", a1); ok {
		t.Errorf("another build has the plan %+v", p)
	}
}

// What cannot be is a problem and no more.
func TestShopRefuses(t *testing.T) {
	part := []PartRef{{Runner: "A", Number: "1", Count: 1}}
	steps := []sanding.Step{{Grit: 400, Scale: "P"}}
	for name, b := range map[string]Body{
		"no name":           MixBody{Build: "lorry"},
		"nothing of a part": MixBody{Build: "lorry", Name: "red", Recipe: []MixPart{{What: "red"}}},
		"too much":          MixBody{Build: "lorry", Name: "red", Recipe: []MixPart{{What: "red", Parts: 1e9}}},
		"a part of nothing": MixBody{Build: "lorry", Name: "red", Recipe: []MixPart{{Parts: 1}}},
		"coats":             MixBody{Build: "lorry", Name: "red", Coats: -1},
		"minus one part":    MixBody{Build: "lorry", Name: "red", Parts: []PartRef{{Runner: "A", Number: "1", Count: -1}}},
		"no mix":            MixBody{Build: "lorry", Name: "red", Instead: "d/99"},
		"no words":          AdditionBody{Build: "lorry", Kind: "addition"},
		"no kind":           AdditionBody{Build: "lorry", Kind: "wish", Text: "wire"},
		"no addition":       AdditionBody{Build: "lorry", Kind: "addition", Text: "wire", Instead: "d/99"},
		"no steps":          SandingBody{Build: "lorry", Parts: part},
		"of nothing":        SandingBody{Build: "lorry", Steps: steps},
		"no plan":           SandingBody{Build: "lorry", Parts: part, Steps: steps, Instead: "d/99"},
	} {
		s := Fold(testPlan, history(t, b))
		if len(s.Problems) != 1 || len(s.Mixes)+len(s.Additions)+len(s.Sandings) > 0 {
			t.Errorf("%s: %v, %+v %+v %+v", name, s.Problems, s.Mixes, s.Additions, s.Sandings)
		}
	}
	if (MixBody{Name: "red", Recipe: []MixPart{{What: "red", Parts: math.NaN()}}}).Check() == nil {
		t.Error("no number is an amount")
	}
}

// What a part was worked with stands in its story, in one line each, also what was
// said of a sub-assembly that held it.
func TestShopInPartStory(t *testing.T) {
	h := &says{t: t}
	a1 := []PartRef{{Runner: "A", Number: "1", Count: 1}}
	h.add(SubBody{Noted: Noted{Build: "pilot-boat", Sub: "wheelhouse", Parts: a1, At: clock("18:00")}})
	old := h.add(MixBody{Build: "pilot-boat", Name: "gray", Parts: a1, At: clock("19:00")})
	h.add(MixBody{Build: "pilot-boat", Name: "hull red", Recipe: []MixPart{{"red", 3, false}, {"water", 1, true}}, Coats: 2, Batch: "7", Parts: a1, Instead: old, At: clock("19:00")})
	h.add(AdditionBody{Build: "pilot-boat", Kind: "addition", Text: "wire", Where: "rails", Sub: "wheelhouse", At: clock("19:10")})
	h.add(SandingBody{Build: "pilot-boat", Parts: a1, Surface: "flat", Finish: "primed", Remove: "nub", Steps: []sanding.Step{{Grit: 400, Scale: "P"}, {Grit: 600, Scale: "CAMI"}}, At: clock("19:20")})
	s := h.fold()
	var got []string
	for _, e := range s.PartStory("pilot-boat", a1[0]) {
		if e.Mix != nil || e.Addition != nil || e.Sanding != nil {
			got = append(got, s.TellStory(e))
		}
	}
	day := clock("19:00").Format(time.DateOnly)
	want := []string{
		day + " 19:00  painted with hull red: 3 red, 1 water (thinner); 2 coats; batch 7 (bench/3)",
		day + " 19:10  wheelhouse: addition: wire; rails (bench/4)",
		day + " 19:20  sanding plan: nub, flat, primed: P400, CAMI 600 (bench/5)",
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %q\nwant %q", got, want)
	}
	r, ok := s.Return("pilot-boat")
	if !ok || len(r.Mixes) != 1 || r.Mixes[0].Name != "hull red" {
		t.Errorf("who comes back finds the mixes %+v", r.Mixes)
	}
}
