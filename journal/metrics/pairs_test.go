// Strengths against published fits, and at their edges.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"rakelight/journal/say"
)

// turn is the outcome seen from the other side.
var turn = map[string]string{LeftBetter: RightBetter, RightBetter: LeftBetter, NoDifference: NoDifference}

func add(pairs []Pair, n float64, left, right, outcome string) []Pair {
	for range int(n) {
		pairs = append(pairs, Pair{Left: left, Right: right, Outcome: outcome})
	}
	return pairs
}

// plain fits without the imaginary pairs, one item held at 0, as books do.
func plain(t *testing.T, pairs []Pair, held string, tied, side bool) (m *ties, at []float64, cov [][]float64) {
	t.Helper()
	m = newTies(pairingsOf(pairs))
	m.tied, m.side = tied, side
	for i, name := range m.items {
		if name == held {
			m.free = i
		}
	}
	at, cov, ok := m.solve()
	if !ok {
		t.Fatal("no fit")
	}
	return m, at, cov
}

func TestBaseball(t *testing.T) {
	var pairs []Pair
	for _, row := range table(t, "05_bt_baseball.csv") {
		pairs = add(pairs, num(t, row["home_wins"]), row["home_team"], row["away_team"], LeftBetter)
		pairs = add(pairs, num(t, row["away_wins"]), row["home_team"], row["away_team"], RightBetter)
	}
	m, at, cov := plain(t, pairs, "Baltimore", false, false)
	_, home, homeCov := plain(t, pairs, "Baltimore", false, true)
	rows := map[string]map[string]string{}
	for _, row := range table(t, "05_bt_baseball_fit.csv") {
		rows[row["team"]] = row
	}
	for i, team := range m.items {
		row := rows[team]
		near(t, team+" published", at[i], num(t, row["published_log_strength"]), 0.0051)
		near(t, team, at[i], num(t, row["log_strength"]), 1e-8)
		near(t, team+" at home", home[i], num(t, row["log_strength_home_model"]), 1e-8)
		if team != "Baltimore" {
			near(t, team+" SE", math.Sqrt(cov[i][i]), num(t, row["se_log_strength"]), 1e-7)
			near(t, team+" SE at home", math.Sqrt(homeCov[i][i]), num(t, row["se_home_model"]), 1e-7)
		}
	}
	k := len(m.items)
	near(t, "home", home[k], num(t, rows["(home effect)"]["log_strength_home_model"]), 1e-8)
	near(t, "home SE", math.Sqrt(homeCov[k][k]), num(t, rows["(home effect)"]["se_home_model"]), 1e-7)
}

func TestPuddings(t *testing.T) {
	var pairs []Pair
	for _, row := range table(t, "05_bt_ties_pudding.csv") {
		i, j := "pi_"+row["item_i"], "pi_"+row["item_j"]
		pairs = add(pairs, num(t, row["i_preferred"]), i, j, LeftBetter)
		pairs = add(pairs, num(t, row["j_preferred"]), i, j, RightBetter)
		pairs = add(pairs, num(t, row["ties"]), i, j, NoDifference)
	}
	m, at, cov := plain(t, pairs, "pi_1", true, false)
	var sum float64
	for _, v := range at[:6] {
		sum += math.Exp(v)
	}
	got, se := map[string]float64{"nu": math.Exp(at[6])}, map[string]float64{"nu": math.Sqrt(cov[6][6])}
	for i, name := range m.items {
		got[name], se[name] = math.Exp(at[i])/sum, math.Sqrt(cov[i][i])
	}
	for _, row := range table(t, "05_bt_ties_fit.csv") {
		name := row["parameter"]
		near(t, name+" published", got[name], num(t, row["seen_7_iterations"]), 5e-5)
		near(t, name, got[name], num(t, row["mle"]), 1e-8)
		if row["se_log"] != "" {
			near(t, name+" SE", se[name], num(t, row["se_log"]), 1e-6)
		}
	}
	// With hundreds of real pairs the imaginary ones hardly show.
	for i, p := range pairs { // no side is favoured when each is left in turn
		if i%2 == 1 {
			pairs[i] = Pair{Left: p.Right, Right: p.Left, Outcome: turn[p.Outcome]}
		}
	}
	r := Rank(pairs)
	near(t, "regularised", r.Strength[5]-r.Strength[0], at[5]-at[0], 0.01)
	if !r.SideJudged || !r.SideInterval.OK {
		t.Error("no side judged over hundreds of pairs")
	}
}

// A clean sweep has a finite strength and an interval that stays below 1.
func TestCleanSweep(t *testing.T) {
	c := Rank(add(nil, 10, "boat", "lorry", LeftBetter)).Chance("boat", "lorry")
	if !c.OK || c.P < 0.8 || c.P > 0.995 || c.Interval.Low < 0.5 || c.Interval.High >= 1 || c.N != 10 || c.Direct != 10 {
		t.Errorf("%+v", c)
	}
	if c := Rank(add(nil, 10, "boat", "lorry", NoDifference)).Chance("boat", "lorry"); !c.OK || math.Abs(c.P-0.5) > 1e-9 {
		t.Errorf("nothing but ties: %+v", c)
	}
}

func TestRankRefuses(t *testing.T) {
	if r := Rank(nil); r.OK || !r.Why.Any() {
		t.Errorf("no pairs: %+v", r)
	}
	r := Rank(append(add(nil, 9, "boat", "lorry", LeftBetter), Pair{Left: "boat", Right: "boat", Outcome: LeftBetter}, Pair{Left: "boat", Right: "lorry", Outcome: "cannot tell"}))
	if c := r.Chance("boat", "lorry"); c.OK || c.Why != tooFew(Because("%s more needed", say.Count{N: 1, Noun: "pair"})) || r.N != 9 {
		t.Errorf("nine pairs: %+v", c)
	}
	if c := r.Chance("boat", "seaplane"); c.OK {
		t.Errorf("a build that was never paired: %+v", c)
	}
}

func TestRankMetamorphic(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	names := []string{"boat", "lorry", "seaplane", "lightship"}
	var pairs []Pair
	for range 60 {
		i, j := rng.IntN(4), rng.IntN(4)
		if i != j {
			pairs = append(pairs, Pair{Left: names[i], Right: names[j], Outcome: []string{LeftBetter, LeftBetter, RightBetter, NoDifference}[rng.IntN(4)]})
		}
	}
	r := Rank(pairs)
	mixed := append([]Pair(nil), pairs...)
	rng.Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
	if got := Rank(mixed); !reflect.DeepEqual(got, r) {
		t.Error("the order of pairs matters")
	}
	turned := append([]Pair(nil), pairs...)  // left and right exchanged
	swapped := append([]Pair(nil), pairs...) // who won exchanged
	for i, p := range pairs {
		o := turn[p.Outcome]
		turned[i], swapped[i] = Pair{Left: p.Right, Right: p.Left, Outcome: o}, Pair{Left: p.Left, Right: p.Right, Outcome: o}
	}
	a, b, c := Rank(pairs), Rank(turned), Rank(swapped)
	near(t, "side turned", b.Side, -a.Side, 1e-9)
	for i := range a.Items {
		near(t, "turned", b.Strength[i], a.Strength[i], 1e-9)
		near(t, "swapped", c.Strength[i], -a.Strength[i], 1e-9)
	}
	one, two := a.Chance("boat", "lorry"), a.Chance("lorry", "boat")
	near(t, "chances of both", one.P+two.P, 1, 1e-12)
	near(t, "limits of both", one.Interval.Low+two.Interval.High, 1, 1e-12)
}

// Of two, each stands against their middle by half the log odds between them;
// of many, the standings lean as the strengths do and refuse as chances do.
func TestStanding(t *testing.T) {
	two := Rank(add(add(nil, 14, "boat", "lorry", LeftBetter), 6, "lorry", "boat", LeftBetter))
	a, b, ab := two.Standing("boat"), two.Standing("lorry"), two.Chance("boat", "lorry")
	odds := func(p float64) float64 { return math.Log(p / (1 - p)) }
	near(t, "half the log odds", 2*odds(a.P), odds(ab.P), 1e-9)
	near(t, "half the reach", 2*odds(a.Interval.High), odds(ab.Interval.High), 1e-9)
	near(t, "mirrored", a.P+b.P, 1, 1e-9)
	if a.N != 20 || a.PValue != ab.PValue {
		t.Errorf("standing %+v, chance %+v", a, ab)
	}
	few := Rank(add(add(nil, 12, "boat", "lorry", LeftBetter), 3, "boat", "tender", LeftBetter))
	if c := few.Standing("tender"); c.OK || c.N != 3 || c.Why.String() != "too few to tell: 7 pairs more needed" {
		t.Errorf("%+v", c)
	}
	if c := few.Standing("seaplane"); c.OK || !c.Why.Any() {
		t.Errorf("%+v", c)
	}
	if c := few.Standing("boat"); !c.OK || c.P <= 0.5 || c.P <= few.Standing("lorry").P {
		t.Errorf("%+v", c)
	}
}

// shot is a pair of two photos before a judge.
func shot(left, right, outcome, judge string) Pair {
	return Pair{Left: left[:1], Right: right[:1], LeftPhoto: left, RightPhoto: right, Outcome: outcome, Judge: judge, Criterion: 4}
}

// The same two photos shown again to one judge are one pair, whose outcome is the mean of
// what was said; to another judge, or on another criterion, they are another pair.
func TestRepeatedPairsCountOnce(t *testing.T) {
	var once, often, halves []Pair
	for i := range 12 {
		l, r := fmt.Sprint("b", i%4), fmt.Sprint("l", i%3)
		p := shot(l, r, []string{LeftBetter, LeftBetter, RightBetter}[i%3], "")
		once, often = append(once, p), append(often, p, p)
		undone := p
		undone.Outcome = turn[p.Outcome]
		halves = append(halves, p, undone)
	}
	if a, b := Rank(once), Rank(often); !reflect.DeepEqual(a.Strength, b.Strength) || a.N != 12 || b.N != 12 || !reflect.DeepEqual(a.Chance("b", "l"), b.Chance("b", "l")) {
		t.Errorf("shown twice: %+v, once %+v", b.Chance("b", "l"), a.Chance("b", "l"))
	}
	if c := Rank(halves).Chance("b", "l"); math.Abs(c.P-0.5) > 1e-9 || c.N != 12 {
		t.Errorf("each taken back: %+v", c)
	}
	other := slices.Clone(once)
	for i := range other {
		other[i].Judge = "Mo"
	}
	if r := Rank(append(other, once...)); r.N != 24 {
		t.Errorf("two judges: %d pairs", r.N)
	}
}

// The same verdicts carry less when they are of fewer photos, and no word when there are
// fewer than three of either.
func TestFewPhotosCarryLess(t *testing.T) {
	last := 0.0
	for _, photos := range []int{36, 6, 3, 2, 1} {
		rng := rand.New(rand.NewPCG(5, 5))
		var pairs []Pair
		for i := range 36 {
			p := shot(fmt.Sprint("b", i%photos), fmt.Sprint("l", (i+i/photos)%photos), LeftBetter, "")
			p.Criterion = i
			if rng.IntN(6) == 0 {
				p.Outcome = RightBetter
			}
			pairs = append(pairs, p)
		}
		c, miss := Rank(pairs).Chance("b", "l"), max(0, 3-photos)
		width := c.Interval.High - c.Interval.Low
		if !(width > last) || !c.OK || c.Photos != [2]int{photos, photos} || c.Missing() != [2]int{miss, miss} || c.Tested != (miss == 0) {
			t.Errorf("%d photos: %+v", photos, c)
		}
		if said := c.Sentence("joins", "b", "l", 1).String(); strings.Contains(said, "it takes 3 photos of each") != (miss > 0) {
			t.Errorf("%d photos: %s", photos, said)
		}
		last = width
	}
}

func ExampleChance_Sentence() {
	var pairs []Pair
	for i := range 24 {
		one := Pair{Left: "boat", Right: "lorry", Outcome: LeftBetter, LeftPhoto: fmt.Sprint(i % 4), RightPhoto: fmt.Sprint(i % 6), Criterion: i}
		switch {
		case i%5 == 0:
			one.Outcome = NoDifference
		case i%11 == 1:
			one.Outcome = RightBetter
		}
		if i%2 == 0 {
			one = Pair{Left: "lorry", Right: "boat", Outcome: turn[one.Outcome], LeftPhoto: one.RightPhoto, RightPhoto: one.LeftPhoto, Criterion: i}
		}
		pairs = append(pairs, one)
	}
	for i := range 12 {
		pairs = append(pairs, Pair{Left: "lorry", Right: "plane", LeftPhoto: fmt.Sprint(i % 6), RightPhoto: fmt.Sprint(i % 2), Outcome: []string{LeftBetter, RightBetter}[i/2%2], Criterion: i})
	}
	r := Rank(pairs)
	c := r.Chance("boat", "lorry")
	fmt.Println(c.Sentence("joins", "Pilot boat", "Lorry", 1))
	c.Claimed = true // by the family of the journal's claims
	fmt.Println(c.Sentence("joins", "Pilot boat", "Lorry", 1))
	fmt.Println(r.Chance("boat", "plane").Sentence("joins", "Pilot boat", "Seaplane", 2))
	// Output:
	// Pilot boat would be picked over Lorry on joins about 79 times in 100 (range 53 to 93; estimated from 36 pairs with either, 24 of them these two side by side, 5 in all without a difference; one judge); not sure enough, among all that is compared here, to call either better.
	// Pilot boat would be picked over Lorry on joins about 79 times in 100 (range 53 to 93; estimated from 36 pairs with either, 24 of them these two side by side, 5 in all without a difference; one judge).
	// Pilot boat would be picked over Seaplane on joins about 78 times in 100 (range 36 to 96; estimated from 36 pairs with either, none of them these two side by side, 5 in all without a difference; two judges); too few photos to call either better (it takes 3 photos of each in pairs, and there are 4 and 2).
}
