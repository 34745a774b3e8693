// Package card knows bench cards: how they are printed, how they are found in
// a photo, and what their corners tell of the plane they lie in.
//
// Start with SetOf, the cards of a build; SVG, Raster and Sheet draw them. Find
// returns the cards in a photo, and a Ruler is one of a kept photo in millimeters.
// What a card means is the journal's: this package turns journal.Card into paper
// and photos into text.
package card

import (
	"fmt"
	"strings"

	"rakelight/journal"
	"rakelight/media/card/qr"
)

// Measures of a card in millimeters, x to the right, y down, from its upper
// left corner.
const (
	Width  = 95.0
	Height = 76.0

	Module     = 1.6              // side of one module of the symbol
	SymbolSide = Module * qr.Side // 40
	SymbolX    = 7.0              // of the symbol's upper left corner
	SymbolY    = 20.0

	ScaleX      = 7.0 // where the scale's zero is
	ScaleY      = 68.0
	ScaleLength = journal.ScaleLength

	StepX    = 57.0 // of the first gray step
	StepY    = 56.0
	StepSide = 6.4
)

// Steps are the gray steps from left to right, as they are printed: the
// brightness an sRGB value of 255 would be 1 of. The first is bare paper.
var Steps = []uint8{255, 192, 128, 64, 0}

// mark is one thing on a card: a filled rectangle, or words.
type mark struct {
	x, y, w, h float64 // of words: x is the left edge, y the baseline, h the size of the type
	gray       uint8
	words      string // "" = a rectangle
	bold       bool
}

// Face is a card as it is printed: what it says and the words for the person.
type Face struct {
	Card   journal.Card
	Words  string   // large: "Begin: Clean"
	Of     string   // the build's title, "" = any build
	Detail []string // short lines
	Small  bool     // of the page for an evening: no scale, no grays, no details
	Rules  []string // what is written by hand, each with a line: "Why", "Next"; after a line break what was written
}

// layout places all that stands on a card. An error is a card that cannot be
// written as text.
func (p Face) layout() ([]mark, error) {
	text, err := p.Card.Text()
	if err != nil {
		return nil, err
	}
	modules, err := qr.Encode(text)
	if err != nil {
		return nil, err
	}
	if p.Small {
		return p.smallLayout(modules), nil
	}
	marks := []mark{{x: SymbolX, y: 12.2, h: fit(p.Words, Width-2*SymbolX, 9.5), words: p.Words, bold: true}}
	marks = append(marks, symbol(modules, SymbolX, SymbolY)...)
	const column = 55.0
	y, room := 22.0, 0.0
	if len(p.Rules) > 0 {
		// Where there is to be written, the column begins beside the title if that
		// leaves it the room, and the lines share what there is above the grays.
		if 0.62*9.5*float64(len([]rune(p.Words))) < column-SymbolX-2 {
			y = 8
		}
		above := 4.2*1.35*float64(min(1, len(p.Of))) + 3.2*1.35*float64(len(p.Detail))
		room = min(12, (StepY-3-y-above)/float64(len(p.Rules)))
	}
	line := func(s string, most float64, bold bool) {
		marks = append(marks, mark{x: column, y: y, h: fit(s, Width-4-column, most), words: s, bold: bold})
		y += most * 1.35
	}
	if p.Of != "" {
		line(p.Of, 4.2, true)
	}
	for _, s := range p.Detail {
		line(s, 3.2, false)
	}
	for _, s := range p.Rules {
		label, written, _ := strings.Cut(s, "\n")
		marks = append(marks, mark{x: column, y: y + 1.6, h: 2.6, words: label},
			mark{x: column, y: y + room - 2, w: Width - 4 - column, h: 0.2})
		if written != "" {
			marks = append(marks, mark{x: column + 1, y: y + room - 3, h: fit(written, Width-6-column, 4), gray: 48,
				words: written})
		}
		y += room
	}
	// What the symbol holds ends where it always did, also when it is longer.
	const small = 2.0
	return append(append(marks, measures(p.Card.Sheet)...),
		mark{x: 72 - 0.62*small*float64(len(text)-16), y: 74, h: small, words: text, gray: 96}), nil
}

// measures are the scale, the gray steps and what to do with a ruler: the same
// on all cards of a sheet, whose mark it is.
func measures(sheet string) []mark {
	marks := []mark{{x: ScaleX, y: ScaleY, w: ScaleLength, h: 0.25}}
	for mm := range int(ScaleLength) + 1 {
		long, width := 1.4, 0.15
		switch {
		case mm%10 == 0:
			long, width = 3.2, 0.3
			marks = append(marks, mark{x: ScaleX + float64(mm) - 0.6*float64(len(fmt.Sprint(mm))), y: ScaleY + 5.6,
				h: 2.2, words: fmt.Sprint(mm)})
		case mm%5 == 0:
			long = 2.2
		}
		marks = append(marks, mark{x: ScaleX + float64(mm) - width/2, y: ScaleY, w: width, h: long})
	}
	for i, g := range Steps {
		x := StepX + StepSide*float64(i)
		if g < 255 {
			marks = append(marks, mark{x: x, y: StepY, w: StepSide, h: StepSide, gray: g})
			continue
		}
		// Bare paper has an outline.
		marks = append(marks, mark{x: x, y: StepY, w: StepSide, h: 0.15},
			mark{x: x, y: StepY + StepSide - 0.15, w: StepSide, h: 0.15}, mark{x: x, y: StepY, w: 0.15, h: StepSide})
	}
	ask := [2]string{"Printed at 100 %? Then", "0 to 50 is 50 mm long."}
	if sheet != "" {
		ask = [2]string{"Sheet " + sheet, "Does 0 to 50 measure 50?"}
	}
	return append(marks,
		mark{x: 60, y: 67.4, h: 2.3, words: ask[0], bold: sheet != ""},
		mark{x: 60, y: 70.4, h: 2.3, words: ask[1]})
}

// fit is the size of type at which words are no wider than given; bold capitals
// are some 0.62 of it wide.
func fit(words string, width, most float64) float64 {
	return min(most, width/(0.62*float64(max(1, len([]rune(words))))))
}
