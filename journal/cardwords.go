// This file reads what a person types in place of a card: "begin clean",
// "12 parts", "before".

package journal

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// CardsFrom reads words as cards, several with commas between them. b is the
// build that is meant where the words name none, nil = any. "nothing" is no
// card. What cannot be said is an AskError that lists what can.
func (s *State) CardsFrom(words string, b *Build) ([]Card, error) {
	var cards []Card
	for _, one := range strings.Split(words, ",") {
		one = strings.Join(strings.Fields(strings.ToLower(one)), " ")
		if one == "nothing" {
			continue
		}
		c, err := s.cardFrom(one, b)
		if err != nil {
			return nil, err
		}
		if _, err := c.Text(); err != nil {
			return nil, cannotSay(one)
		}
		cards = append(cards, c)
	}
	return cards, nil
}

// Words are what CardsFrom reads as the card. A build or a stage that is not in
// the journal is told in capitals.
func (s *State) Words(c Card) string {
	of := ""
	b := s.buildOfKey(c.Build)
	switch {
	case b != nil:
		of = " of " + b.ID
	case c.Build != "":
		of = " of BUILD"
	}
	switch c.Says {
	case BeginCard:
		return "begin " + stageOfKey(b, c.Stage) + of
	case EndCard:
		return "end"
	case BreakCard:
		return "break"
	case PauseCard:
		return "pause" + of
	case CountCard:
		return fmt.Sprintf("%d parts", c.Count)
	case RunnerCard:
		switch {
		case c.Kit > 0:
			return fmt.Sprintf("runner %d/%s", c.Kit, c.Word)
		case c.Word == "":
			return "whole runner"
		}
		return "runner " + c.Word
	case TrialCard:
		return fmt.Sprintf("trial %d", c.Count)
	case LightCard:
		return c.Word + " light"
	}
	return c.Word
}

// buildOfKey is the one build with the key, nil if it is none or several.
func (s *State) buildOfKey(key string) *Build {
	found := keep(s.Builds, func(b *Build) bool { return key != "" && BuildKey(b.ID) == key })
	if len(found) != 1 {
		return nil
	}
	return found[0]
}

// stageOfKey is the id of a build's stage with the key; without a build, the kind.
func stageOfKey(b *Build, key string) string {
	ids := Kinds
	if b != nil {
		ids = nil
		for _, st := range b.Stages {
			ids = append(ids, st.ID)
		}
	}
	for _, id := range ids {
		if StageKey(id) == key {
			return id
		}
	}
	return "STAGE"
}

// cardFrom reads one card; words are lower case with single blanks.
func (s *State) cardFrom(words string, b *Build) (Card, error) {
	if words = strings.TrimSuffix(words, " done"); words == "nothing" || words == "none" {
		words = "0" // "nothing done": counted, and none
	}
	rest, name, named := strings.Cut(words, " of ")
	if named {
		words = rest
		var err error
		if b, err = s.ResolveBuild(name); err != nil {
			return Card{}, err
		}
	}
	verb, what, _ := strings.Cut(words, " ")
	key := ""
	if b != nil {
		key = BuildKey(b.ID)
	}
	switch verb {
	case "begin":
		if what == "" {
			return Card{}, cannotSay(words)
		}
		return s.beginFrom(what, b, key)
	case "end", "break", "pause":
		switch {
		case what != "":
		case verb == "end":
			return Card{Says: EndCard}, nil
		case verb == "break":
			return Card{Says: BreakCard}, nil
		default:
			return Card{Says: PauseCard, Build: key}, nil
		}
	case "trial":
		if n, err := strconv.Atoi(what); err == nil {
			return Card{Says: TrialCard, Count: n}, nil
		}
	case "runner", "whole":
		return runnerFrom(words)
	}
	if n, err := strconv.Atoi(verb); err == nil && (what == "" || what == "part" || what == "parts") {
		return Card{Says: CountCard, Count: n}, nil
	}
	word := strings.TrimPrefix(strings.TrimSuffix(strings.TrimSuffix(words, " light"), " view"), "view: ")
	for says, all := range map[CardVerb][]string{RoleCard: Roles, ViewCard: Views, LightCard: Lights} {
		if slices.Contains(all, word) {
			return Card{Says: says, Word: word}, nil
		}
	}
	return Card{}, cannotSay(words)
}

// beginFrom reads the stage that begins: of the build, or, where none is known,
// a kind of the build that runs.
func (s *State) beginFrom(stage string, b *Build, key string) (Card, error) {
	if b != nil {
		for i := range b.Stages {
			if strings.EqualFold(b.Stages[i].Title, stage) {
				return Card{Says: BeginCard, Build: key, Stage: StageKey(b.Stages[i].ID)}, nil
			}
		}
		st, err := s.ResolveStage(b, stage)
		if err != nil {
			return Card{}, err
		}
		return Card{Says: BeginCard, Build: key, Stage: StageKey(st.ID)}, nil
	}
	if kind := Slug(stage); slices.Contains(Kinds, kind) {
		return Card{Says: BeginCard, Stage: StageKey(kind)}, nil
	}
	return Card{}, &AskError{What: fmt.Sprintf("%q is not a kind of stage, and no build is known of which it may be one",
		stage), Hint: "name the build, too: begin STAGE of BUILD"}
}

// runnerFrom reads "runner A", "runner 2/A" and "whole runner".
func runnerFrom(words string) (Card, error) {
	name := strings.TrimSpace(strings.TrimPrefix(strings.TrimPrefix(words, "whole "), "runner"))
	c := Card{Says: RunnerCard, Word: strings.ToUpper(name)}
	if kit, letter, ok := strings.Cut(name, "/"); ok {
		n, err := strconv.Atoi(kit)
		if err != nil || n < 1 {
			return Card{}, cannotSay(words)
		}
		c.Kit, c.Word = n, strings.ToUpper(letter)
	}
	return c, nil
}

// cannotSay tells what cards can say.
func cannotSay(words string) error {
	return &AskError{
		What: fmt.Sprintf("no card says %q", words),
		Hint: "one can say: begin STAGE (of BUILD), end, break, pause (of BUILD), 12 parts, 0 done, runner A, runner 2/A, trial 1, " +
			strings.Join(slices.Concat(Roles, Views), ", ") + ", " + strings.Join(Lights, " light, ") +
			" light, nothing; several with commas between them",
	}
}
