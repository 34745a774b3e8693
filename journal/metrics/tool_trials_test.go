// Tests of tools on trial.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"rakelight/journal/say"
)

// tries draws n evenings in a class, on the days from the first, with the tool or without.
func tries(rng *rand.Rand, n int, perHour float64, class, tool string, first int) []Work {
	ws := evenings(rng, "boat", n, perHour, class)
	for i := range ws {
		ws[i].Session += tool
		ws[i].Start = time.Date(2026, 1, 1+first+2*i, 19, 0, 0, 0, time.UTC)
		if tool != "" {
			ws[i].Tools = []string{tool}
		}
	}
	return ws
}

func TestTryTool(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	with := append(tries(rng, 12, 24, "flat", "file", 1), tries(rng, 12, 8, "curved", "file", 1)...)
	without := append(tries(rng, 12, 12, "flat", "", 0), tries(rng, 12, 4, "curved", "knife", 0)...)
	with = append(with, Work{Session: "p", Kind: "weather", Hours: 1, Known: Measured})
	without = append(without, Work{Session: "c", Kind: "cut", Hours: 1, Parts: 9, Counted: true, Known: Measured})
	tried := TryTool("file", with, without)
	if len(tried.Kinds) != 1 {
		t.Fatalf("kinds nobody used the tool on: %+v", tried.Kinds)
	}
	k := tried.Kinds[0]
	if !(k.Comparison.PValue < 0.05) || k.Comparison.Speed < 1.5 || k.Comparison.Speed > 2.6 || len(k.Cautions) > 0 {
		t.Errorf("twice as quick on both classes: %+v, %v", k.Comparison.Speed, k.Cautions)
	}
	if k.OtherTool != 12 || k.Without.N != 24 {
		t.Errorf("%d of %d name another tool", k.OtherTool, k.Without.N)
	}
	// Exchanged, the speed is the reciprocal.
	back := TryTool("none", without, with)
	near(t, "exchanged", back.Kinds[0].Comparison.Speed*k.Comparison.Speed, 1, 1e-12)
	near(t, "exchanged, ease", back.Kinds[0].Ease*k.Ease, 1, 0.2)
	// The order plays no part.
	again := TryTool("file", shuffled(with, 3), shuffled(without, 4))
	if a, b := again.Markdown(say.English(), strings.ToUpper, strings.ToLower), tried.Markdown(say.English(), strings.ToUpper, strings.ToLower); a != b || !strings.Contains(a, "CLEAN with file: ") || !strings.Contains(a, "| CLEAN | ") {
		t.Errorf("shuffled:\n%s\nwas:\n%s", a, b)
	}
}

// A tool that does nothing, tried mostly on the flat parts, is quicker raw and
// not like for like, and the caution says why.
func TestTryToolOnEasierParts(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	with := append(tries(rng, 20, 20, "flat", "file", 0), tries(rng, 3, 5, "curved", "file", 0)...)
	without := append(tries(rng, 3, 20, "flat", "", 0), tries(rng, 20, 5, "curved", "", 0)...)
	k := TryTool("file", with, without).Kinds[0]
	if k.With.PerHour < 1.5*k.Without.PerHour || k.Comparison.PValue < 0.05 {
		t.Errorf("raw %v against %v, like for like p %v", k.With.PerHour, k.Without.PerHour, k.Comparison.PValue)
	}
	if k.Ease > 0.7 || len(k.Cautions) != 1 || !strings.Contains(k.Cautions[0].String(), "easier parts") {
		t.Errorf("ease %v, %q", k.Ease, k.Cautions)
	}
	k = TryTool("none", without, with).Kinds[0]
	if len(k.Cautions) != 1 || !strings.Contains(k.Cautions[0].String(), "harder parts") {
		t.Errorf("exchanged: %q", k.Cautions)
	}
}

func TestTryToolCautions(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	with, without := tries(rng, 6, 10, "", "file", 60), tries(rng, 6, 10, "", "", 0)
	got := fmt.Sprint(TryTool("file", with, without).Kinds[0].Cautions)
	if !strings.Contains(got, "100 % of the parts have no class") || !strings.Contains(got, "without it are older") {
		t.Error(got)
	}
	if got := fmt.Sprint(TryTool("file", without, with).Kinds[0].Cautions); !strings.Contains(got, "without it are newer") {
		t.Error(got)
	}
	// Too little is said to be too little.
	one := TryTool("file", with[:1], without[:1]).Kinds[0]
	if s := one.Sentence("Clean", "file").String(); !strings.Contains(s, "too few evenings to tell") {
		t.Error(s)
	}
	alone := TryTool("file", with, nil).Kinds[0]
	if s := alone.Sentence("Clean", "file").String(); alone.Ease != 0 || !strings.Contains(s, "no comparison (no kind of work with parts and hours both with it and without)") {
		t.Error(s, alone.Ease)
	}
	if got := TryTool("file", nil, without); got.Markdown(say.English(), strings.ToUpper, strings.ToLower) != "" {
		t.Errorf("never used: %+v", got)
	}
}

func TestGapOf(t *testing.T) {
	// By hand: means 3 and 2, variances 0.5 each over 5, so the standard error is
	// √0.2, on 8 degrees of freedom.
	with, without := []float64{2, 3, 3, 3, 4}, []float64{1, 2, 2, 2, 3}
	g := GapOf(with, without)
	near(t, "gap", g.Value, 1, 1e-12)
	near(t, "reach", g.Interval.High-1, 2.306004135*0.4472135955, 1e-8)
	// t = √5 on 8 degrees of freedom: 2·P(T > 2.236068), by the closed form
	// 1 - s(1 + c²/2 + 3c⁴/8 + 5c⁶/16) with s = t/√(t²+8), c² = 1 - s².
	s2 := 5.0 / 13
	c2 := 1 - s2
	near(t, "p", g.PValue, 1-math.Sqrt(s2)*(1+c2/2+3*c2*c2/8+5*c2*c2*c2/16), 1e-10)
	if !g.Tested || g.Claimed {
		t.Errorf("%+v", g.Claim)
	}
	near(t, "exchanged", GapOf(without, with).Interval.Low, -g.Interval.High, 1e-12)
	if g := GapOf(with[:4], without); g.OK || g.Why != tooFew(Because("%d marks with it and %d without, %d of each needed", 4, 5, enoughToCriticise)) {
		t.Errorf("%+v", g)
	}
	if g := GapOf([]float64{3, 3, 3, 3, 3}, []float64{2, 2, 2, 2, 2}); !g.OK || g.Interval.OK {
		t.Errorf("equal marks: %+v", g)
	}
	s := MarkTried(1, "gates and nubs", with, without).Sentence().String()
	if want := "Marks, gates and nubs: 3.0 with it (2.1 to 3.9; 5 marks), 2.0 without (1.1 to 2.9; 5 marks); between them +1.00 (−0.03 to +2.03), which may be chance."; s != want {
		t.Errorf("%s\nwant %s", s, want)
	}
}

// What is in no shared cell is in no number, and no caution speaks of it.
func TestCautionsAreOfTheSessionsCompared(t *testing.T) {
	rng := rand.New(rand.NewPCG(10, 10))
	with, without := tries(rng, 6, 10, "flat", "file", 1), tries(rng, 6, 10, "flat", "", 0)
	if got := TryTool("file", with, without).Kinds[0].Cautions; len(got) > 0 {
		t.Fatalf("%q", got)
	}
	// Much other work without it, of no class and long ago, that the tool never met.
	other := tries(rng, 40, 10, "", "", -400)
	for i := range other {
		other[i].Session += "other"
	}
	if got := TryTool("file", with, append(without, other...)).Kinds[0].Cautions; len(got) > 0 {
		t.Errorf("cautions of sessions that are not compared: %q", got)
	}
}

// Sessions on several classes have classes: what takes longer is seen, and nobody
// misses a class.
func TestTryToolOnMixedSessions(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	with, without := blends(rng, "boat", 20, 1, 0.3, 0.5), blends(rng, "boat", 20, 1, 0.7, 0.5)
	for i := range with {
		with[i].Session += " with"
	}
	k := TryTool("file", with, without).Kinds[0]
	if len(k.Comparison.Cells) != 2 || !(k.Ease < 0.8 && k.Ease > 0.4) {
		t.Errorf("ease %v over %d cells", k.Ease, len(k.Comparison.Cells))
	}
	if len(k.Cautions) != 1 || !strings.Contains(k.Cautions[0].String(), "easier parts") {
		t.Errorf("%q", k.Cautions)
	}
}
