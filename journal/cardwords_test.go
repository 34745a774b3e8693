// Tests of what a person types in place of a card.

package journal

import (
	"errors"
	"slices"
	"strings"
	"testing"
)

func TestCardsFromWords(t *testing.T) {
	s := Fold(cardPlan, nil)
	boat := s.Build("pilot-boat")
	clean := Card{Says: BeginCard, Build: BuildKey("pilot-boat"), Stage: StageKey("clean")}
	for _, c := range []struct {
		words string
		of    *Build
		want  []Card // nil = it cannot be said
	}{
		{"begin clean", boat, []Card{clean}},
		{"Begin  Clean", boat, []Card{clean}},
		{"begin clean of pilot-boat", nil, []Card{clean}},
		{"begin paint the cab of lorry", boat, []Card{{Says: BeginCard, Build: BuildKey("lorry"), Stage: StageKey("paint-cab")}}},
		{"begin clean", nil, []Card{{Says: BeginCard, Stage: StageKey("clean")}}},
		{"begin polish", boat, nil},
		{"begin polish", nil, nil},
		{"begin", boat, nil},
		{"begin paint of lorry", nil, nil}, // it has two of that kind
		{"end", boat, []Card{{Says: EndCard}}},
		{"end clean", boat, nil},
		{"pause", boat, []Card{{Says: PauseCard, Build: BuildKey("pilot-boat")}}},
		{"pause of lugger", boat, nil},
		{"12 parts", boat, []Card{{Says: CountCard, Count: 12}}},
		{"1 part done", boat, []Card{{Says: CountCard, Count: 1}}},
		{"12", nil, []Card{{Says: CountCard, Count: 12}}},
		{"0 parts", nil, []Card{{Says: CountCard}}},
		{"0 done", nil, []Card{{Says: CountCard}}},
		{"nothing done", nil, []Card{{Says: CountCard}}},
		{"break", boat, []Card{{Says: BreakCard}}},
		{"break clean", boat, nil},
		{"trial 0", nil, nil},
		{"-3", nil, nil},
		{"10000", nil, nil},
		{"runner a", boat, []Card{{Says: RunnerCard, Word: "A"}}},
		{"runner 2/B done", boat, []Card{{Says: RunnerCard, Kit: 2, Word: "B"}}},
		{"whole runner", boat, []Card{{Says: RunnerCard}}},
		{"runner 0/B", boat, nil},
		{"runner ABCDE", boat, nil},
		{"before", nil, []Card{{Says: RoleCard, Word: "before"}}},
		{"left view", nil, []Card{{Says: ViewCard, Word: "left"}}},
		{"raking light", nil, []Card{{Says: LightCard, Word: "raking"}}},
		{"trial 2", nil, []Card{{Says: TrialCard, Count: 2}}},
		{"trial glue", nil, nil},
		{"nothing", nil, []Card{}},
		{"5 parts, end", boat, []Card{{Says: CountCard, Count: 5}, {Says: EndCard}}},
		{"", boat, nil},
	} {
		got, err := s.CardsFrom(c.words, c.of)
		var ask *AskError
		switch {
		case c.want == nil && !errors.As(err, &ask):
			t.Errorf("%q: %v, %v; want a question back", c.words, got, err)
		case c.want != nil && (err != nil || !slices.Equal(got, c.want)):
			t.Errorf("%q: %+v, %v; want %+v", c.words, got, err, c.want)
		}
	}
	// What the program calls a card, a person can type.
	for _, c := range []Card{{Says: EndCard}, {Says: BreakCard}, {Says: PauseCard}, {Says: CountCard}, {Says: CountCard, Count: 7}, {Says: RunnerCard, Word: "A"}, {Says: TrialCard, Count: 3},
		{Says: RoleCard, Word: "problem"}, {Says: ViewCard, Word: "three-quarter"}, {Says: LightCard, Word: "diffuse"}} {
		if got, err := s.CardsFrom(c.String(), nil); err != nil || !slices.Equal(got, []Card{c}) {
			t.Errorf("%q: %+v, %v", c, got, err)
		}
	}
	_, err := s.CardsFrom("begn clean", boat)
	var ask *AskError
	if !errors.As(err, &ask) || !strings.Contains(ask.Hint, "begin STAGE") {
		t.Errorf("%v: it does not tell what can be said", err)
	}
}
