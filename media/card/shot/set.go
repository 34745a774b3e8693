// A set of photos by what goes wrong in them, for measuring how many cards are
// read.

package shot

import (
	"math"
	"math/rand/v2"

	"rakelight/journal"
	"rakelight/media/card"
)

// Condition is one thing that goes wrong. Name is as tables show it.
type Condition struct {
	Name  string
	spoil func(s *Shot, rng *rand.Rand)
}

const degree = math.Pi / 180

// Conditions are what real photos of cards suffer from.
var Conditions = []Condition{
	{"flat", func(s *Shot, rng *rand.Rand) {}},
	{"turned", func(s *Shot, rng *rand.Rand) { s.Cards[0].Turn = rng.Float64() * 2 * math.Pi }},
	{"tilted to 30°", func(s *Shot, rng *rand.Rand) { s.Cards[0].Tilt = (15 + 15*rng.Float64()) * degree }},
	{"tilted 30° to 45°", func(s *Shot, rng *rand.Rand) { s.Cards[0].Tilt = (30 + 15*rng.Float64()) * degree }},
	{"small, 8 to 10 %", func(s *Shot, rng *rand.Rand) { s.Cards[0].Share = 0.08 + 0.02*rng.Float64() }},
	{"out of focus", func(s *Shot, rng *rand.Rand) {
		// Up to half a module: more, and the dots run together.
		s.Defocus = s.module() * (0.25 + 0.2*rng.Float64())
	}},
	{"moved", func(s *Shot, rng *rand.Rand) {
		s.Motion, s.MotionTo = s.module()*(0.5+0.6*rng.Float64()), rng.Float64()*math.Pi
	}},
	{"noise, dim", func(s *Shot, rng *rand.Rand) { s.Noise, s.Exposure = 10+15*rng.Float64(), 0.35+0.3*rng.Float64() }},
	{"uneven light", func(s *Shot, rng *rand.Rand) { s.Uneven = 0.6 + 0.35*rng.Float64() }},
	{"hard shadow", func(s *Shot, rng *rand.Rand) { s.Shadow = 0.4 + 0.35*rng.Float64() }},
	{"colored light", func(s *Shot, rng *rand.Rand) {
		s.Tint = [][3]float64{{1, 0.72, 0.4}, {0.6, 0.8, 1}, {1, 0.5, 0.5}}[rng.IntN(3)]
	}},
	{"glare", func(s *Shot, rng *rand.Rand) { s.Glare = 0.4 + 0.6*rng.Float64() }},
	{"edge covered", func(s *Shot, rng *rand.Rand) { s.Cards[0].Covered = 0.4 + 0.4*rng.Float64() }},
	{"two cards", func(s *Shot, rng *rand.Rand) {
		s.Cards[0].Share = 0.12 + 0.14*rng.Float64()
		other := s.Cards[0]
		s.Cards[0].X, other.X = 0.3, 0.7
		other.Turn = (rng.Float64() - 0.5) * 0.6
		s.add(other, rng)
	}},
	{"several at once", func(s *Shot, rng *rand.Rand) {
		c := &s.Cards[0]
		c.Tilt, c.Turn = 25*degree*rng.Float64(), rng.Float64()*2*math.Pi
		s.Defocus, s.Noise, s.Uneven = s.module()*0.25*rng.Float64(), 4+8*rng.Float64(), 0.5*rng.Float64()
		s.Shadow, c.Covered = 0.4*rng.Float64(), 0.5*rng.Float64()
	}},
	{"near and far", func(s *Shot, rng *rand.Rand) {
		s.Cards[0].Share = 0.3 + 0.12*rng.Float64()
		far := s.Cards[0]
		far.Share = 0.055 + 0.035*rng.Float64()
		s.Cards[0].X, s.Cards[0].Y, far.X, far.Y = 0.3, 0.4, 0.65+0.25*rng.Float64(), 0.2+0.6*rng.Float64()
		far.Turn = rng.Float64() * 2 * math.Pi
		s.add(far, rng)
	}},
	{"large and small", func(s *Shot, rng *rand.Rand) {
		s.Cards[0].Share = 0.5 + 0.1*rng.Float64()
		small := s.Cards[0]
		small.Share = 0.08 + 0.08*rng.Float64()
		s.Cards[0].X, s.Cards[0].Y, small.X, small.Y = 0.33, 0.5, 0.8+0.08*rng.Float64(), 0.25+0.5*rng.Float64()
		small.Turn = (rng.Float64() - 0.5) * 0.6
		s.add(small, rng)
	}},
	{"overexposed", func(s *Shot, rng *rand.Rand) { s.Over = 0.5 + 0.7*rng.Float64() }},
	{"glossy", func(s *Shot, rng *rand.Rand) { s.Gloss, s.GlossTo = 0.5+0.5*rng.Float64(), rng.Float64()*math.Pi }},
	{"tilted 50° to 60°", func(s *Shot, rng *rand.Rand) {
		s.Cards[0].Tilt, s.Cards[0].Share = (50+10*rng.Float64())*degree, 0.14+0.2*rng.Float64()
	}},
	{"squares beside", func(s *Shot, rng *rand.Rand) { s.Squares = 4 + rng.IntN(8) }},
	{"finger on a mark", func(s *Shot, rng *rand.Rand) { s.Finger = []int{1, 2, 4}[rng.IntN(3)] }},
	{"curled", func(s *Shot, rng *rand.Rand) {
		s.Cards[0].Curl, s.Cards[0].CurlTo = (0.6+1.2*rng.Float64())*float64(1-2*rng.IntN(2)), rng.Float64()*math.Pi
	}},
	{"crumpled", func(s *Shot, rng *rand.Rand) {
		for range 4 {
			s.Cards[0].Folds = append(s.Cards[0].Folds, Fold{
				X: card.SymbolX + card.SymbolSide*rng.Float64(), Y: card.SymbolY + card.SymbolSide*rng.Float64(),
				To: rng.Float64() * 2 * math.Pi, Slope: 0.8 * (rng.Float64() - 0.5),
			})
		}
	}},
	{"stained", func(s *Shot, rng *rand.Rand) {
		for range 5 {
			s.Cards[0].Stains = append(s.Cards[0].Stains, Stain{
				X: card.SymbolX + card.SymbolSide*rng.Float64(), Y: card.SymbolY + card.SymbolSide*rng.Float64(),
				R: 3 + 5*rng.Float64(), Dark: 0.4 + 0.5*rng.Float64(),
			})
		}
	}},
	{"lens bends", func(s *Shot, rng *rand.Rand) {
		s.Lens = (0.02 + 0.08*rng.Float64()) * float64(1-2*rng.IntN(2))
		s.Cards[0].X, s.Cards[0].Y = 0.2+0.6*rng.Float64(), 0.25+0.5*rng.Float64()
	}},
}

// add lays another card that says something else into the picture.
func (s *Shot) add(p Placed, rng *rand.Rand) {
	for p.Face = faceOf(rng); p.Face.Card == s.Cards[0].Face.Card; {
		p.Face = faceOf(rng)
	}
	s.Cards = append(s.Cards, p)
}

// module is the length of a module in pixels.
func (s *Shot) module() float64 {
	return s.Cards[0].Share * float64(s.Width) / card.Width * card.Module
}

// Of is the n-th photo of a condition. Every photo has some turn, tilt and
// noise: nobody holds a camera like a scanner.
func (c Condition) Of(n, width, height int, seed uint64) Shot {
	rng := rand.New(rand.NewPCG(seed, uint64(n)))
	s := Shot{Width: width, Height: height, Seed: seed + uint64(n)*977, Noise: 2 + 2*rng.Float64(), Defocus: 1}
	s.Cards = []Placed{{
		Face: faceOf(rng), Share: 0.08 + 0.27*rng.Float64(), X: 0.35 + 0.3*rng.Float64(), Y: 0.4 + 0.2*rng.Float64(),
		Turn: (rng.Float64() - 0.5) * 0.3, Tilt: 8 * degree * rng.Float64(), TiltAxis: rng.Float64() * 2 * math.Pi,
	}}
	c.spoil(&s, rng)
	return s
}

// faceOf is some card of the pilot boat's set.
func faceOf(rng *rand.Rand) card.Face {
	stages := []string{"cut", "clean", "dry-fit", "seam", "paint", "decal"}
	switch rng.IntN(4) {
	case 0:
		n := []int{1, 2, 5, 10, 20}[rng.IntN(5)]
		return card.Face{Card: journal.Card{Says: journal.CountCard, Count: n}, Words: "Parts done"}
	case 1:
		return card.Face{Card: journal.Card{Says: journal.EndCard}, Words: "End"}
	case 2:
		return card.Face{Card: journal.Card{Says: journal.RoleCard, Word: journal.Roles[rng.IntN(len(journal.Roles))]},
			Words: "Before", Rules: []string{"Of"}}
	}
	stage := stages[rng.IntN(len(stages))]
	return card.Face{
		Card: journal.Card{Says: journal.BeginCard, Build: journal.BuildKey("pilot-boat"),
			Stage: journal.StageKey(stage)},
		Words: "Begin: " + journal.Title(stage), Of: "Pilot boat", Detail: []string{"A stage begins"},
	}
}
