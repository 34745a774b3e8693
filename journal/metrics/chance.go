// The chance that the work of one build is picked over that of another.

package metrics

import (
	"math"

	"rakelight/journal/say"
)

const (
	// Verdicts on the work of a build before a chance is said aloud. Below it the
	// interval spans nearly all there is.
	enoughPairs = 10
	// Photos of a build before a word may rest on them: two have one difference
	// between them, and nothing to hold it against.
	enoughPhotos = 3
)

// Chance is how likely one is picked over another, when they are told apart.
type Chance struct {
	Claim             // of a chance that is not one half
	P        float64  // 0 to 1
	Interval Interval // 95 %
	N        int      // pairs in which either stood
	Direct   int      // of those, the ones between the two
	Ties     int      // of N, those without a difference
	Photos   [2]int   // in pairs, of the one and of the other; of a Standing, of the others together
	OK       bool
	Why      Why // why it is not OK, or why it is not Tested
}

// Chance returns the chance that a photo of a is picked over one of b, given that a
// difference is seen: π_a/(π_a + π_b). The interval is laid on the log odds and
// holds the covariance of both strengths and what photos and judges add. It refuses
// while either of them stood in fewer than ten pairs; with fewer than three photos
// of either nothing is tested.
func (r Ranking) Chance(a, b string) Chance {
	i, okA := r.find(a)
	j, okB := r.find(b)
	if !okA || !okB || i == j {
		return noChance(Because("no verdicts on these two"))
	}
	one, other, both := r.played[two{a, ""}], r.played[two{b, ""}], r.played[twoOf(a, b)]
	c := Chance{N: one.pairs + other.pairs - both.pairs, Direct: both.pairs,
		Ties: int(math.Round(one.ties + other.ties - both.ties)), Photos: [2]int{one.photos, other.photos}}
	if low := min(one.pairs, other.pairs); low < enoughPairs {
		return c.tooFew(low)
	}
	c.lay(r.Strength[i]-r.Strength[j], r.off(slope{i, 1}, slope{j, -1}))
	c.test()
	return c
}

// Standing returns the chance that a is picked over one of middling
// strength among all that were paired: the geometric mean of their strengths,
// its own among them. It refuses as Chance does; N counts the pairs it stood in.
func (r Ranking) Standing(a string) Chance {
	i, ok := r.find(a)
	if !ok {
		return noChance(Because("no verdicts on it"))
	}
	own := r.played[two{a, ""}]
	c := Chance{N: own.pairs, Direct: own.pairs, Ties: int(math.Round(own.ties)), Photos: [2]int{own.photos, 0}}
	for _, other := range r.Items {
		if other != a {
			c.Photos[1] += r.played[two{other, ""}].photos
		}
	}
	if c.N < enoughPairs {
		return c.tooFew(c.N)
	}
	// The mean is a weighted sum of the same strengths, so their covariance
	// goes in.
	var sum []slope
	for j := range r.Items {
		sum = append(sum, slope{j, -1 / float64(len(r.Items))})
	}
	sum[i].by++
	c.lay(r.Strength[i], r.off(sum...))
	c.test()
	return c
}

func noChance(why Why) Chance { return Chance{Why: why, Interval: Interval{Why: why}} }

func (c Chance) tooFew(pairs int) Chance {
	c.Why = tooFew(Because("%s more needed", say.Count{N: enoughPairs - pairs, Noun: "pair"}))
	c.Interval.Why = c.Why
	return c
}

// lay gives a chance its log odds and their error.
func (c *Chance) lay(odds float64, off offBy) {
	reach := off.reach()
	c.OK, c.P = true, logistic(odds)
	c.Interval = Interval{Low: logistic(odds - reach), High: logistic(odds + reach), OK: true}
	c.PValue = off.beyond(odds)
}

// test says whether the photos could carry a word, and else what is missing.
func (c *Chance) test() {
	if c.Tested = c.Missing() == [2]int{}; c.Tested {
		return
	}
	c.PValue = 0
	c.Why = Because("it takes %d photos of each in pairs, and there are %d and %d", enoughPhotos, c.Photos[0],
		c.Photos[1])
}

// Missing is how many photos more of the one and of the other it takes before a
// word may rest on the chance.
func (c Chance) Missing() [2]int {
	return [2]int{max(0, enoughPhotos-c.Photos[0]), max(0, enoughPhotos-c.Photos[1])}
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// Sentence says the chance in words: on what ("joins"), of which two, how many
// judges. What is not claimed is said to be not.
func (c Chance) Sentence(on, a, b string, judges int) say.Text {
	if !c.OK {
		return say.Of("%s against %s on %s: no chance to give (%s).", a, b, on, c.Why)
	}
	return say.Of("%s would be picked over %s on %s about %.0f times in 100 (range %.0f to %.0f; %s)%s.", a, b, on,
		100*c.P, 100*c.Interval.Low, 100*c.Interval.High, c.Rests(judges), c.Unclaimed())
}

// Picked says how often a photo of the build would be picked of two of the same stage.
func (c Chance) Picked(build string) say.Text {
	return say.Of("of two photos of the same stage, the one of %s would be picked about %.0f times in 100 (range %.0f to %.0f)%s.",
		build, 100*c.P, 100*c.Interval.Low, 100*c.Interval.High, c.Unclaimed())
}

// Rests says what the chance is estimated from.
func (c Chance) Rests(judges int) say.Text {
	return say.Of("estimated from %s with either, %s; %s", say.Count{N: c.N, Noun: "dative¦pair"}, c.rests(),
		judgesInWords(judges))
}

// rests says which of the pairs are between the two, and which told no difference.
func (c Chance) rests() say.Text {
	said := say.Of("none of them these two side by side")
	switch {
	case c.Direct == c.N:
		said = say.Of("all of them these two side by side")
	case c.Direct > 0:
		said = say.Of("%d of them these two side by side", c.Direct)
	}
	if c.Ties > 0 {
		return say.Of("%s, %d in all without a difference", said, c.Ties)
	}
	return said
}

// Unclaimed says why a chance is only a figure; it is empty when the chance is claimed.
func (c Chance) Unclaimed() say.Text {
	switch missing := c.Missing(); {
	case c.Claimed:
		return say.Text{}
	case missing != [2]int{}:
		return say.Of("; too few photos to call either better (%s)", c.Why)
	case c.Interval.contains(0.5):
		return say.Of("; the range includes 50, so neither is called better")
	}
	return say.Of("; not sure enough, among all that is compared here, to call either better")
}

// judgesInWords counts judges: few of them in words.
func judgesInWords(n int) say.Wording {
	words := []say.Key{"no judges", "one judge", "two judges", "three judges", "four judges", "five judges",
		"six judges"}
	if n < len(words) {
		return words[n]
	}
	return say.Count{N: n, Noun: "judge"}
}
