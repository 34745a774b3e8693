// What a watch says of devices that want to be let in: the code, as digits and as a
// square to photograph.

package main

import (
	"os"
	"strings"

	"rakelight/journal"
	"rakelight/media/card/qr"
	"rakelight/render/guard"
)

// tellPairing prints what came of letting devices in; p is nil where none are.
func (a *app) tellPairing(p *guard.Pairing) {
	if p == nil {
		return
	}
	for _, n := range p.News() {
		switch {
		case n.Code != "" && n.Address == "":
			a.printf("To let a device in, open /pair there and type %s %s. It holds for five minutes.\n", n.Code[:3], n.Code[3:])
		case n.Code != "":
			at, _, _ := strings.Cut(n.Address, "#")
			a.printf("To let a device in, open %s there and type %s %s, or photograph the square. It holds for five minutes.\n",
				at, n.Code[:3], n.Code[3:])
			a.square(n.Address)
		case n.Err != nil:
			a.say(n.Err, diskHint(n.Err))
		case n.Let != "":
			a.printf("%s is let in. %s takes it out.\n", n.Let, journal.Typed("rakelight devices --forget %s", n.Let))
		default:
			a.printf("%d codes were wrong; for %s there is none.\n", n.Wrong, journal.Spell(n.Wait))
		}
	}
}

// square shows a text as a square on a terminal, and nothing elsewhere.
func (a *app) square(text string) {
	if !onTerminal(a.out) || os.Getenv("TERM") == "dumb" || os.Getenv("CI") != "" {
		return
	}
	if modules, err := qr.Symbol(text); err == nil { // the digits say the same
		manual(a.out, halfBlocks(modules))
	}
}

// quiet is the light rim a reader needs around a symbol, in modules (ISO/IEC 18004,
// from memory).
const quiet = 4

// halfBlocks draws modules, two rows a line: what is light is drawn, in white on
// black, so that it is light on a dark terminal, a light one, and one that knows no
// colors and is dark.
func halfBlocks(modules [][]bool) string {
	light := func(y, x int) bool {
		y, x = y-quiet, x-quiet
		return y < 0 || x < 0 || y >= len(modules) || x >= len(modules) || !modules[y][x]
	}
	side := len(modules) + 2*quiet
	var b strings.Builder
	for y := 0; y < side; y += 2 {
		b.WriteString("\x1b[97;40m")
		for x := range side {
			switch up, down := light(y, x), y+1 == side || light(y+1, x); {
			case up && down:
				b.WriteRune('█')
			case up:
				b.WriteRune('▀')
			case down:
				b.WriteRune('▄')
			default:
				b.WriteByte(' ')
			}
		}
		b.WriteString("\x1b[0m\n")
	}
	return b.String()
}
