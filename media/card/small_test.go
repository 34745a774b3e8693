// Whether the page for an evening says what it should, and its small cards are read.

package card_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/shot"
)

var boat = journal.Build{ID: "pilot-boat", Title: "Pilot boat", Stages: []journal.Stage{
	{ID: "cut", Title: "Cut", Kind: "cut"}, {ID: "clean", Title: "Clean", Kind: "clean"}, {ID: "dry-fit", Title: "Dry-fit", Kind: "dry-fit"}, {ID: "paint", Title: "Paint", Kind: "paint"}}}

// The page for an evening says all that an evening takes, and together with the
// rest all that the set says.
func TestEveningOf(t *testing.T) {
	for _, open := range [][]string{nil, {"clean"}, {"clean", "dry-fit", "paint", "cut"}} {
		page := card.EveningOf(&boat, open)
		says := func(c journal.Card) bool {
			return slices.ContainsFunc(page, func(p card.Face) bool { return p.Card == c })
		}
		for _, c := range []journal.Card{{Says: journal.EndCard}, {Says: journal.BreakCard}, {Says: journal.CountCard}, {Says: journal.CountCard, Count: 1}, {Says: journal.CountCard, Count: 5},
			{Says: journal.CountCard, Count: 10}, {Says: journal.RoleCard, Word: "before"}, {Says: journal.RoleCard, Word: "after"}} {
			if !says(c) {
				t.Errorf("%v: no card says %v", open, c)
			}
		}
		for _, id := range open[:min(len(open), 3)] {
			if !says(journal.Card{Says: journal.BeginCard, Build: journal.BuildKey("pilot-boat"), Stage: journal.StageKey(id)}) {
				t.Errorf("%v: no card begins %s", open, id)
			}
		}
		if len(page) != 11 || len(card.Pages(page)) != 1 {
			t.Errorf("%v: %d cards on %d pages, want 11 on one", open, len(page), len(card.Pages(page)))
		}
		for i, at := range card.Places(page) {
			if w, h := page[i].Size(); at[0]+w > 2*card.Width || at[1]+h > 3*card.Height {
				t.Errorf("%s does not fit the page: at %v", page[i].Words, at)
			}
		}
		set := card.SetOf(&boat)
		all := append(page, card.Rest(set, page)...)
		for _, p := range set {
			if n := len(slices.DeleteFunc(slices.Clone(all), func(one card.Face) bool { return one.Card != p.Card })); n != 1 {
				t.Errorf("%v: %s stands on %d cards", open, p.Words, n)
			}
		}
	}
}

// Small cards have less white around their symbols, and are read from a dark and a
// light bench, aslant and turned, as far away as the others.
func TestSmallCardsAreRead(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	for _, small := range card.EveningOf(&boat, []string{"clean", "cut", "paint"})[2:] {
		for _, bench := range []string{"wood", "cutting mat", "printed paper"} {
			small.Card.Sheet = "K7QF"
			share := 0.12 + 0.5*rng.Float64()
			img, err := shot.Shot{Width: 1600, Height: 1200, Seed: rng.Uint64(), Bench: bench, Noise: 4, Uneven: 0.3, Cards: []shot.Placed{
				{Face: small, Share: share, X: 0.6, Y: 0.6, Turn: 6 * rng.Float64(), Tilt: 30 * deg * rng.Float64(), TiltAxis: 6 * rng.Float64()}}}.Draw()
			if err != nil {
				t.Fatal(err)
			}
			found := card.Find(card.PlaneOf(img))
			if len(found) != 1 || found[0].Card != small.Card {
				t.Errorf("%s on %s, %.2f of the width: found %v", small.Words, bench, share, found)
				continue
			}
			m, err := card.MeasureOf(found[0].Corners, found[0].Error)
			if err != nil {
				t.Fatal(err)
			}
			if g, err := card.GrayOf(img, m); err == nil {
				t.Errorf("%s on %s: the bench beside it was taken for gray steps %v", small.Words, bench, g)
			}
		}
	}
}

// The paper tells the size of the page for an evening, too.
func TestPaperOfEvening(t *testing.T) {
	for k, kind := range card.Papers {
		set := card.EveningOf(&boat, []string{"clean", "cut", "paint"})
		for i := range set {
			set[i].Card.Sheet = "K7QF"
		}
		const printed = 0.95
		img, err := shot.Shot{Width: 1500, Height: 2000, Seed: uint64(k), Bench: "wood", Noise: 3, Page: &shot.Page{Faces: set, Width: kind.Width, Height: kind.Height, Printed: printed,
			Left: (kind.Width - 190*printed) / 2, Top: 10, Words: true, Share: 0.8, Tilt: 8 * deg, Turn: 0.03}}.Draw()
		if err != nil {
			t.Fatal(err)
		}
		got, err := card.PaperOf(img, kind)
		if err != nil || got.Sheet != "K7QF" || abs(got.Printed-printed) > 2*got.Error {
			t.Errorf("%s: %+v, %v; want %v", kind.Name, got, err, printed)
		}
	}
}

func abs(v float64) float64 { return max(v, -v) }
