// What a bench card's symbol holds, for who wants to print or read cards with
// something else.

package render

import (
	"fmt"
	"strings"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/qr"
)

// FormatPage is card-format.html.
type FormatPage struct {
	Frame
	Example  string // the text of one card of a sheet with a mark
	Bare     string // the same of a sheet without
	Pieces   []FormatPiece
	Verbs    []FormatVerb
	Words    []Fact // the codes of roles, views and lights
	Measures []Fact // where things stand on a card
	Modules  int    // of a side of the symbol
	Version  int    // of the symbol
}

// FormatPiece is a part of the text: from which character, how many, what.
type FormatPiece struct{ Text, What string }

// FormatVerb is something a card can say.
type FormatVerb struct{ Letter, Says, Argument, Example string }

func (v *view) formatPage() FormatPage {
	f := FormatPage{Frame: v.frame("", "format", "What a card’s symbol holds"), Modules: qr.Side, Version: qr.Version}
	build, stage := journal.BuildKey("pilot-boat"), journal.StageKey("clean")
	for _, one := range []struct {
		card           journal.Card
		says, argument string
	}{
		{journal.Card{Says: journal.BeginCard, Build: build, Stage: stage}, "a stage begins",
			"key of the stage’s id; of its kind where no build is named"},
		{journal.Card{Says: journal.EndCard}, "the stage ends", "----"},
		{journal.Card{Says: journal.BreakCard}, "a break begins, or ends", "----"},
		{journal.Card{Says: journal.PauseCard, Build: build}, "the build is put aside", "----"},
		{journal.Card{Says: journal.CountCard, Count: 12}, "so many are done", "0000 to 9999; 0000 = nothing done"},
		{journal.Card{Says: journal.RunnerCard, Kit: 2, Word: "AB"}, "a whole runner is done",
			"number of the kit and letters, filled up with dashes; ---- for the only runner"},
		{journal.Card{Says: journal.RoleCard, Word: "before"}, "what the photos show", "code of the role"},
		{journal.Card{Says: journal.ViewCard, Word: "three-quarter"}, "from where they are taken", "code of the view"},
		{journal.Card{Says: journal.LightCard, Word: "raking"}, "under which light", "code of the light"},
		{journal.Card{Says: journal.TrialCard, Count: 3}, "a trial is on", "number of the trial, 0001 to 9999"},
	} {
		f.Verbs = append(f.Verbs, FormatVerb{string(one.card.Says), one.says, one.argument, textOf(one.card)})
	}
	f.Example = textOf(journal.Card{Says: journal.BeginCard, Build: build, Stage: stage, Sheet: "K7QF"})
	f.Bare = f.Verbs[0].Example
	for _, piece := range []struct {
		length int
		what   string
	}{
		{3, "a bench card that bears the mark of its sheet; RL1 = one that bears none, and is four characters shorter"},
		{1, "what is said: the letter of the table below"},
		{5, "the build: the key of its id, or ----- for the one that runs"},
		{4, "what the letter needs"},
		{4, "mark of the sheet the card was printed on, letters and digits as in keys: what a ruler says of the sheet holds for the photos that show it"},
		{3, "checksum: the key, of three, of all characters before it"},
	} {
		at := 0
		for _, p := range f.Pieces {
			at += len(p.Text)
		}
		f.Pieces = append(f.Pieces, FormatPiece{f.Example[at : at+piece.length], piece.what})
	}
	for _, one := range []struct {
		title string
		says  journal.CardVerb
		words []string
	}{{"Roles", journal.RoleCard, journal.Roles}, {"Views", journal.ViewCard, journal.Views},
		{"Lights", journal.LightCard, journal.Lights}} {
		codes := ""
		for _, w := range one.words {
			codes = joinWords(", ", codes, textOf(journal.Card{Says: one.says, Word: w})[9:13]+" "+w)
		}
		f.Words = append(f.Words, Fact{one.title, codes})
	}
	mm := func(x, y float64) string { return fmt.Sprintf("%g mm from the left, %g mm from the top", x, y) }
	grays := strings.Trim(fmt.Sprint(card.Steps), "[]")
	f.Measures = []Fact{
		{"The card", fmt.Sprintf("%g mm wide, %g mm high%s, as all that follows", card.Width, card.Height,
			card.IfFull)},
		{"Its symbol", fmt.Sprintf("a square of %g mm, modules of %g mm; its upper left corner %s", card.SymbolSide,
			card.Module, mm(card.SymbolX, card.SymbolY))},
		{"Its scale", fmt.Sprintf("%g mm long; its zero %s", card.ScaleLength, mm(card.ScaleX, card.ScaleY))},
		{"Its grays", fmt.Sprintf("squares of %g mm, sRGB values %s; the first %s", card.StepSide,
			strings.ReplaceAll(grays, " ", ", "), mm(card.StepX, card.StepY))},
	}
	return f
}

// textOf is the text of a card of this file.
func textOf(c journal.Card) string {
	text, err := c.Text()
	if err != nil {
		panic(err) // all of them are good cards, which the test of this page finds
	}
	return text
}
