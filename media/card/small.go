// The small cards of the page for an evening. Their symbol is as large as that of
// the others, so that all that is measured by it holds; scale and grays are left
// out, for a card that is photographed alone needs neither.

package card

// Measures of a small card in millimeters: three beside each other are as wide as
// two others, three below each other as high.
const (
	SmallWidth  = 63.3
	SmallHeight = 50.6

	smallX = (SmallWidth - SymbolSide) / 2 // of the symbol's upper left corner
	smallY = 7.8
)

// Size is how large the card is on paper.
func (p Face) Size() (width, height float64) {
	if p.Small {
		return SmallWidth, SmallHeight
	}
	return Width, Height
}

// Places are the upper left corners of cards on their page, in millimeters from
// that of the first: two others in a row, then small ones, three in a row.
func Places(cards []Face) [][2]float64 {
	var out [][2]float64
	full := 0
	for _, c := range cards {
		if c.Small {
			continue
		}
		full++
	}
	top, small := Height*float64((full+1)/2), 0
	for i, c := range cards {
		if c.Small {
			out = append(out, [2]float64{SmallWidth * float64(small%3), top + SmallHeight*float64(small/3)})
			small++
			continue
		}
		out = append(out, [2]float64{Width * float64(i%2), Height * float64(i/2)})
	}
	return out
}

// smallLayout places all that stands on a small card.
func (p Face) smallLayout(modules [][]bool) []mark {
	const edge = 3.0
	words := mark{x: edge, y: 5.6, h: fit(p.Words, SmallWidth-2*edge, 5), words: p.Words, bold: true}
	marks := []mark{words}
	if p.Of != "" {
		// Beside it, in what is left of the line.
		words.h = fit(p.Words, 0.6*(SmallWidth-2*edge), 5)
		at := edge + 0.62*words.h*float64(len([]rune(p.Words))) + 2
		marks = []mark{words, {x: at, y: 5.6, h: fit(p.Of, SmallWidth-edge-at, 2.8), words: p.Of}}
	}
	marks = append(marks, symbol(modules, smallX, smallY)...)
	if p.Card.Sheet != "" {
		marks = append(marks, mark{x: 1.5, y: SmallHeight - 5, h: 2, words: "Sheet"},
			mark{x: 1.5, y: SmallHeight - 2.4, h: 2.4, words: p.Card.Sheet, bold: true})
	}
	return marks
}

// symbol is the square of a card with its upper left corner at a place.
func symbol(modules [][]bool, left, top float64) []mark {
	var marks []mark
	for y, row := range modules {
		for x := 0; x < len(row); {
			// Runs in one piece: seams between neighbors show on some printers.
			run := 0
			for x+run < len(row) && row[x+run] {
				run++
			}
			if run > 0 {
				marks = append(marks, mark{x: left + Module*float64(x), y: top + Module*float64(y),
					w: Module * float64(run), h: Module})
			}
			x += max(run, 1)
		}
	}
	return marks
}
