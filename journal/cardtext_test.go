// Tests of what a card's symbol says.

package journal

import (
	"errors"
	"slices"
	"strings"
	"testing"
)

// everyCard is one of each thing a card can say.
func everyCard() []Card {
	cards := []Card{
		{Says: BeginCard, Build: BuildKey("pilot-boat"), Stage: StageKey("clean")}, {Says: BeginCard, Stage: StageKey("clean")},
		{Says: EndCard}, {Says: EndCard, Build: BuildKey("pilot-boat")}, {Says: PauseCard, Build: BuildKey("pilot-boat")},
		{Says: BreakCard}, {Says: BreakCard, Build: BuildKey("pilot-boat")},
		{Says: RunnerCard}, {Says: RunnerCard, Word: "A"}, {Says: RunnerCard, Kit: 12, Word: "AB"},
		{Says: TrialCard, Count: 3},
	}
	for _, n := range []int{0, 1, 2, 5, 10, 20, 9999} {
		cards = append(cards, Card{Says: CountCard, Count: n})
	}
	for verb, words := range map[CardVerb][]string{RoleCard: Roles, ViewCard: Views, LightCard: Lights} {
		for _, w := range words {
			cards = append(cards, Card{Says: verb, Word: w})
		}
	}
	// All of them on a sheet with a mark, too.
	for _, c := range slices.Clone(cards) {
		c.Sheet = "K7QF"
		cards = append(cards, c)
	}
	return cards
}

func TestCardTextReadsBack(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range everyCard() {
		text, err := c.Text()
		if err != nil {
			t.Fatal(err)
		}
		if len(text) != 16+len(c.Sheet) || seen[text] {
			t.Errorf("%+v is written %q: not sixteen characters and the sheet's mark, or as another card", c, text)
		}
		seen[text] = true
		if back, err := ParseCard(text); err != nil || back != c {
			t.Errorf("%q reads as %+v, %v; want %+v", text, back, err, c)
		}
		// One wrong character anywhere makes it none of ours.
		for i := range text {
			for _, other := range "A7-" {
				bad := text[:i] + string(other) + text[i+1:]
				if _, err := ParseCard(bad); bad != text && !errors.Is(err, ErrNotACard) {
					t.Errorf("%q, changed to %q, is still a card", text, bad)
				}
			}
		}
	}
}

func TestCardsThatCannotBe(t *testing.T) {
	for _, c := range []Card{
		{}, {Says: 'Q'}, {Says: TrialCard}, {Says: BreakCard, Count: 1}, {Says: CountCard, Count: 10000}, {Says: CountCard, Count: -1}, {Says: BeginCard},
		{Says: BeginCard, Stage: "clean"}, {Says: EndCard, Build: "x"}, {Says: RunnerCard, Word: "a"}, {Says: RunnerCard, Word: "ABCDE"},
		{Says: RoleCard, Word: "middle"}, {Says: EndCard, Count: 3},
		{Says: EndCard, Sheet: "K7Q"}, {Says: EndCard, Sheet: "k7qf"}, {Says: EndCard, Sheet: "----"}, {Says: EndCard, Sheet: "K7QF1"},
	} {
		if text, err := c.Text(); err == nil {
			t.Errorf("%+v was written as %q", c, text)
		}
	}
}

// Cards printed before sheets had marks say what they said: texts as they stand
// on paper.
func TestCardsWithoutASheet(t *testing.T) {
	for text, want := range map[string]Card{
		"RL1E---------TKR": {Says: EndCard},
		"RL1N-----0005ZL4": {Says: CountCard, Count: 5},
	} {
		if c, err := ParseCard(text); err != nil || c != want {
			t.Errorf("%q reads as %+v, %v; want %+v", text, c, err, want)
		}
	}
}

func FuzzParseCard(f *testing.F) {
	for _, c := range everyCard() {
		text, err := c.Text()
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Add("RL2B-----AAAAAAA")
	f.Add(strings.Repeat("RL1", 1000))
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseCard(text)
		if err != nil {
			return
		}
		if back, err := c.Text(); err != nil || back != text {
			t.Errorf("%q reads as %+v, which is written %q (%v)", text, c, back, err)
		}
	})
}
