// Symbols of others, cards held close, and bytes that are no photos.

package card_test

import (
	"testing"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/qr"
	"rakelight/media/card/shot"
)

// A card held close fills the picture, and is read all the same.
func TestCardsHeldClose(t *testing.T) {
	for _, share := range []float64{0.45, 0.7, 0.95} {
		p := shot.Placed{Face: everyFace()[3], Share: share, X: 0.5, Y: 0.5, Turn: 0.1}
		img, err := shot.Shot{Width: 1600, Height: 1300, Seed: 2, Cards: []shot.Placed{p}, Noise: 3, Defocus: 1}.Draw()
		if err != nil {
			t.Fatal(err)
		}
		if found := card.Find(card.PlaneOf(img)); len(found) != 1 {
			t.Errorf("a card of %.0f %% of the width: found %d", 100*share, len(found))
		}
	}
}

// A symbol of somebody else's is found and left alone: neither its text nor its
// place is ours.
func TestOtherSymbolsAreNotOurs(t *testing.T) {
	for _, text := range []string{"HELLO", "RL1N-----0005AAA", "RL2N-----0005AAA"} {
		modules, err := qr.Encode(text)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := qr.Read(modules); err != nil || back != text {
			t.Fatalf("%q reads back as %q, %v", text, back, err)
		}
		if found := card.Find(planeOfModules(modules)); len(found) > 0 {
			t.Errorf("%q was taken for a card: %+v", text, found)
		}
	}
	good, err := journal.Card{Says: journal.CountCard, Count: 5}.Text()
	if err != nil {
		t.Fatal(err)
	}
	modules, err := qr.Encode(good)
	if err != nil {
		t.Fatal(err)
	}
	if found := card.Find(planeOfModules(modules)); len(found) != 1 || found[0].Text != good {
		t.Errorf("a card drawn the same way gives %+v", found)
	}
}

// planeOfModules draws a symbol at eight pixels a module, white around it.
func planeOfModules(modules [][]bool) card.Plane {
	side := (len(modules) + 60) * 8
	p := card.Plane{Width: side, Height: side, Stride: side, Pix: make([]uint8, side*side)}
	for y := range side {
		for x := range side {
			p.Pix[y*side+x] = 230
			if i, k := x/8-30, y/8-30; i >= 0 && k >= 0 && i < len(modules) && k < len(modules) && modules[k][i] {
				p.Pix[y*side+x] = 30
			}
		}
	}
	return p
}

// A picture is input from outside, and so is what a symbol in it says.
func FuzzFind(f *testing.F) {
	f.Add(40, 40, []byte{0, 255, 255, 0})
	f.Add(300, 60, []byte("\x00\xff\x00\x00\x00\xff\x00"))
	f.Add(1, 3000, []byte{})
	f.Fuzz(func(t *testing.T, w, h int, pix []byte) {
		if w < 0 || h < 0 || w > 600 || h > 600 {
			return
		}
		p := card.Plane{Width: w, Height: h, Stride: w, Pix: make([]uint8, w*h)}
		for i := range p.Pix {
			if len(pix) > 0 {
				p.Pix[i] = pix[(i+i/max(w, 1)*3)%len(pix)]
			}
		}
		for _, one := range card.Find(p) {
			if _, err := journal.ParseCard(one.Text); err != nil {
				t.Errorf("found %+v, which is no card", one)
			}
		}
	})
}

// Modules may say anything; the libraries' failures are errors.
func FuzzRead(f *testing.F) {
	good, err := qr.Encode("RL1E-----" + "----AAA")
	if err != nil {
		f.Fatal(err)
	}
	var bits []byte
	for _, row := range good {
		for _, dark := range row {
			bits = append(bits, map[bool]byte{true: 1}[dark])
		}
	}
	f.Add(bits)
	f.Fuzz(func(t *testing.T, bits []byte) {
		modules := make([][]bool, qr.Side)
		for y := range modules {
			modules[y] = make([]bool, qr.Side)
			for x := range modules[y] {
				if i := y*qr.Side + x; i < len(bits) {
					modules[y][x] = bits[i]&1 == 1
				}
			}
		}
		text, err := qr.Read(modules)
		if err != nil {
			return
		}
		if c, err := journal.ParseCard(text); err == nil {
			if back, err := c.Text(); err != nil || back != text {
				t.Errorf("%q reads as %+v, which is written %q", text, c, back)
			}
		}
	})
}
