// Tests of what a watch shows of a code.

package main

import (
	"strings"
	"testing"

	"rakelight/media/card/qr"
)

// The square on the terminal reads as the address, from what is drawn alone.
func TestTheSquareReadsAsTheAddress(t *testing.T) {
	for _, text := range []string{"http://192.0.2.20:8765/pair#012345", "http://[2001:db8:1234:5678:9abc:def0:1234:5678]:65535/pair#999999"} {
		modules, err := qr.Symbol(text)
		if err != nil {
			t.Fatal(err)
		}
		var drawn [][]bool // true = dark
		for line := range strings.Lines(halfBlocks(modules)) {
			line, ok := strings.CutPrefix(strings.TrimSuffix(line, "\x1b[0m\n"), "\x1b[97;40m")
			if !ok {
				t.Fatalf("%q has no colors of its own", line)
			}
			var up, down []bool
			for _, r := range line {
				up, down = append(up, r == ' ' || r == '▄'), append(down, r == ' ' || r == '▀')
			}
			drawn = append(drawn, up, down)
		}
		side := len(modules)
		var inner [][]bool
		for y, row := range drawn {
			for x, dark := range row {
				if inside := y >= quiet && y < quiet+side && x >= quiet && x < quiet+side; dark && !inside {
					t.Fatalf("row %d, column %d of the rim is dark", y, x)
				}
			}
			if y >= quiet && y < quiet+side {
				inner = append(inner, row[quiet:quiet+side])
			}
		}
		if got, err := qr.Read(inner); err != nil || got != text {
			t.Errorf("it reads as %q, %v", got, err)
		}
	}
}
