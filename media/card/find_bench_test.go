// What the search costs.

package card_test

import (
	"fmt"
	"testing"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/shot"
)

// BenchmarkFind searches photos of 12 megapixels with no card, one, and a large
// one beside a small one, on each kind of bench, with little noise and with much.
// Decoding the photo is no part of it.
func BenchmarkFind(b *testing.B) {
	large := shot.Placed{Face: card.Face{Card: journal.Card{Says: journal.CountCard, Count: 10}, Words: "10 done"}, Share: 0.35, X: 0.3, Y: 0.5, Turn: 0.2, Tilt: 0.2}
	small := shot.Placed{Face: card.Face{Card: journal.Card{Says: journal.EndCard}, Words: "End"}, Share: 0.09, X: 0.8, Y: 0.4, Turn: -0.2}
	for n, cards := range [][]shot.Placed{nil, {large}, {large, small}} {
		for _, bench := range shot.Benches {
			for _, noise := range []float64{3, 11} {
				img, err := shot.Shot{Width: 4000, Height: 3000, Seed: 3, Bench: bench, Noise: noise, Cards: cards}.Draw()
				if err != nil {
					b.Fatal(err)
				}
				p := card.PlaneOf(img)
				b.Run(fmt.Sprintf("%d cards, %s, noise %v", n, bench, noise), func(b *testing.B) {
					for b.Loop() {
						card.Find(p)
					}
				})
			}
		}
	}
}
