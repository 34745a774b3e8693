// Tests of the bytes compared eight at a time, and of the modules all symbols
// have alike against those of the library that writes them.

package qr

import (
	"encoding/binary"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestBelowComparesEveryByte(t *testing.T) {
	for a := range 256 {
		for b := range 256 {
			var x, y [8]byte
			for i := range x {
				// Neighbors that borrow must not reach over.
				x[i], y[i] = byte(37*i), byte(255-37*i)
			}
			x[a%8], y[a%8] = byte(a), byte(b)
			want := uint64(0)
			for i := range x {
				if x[i] < y[i] {
					want |= 1 << i
				}
			}
			if got := below(binary.LittleEndian.Uint64(x[:]), binary.LittleEndian.Uint64(y[:])); got != want {
				t.Fatalf("%d and %d: %08b, want %08b", x, y, got, want)
			}
		}
	}
}

func TestEdgesOfRowsOfAnyLength(t *testing.T) {
	for n := range 200 {
		rng := rand.New(rand.NewPCG(5, uint64(n)))
		row, cuts := make([]uint8, n), make([]uint8, n)
		var want []int
		was := false
		for x := range row {
			row[x], cuts[x] = uint8(rng.IntN(256)), uint8(rng.IntN(256))
			if dark := row[x] < cuts[x]; dark != was {
				want, was = append(want, x), dark
			}
		}
		if was {
			want = append(want, n)
		}
		if got := edgesOf(row, cuts, nil); !slices.Equal(got, want) {
			t.Errorf("%d pixels: edges at %v, want %v", n, got, want)
		}
	}
}

func TestFixedModulesAreThoseOfEverySymbol(t *testing.T) {
	for _, text := range []string{"RL1E---------TKR", "HELLO", "0", "ABCDEFGHIJKLMNOP"} {
		modules, err := Encode(text)
		if err != nil {
			t.Fatal(err)
		}
		if all, lines := Fixed(modules); all != 1 || lines != 1 {
			t.Errorf("%q: %.3f of all, %.3f of the lines are as they should be", text, all, lines)
		}
		for y := range modules {
			slices.Reverse(modules[y])
		}
		if all, _ := Fixed(modules); all > 0.9 {
			t.Errorf("%q in a mirror: %.3f are as they should be", text, all)
		}
		if all, lines := Fixed(Mend(modules)); all != 1 || lines != 1 {
			t.Errorf("%q mended: %.3f, %.3f", text, all, lines)
		}
	}
}
