// Tests of tools in sessions, and of repairs charged to their cause.

package journal

import (
	"reflect"
	"testing"
	"time"

	"rakelight/journal/metrics"
)

func TestTools(t *testing.T) {
	tools := func(names ...string) *[]string { return &names }
	s := Fold(testPlan, history(t,
		BeginBody{Build: "lorry", Stage: "clean", Start: clock("19:00"), Tools: []string{" Glass  file", "saw", "glass FILE", " "}},
		CorrectBody{Session: "d/1", AddTool: []string{"knife", "SAW"}},
	))
	if got, want := s.Sessions[0].Tools, []string{"Glass file", "knife", "saw"}; !reflect.DeepEqual(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if !s.Sessions[0].Used("  glass file ") || s.Sessions[0].Used("glass") || s.ToolName("KNIFE") != "knife" {
		t.Error("names do not compare by their keys")
	}
	s = Fold(testPlan, history(t,
		BeginBody{Build: "lorry", Stage: "clean", Start: clock("19:00"), Tools: []string{"saw"}},
		end("20:00"),
		CorrectBody{Session: "d/1", Tools: tools("Knife")},
	))
	if got := s.Work("lorry")[0].Tools; !reflect.DeepEqual(got, []string{"knife"}) {
		t.Errorf("corrected: %q", got)
	}
}

// mending folds what came before and one repair of an hour on A1 and A2.
func mending(t *testing.T, mends string, before ...Body) *State {
	t.Helper()
	all := append(before, WorkBody{Build: "lorry", Stage: "repair", Kind: "repair", Start: clock("22:00"), Minutes: 60, Known: Measured,
		Parts: []PartRef{part("1"), part("2")}, For: mends})
	return Fold(testPlan, history(t, all...))
}

func TestRepairsAreCharged(t *testing.T) {
	did := func(stage, at string, parts ...PartRef) Body {
		return WorkBody{Build: "lorry", Stage: stage, Kind: stage, Start: clock(at), Minutes: 30, Known: Measured, Parts: parts}
	}
	gouge := MistakeBody{Build: "lorry", Kind: "gouge", Stage: "paint", At: clock("21:00")}
	other := MistakeBody{Build: "seaplane", Kind: "gouge", Stage: "paint", At: clock("21:00")}
	for _, c := range []struct {
		name, mends string
		before      []Body
		want        []Charge
	}{
		{"the stage it names", "clean", []Body{did("paint", "20:00", part("1"))}, []Charge{{"clean", "clean", 1, ChargedAsSaid}}},
		{"the mistake it names", "d/1", []Body{gouge}, []Charge{{"paint", "paint", 1, ChargedByMistake}}},
		{"a mistake of another build is none", "d/1", []Body{other, did("clean", "20:00", part("1"), part("2"))}, []Charge{{"clean", "clean", 1, ChargedByParts}}},
		{"the last stage of its parts", "", []Body{did("clean", "19:00", part("1"), part("2")), did("paint", "20:00", part("1")), did("paint", "23:00", part("2"))},
			[]Charge{{"clean", "clean", 0.5, ChargedByParts}, {"paint", "paint", 0.5, ChargedByParts}}},
		{"a part nobody did", "", []Body{did("clean", "19:00", part("2"))}, []Charge{{"clean", "clean", 0.5, ChargedByParts}}},
		{"opened again since", "", []Body{did("clean", "19:00", part("1"), part("2")), ReopenBody{Build: "lorry", Parts: []PartRef{part("1")}, At: clock("21:00")}},
			[]Charge{{"clean", "clean", 1, ChargedByParts}}},
		{"nothing is known", "no-such-stage", nil, nil},
		{"a repair causes none", "repair", nil, nil},
	} {
		s := mending(t, c.mends, c.before...)
		i := len(s.Sessions) - 1
		for s.Sessions[i].Kind != "repair" {
			i--
		}
		if got := s.Sessions[i].Charged; !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
		var hours, charged float64
		for _, w := range s.Work("lorry") {
			if w.Kind == "repair" {
				hours += w.Hours
				if w.Causer != "" {
					charged += w.Hours
				}
			}
		}
		var want float64
		for _, one := range c.want {
			want += one.Share
		}
		if hours != 1 || charged != want {
			t.Errorf("%s: %v hours of repair, %v charged, want 1 and %v", c.name, hours, charged, want)
		}
	}
	s := mending(t, "clean", did("clean", "19:00", part("1"), part("2"), part("3")))
	if r := metrics.ReworkOf(s.Work(""), "clean"); r.Own.PerHour != 6 || r.Charged.PerHour != 2 {
		t.Errorf("3 parts in half an hour and an hour of mending: %v, %v", r.Own.PerHour, r.Charged.PerHour)
	}
}

// What the measured sessions say of the person's scatter goes with every session.
func TestWorkBringsTheScatter(t *testing.T) {
	var all []Body
	for i := range 20 {
		all = append(all, WorkBody{Build: "lorry", Stage: "clean", Kind: "clean", Start: clock("08:00").Add(time.Duration(i) * 24 * time.Hour), Minutes: 60,
			Known: Measured, Count: 20 + 20*(i%2)})
	}
	all = append(all, WorkBody{Build: "lorry", Stage: "clean", Kind: "clean", Start: clock("09:00"), Minutes: 60, Known: Remembered, Count: 900})
	for _, w := range Fold(testPlan, history(t, all...)).Work("lorry") {
		if w.Scatter.N != 20 || w.Scatter.CV < 0.27 || w.Scatter.CV > 0.33 {
			t.Fatalf("%+v, want the 20 measured sessions, about 30 %%", w.Scatter)
		}
	}
}
