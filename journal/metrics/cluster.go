// What photos and judges share: how far apart strengths lie by the luck of which
// photos were taken and who judged, and not of the single answer.

package metrics

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// clustered is one answer as clusters see it. What the cluster plus adds to the log
// odds, and minus takes off them, stands in all of its answers.
type clustered struct {
	plus, minus int     // clusters, from 0; −1 = none
	score       float64 // what was answered less what was expected, seen from plus
	info        float64 // its variance: how a shift of the log odds moves the expected answer
	slopes      []slope // how that shift moves the gradient of each parameter
}

// common is what clusters add to the variances of the parameters, for each size
// their effects may have. The sizes have probabilities: too few clusters to tell
// their spread leave much of it possible.
type common struct {
	sizes []float64   // variances of the effects
	chain []float64   // probability of each; they sum to 1
	more  [][]float64 // what an effect of variance 1 adds to the covariance of the parameters
}

// prior is what is held of the standard deviation of an effect, on the log odds, before
// anything is known: half of a normal distribution with this one. The number bounds
// what few clusters are believed to hide; it is set by simulation, so that no more
// than one in twenty of equal builds seem to differ.
//
// Gelman A. (2006), Prior distributions for variance parameters in hierarchical
// models, Bayesian Analysis 1, 515–534, on such priors of a scale.
type prior float64

func (p prior) logDensity(sd float64) float64 { return -sd * sd / float64(2*p*p) }

// usualEffect is the size of effect at which the clusters are weighed against each
// other: those with many answers count for more while the effects are small.
const usualEffect = 0.5

// commonOf looks for effects of the clusters in the answers, whose parameters have the
// covariance cov when there are none. It is nil when no cluster has two answers.
//
// With an effect of variance σ² the covariance of two answers i and k is
// σ²·info_i·info_k for each cluster they share (minus that, when one sees it as plus
// and the other as minus), and so every sum of answers has a variance that is
// linear in σ². That gives the variance of a parameter; and it gives the mean and the
// variance of
//
//	Q = Σ ω·(sum of the scores of a cluster)²
//
// at each σ², both corrected for the parameters having been fitted to the same
// answers. Q is taken for a multiple of χ² of that mean and variance
// (Satterthwaite), which is how likely each σ² is; times its prior that is its
// probability. Both photos of a pair are clusters, as are pairs of countries in
// the two-way and dyadic variances that this follows; these add up the observed
// products instead, and are too small with few clusters.
//
// Satterthwaite F.E. (1946), Biometrics Bulletin 2, 110–114; Cameron A.C.,
// Gelbach J.B., Miller D.L. (2011), Journal of Business & Economic Statistics 29,
// 238–249; Aronow P.M., Samii C., Assenova V.A. (2015), Political Analysis 23,
// 564–577.
func commonOf(answers []clustered, cov *mat.SymDense, before prior) *common {
	m := quadraticOf(answers, cov)
	if m == nil {
		return nil
	}
	s := &common{more: m.more}
	for k := range effectSizes {
		// The sizes stand closer together near 0.
		sd := largestEffect * math.Pow((float64(k)+0.5)/effectSizes, 1.5)
		width := math.Sqrt((float64(k) + 0.5) / effectSizes)
		s.sizes = append(s.sizes, sd*sd)
		s.chain = append(s.chain, before.logDensity(sd)+math.Log(width)+m.logLikelihood(sd*sd))
	}
	// In logs until here: answers that fit no size well are as unlikely as no float64
	// can say, and one size must still be the likeliest.
	high := floats.Max(s.chain)
	for k, log := range s.chain {
		s.chain[k] = math.Exp(log - high)
	}
	floats.Scale(1/floats.Sum(s.chain), s.chain)
	return s
}

const (
	effectSizes   = 24
	largestEffect = 4.0 // log odds: a photo that makes 1 to 1 into 55 to 1
)

// quadratic is what Q is, and its mean and variance as polynomials in σ².
type quadratic struct {
	q              float64
	mean, variance [3]float64
	more           [][]float64
}

// logLikelihood is that of effects of the variance, but for a constant.
func (m *quadratic) logLikelihood(size float64) float64 {
	mean := m.mean[0] + size*m.mean[1]
	variance := m.variance[0] + size*(m.variance[1]+size*m.variance[2])
	if !(mean > 0) || !(variance > 0) {
		return 0
	}
	return distuv.Gamma{Alpha: mean * mean / variance, Beta: mean / variance}.LogProb(math.Max(m.q, 1e-9*mean))
}

func quadraticOf(answers []clustered, cov *mat.SymDense) *quadratic {
	answers, n := repeated(answers)
	if n == 0 {
		return nil
	}
	s := sumsOf(answers, n, cov.SymmetricDim())
	e := s.effects(answers)
	left := s.afterFit(e, cov)
	q := &quadratic{}
	weight := make([]float64, n)
	for i := range n {
		w := 1 + usualEffect*usualEffect*s.info.At(i, i)
		weight[i] = 1 / (w * w)
		q.q += weight[i] * s.score[i] * s.score[i]
		none, one := left.at(i, i)
		q.mean[0] += weight[i] * none
		q.mean[1] += weight[i] * one
	}
	for i := range n {
		for j := range i + 1 {
			w := 4 * weight[i] * weight[j]
			if i == j {
				w /= 2
			}
			a, b := left.at(i, j)
			q.variance[0] += w * a * a
			q.variance[1] += w * 2 * a * b
			q.variance[2] += w * b * b
		}
	}
	var more mat.Dense
	more.Mul(cov, e.gradient)
	more.Mul(&more, cov)
	q.more = rowsOf(&more)
	return q
}

// sums are those of the answers of each cluster.
type sums struct {
	score []float64  // S
	info  *mat.Dense // L: covariance of S without effects
	moves *mat.Dense // C: how the effect of a cluster moves the gradient of the parameters
}

func sumsOf(answers []clustered, n, parameters int) sums {
	s := sums{make([]float64, n), mat.NewDense(n, n, nil), mat.NewDense(n, parameters, nil)}
	for i := range answers {
		a := &answers[i]
		ends, m := a.ends()
		for _, e := range ends[:m] {
			s.score[e.at] += e.by * a.score
			info, moves := s.info.RawRowView(e.at), s.moves.RawRowView(e.at)
			for _, f := range ends[:m] {
				info[f.at] += e.by * f.by * a.info
			}
			for _, g := range a.slopes {
				moves[g.at] += e.by * g.by
			}
		}
	}
	return s
}

// effects are the covariances that effects of variance 1 add: of S, of S with the
// gradient, and of the gradient. An answer alone has none with itself, since its
// variance is what it is.
type effects struct{ score, both, gradient *mat.Dense }

func (s sums) effects(answers []clustered) effects {
	e := effects{timesItself(s.info), &mat.Dense{}, &mat.Dense{}}
	e.both.Mul(s.info, s.moves)
	e.gradient.Mul(s.moves.T(), s.moves)
	for i := range answers {
		a := &answers[i]
		both, m := a.ends()
		ends := both[:m]
		own := a.info * float64(len(ends))
		for _, x := range ends {
			score, with := e.score.RawRowView(x.at), e.both.RawRowView(x.at)
			for _, y := range ends {
				score[y.at] -= x.by * y.by * a.info * own
			}
			for _, g := range a.slopes {
				with[g.at] -= x.by * g.by * own
			}
		}
		for _, g := range a.slopes {
			gradient := e.gradient.RawRowView(g.at)
			for _, h := range a.slopes {
				gradient[h.at] -= float64(len(ends)) * g.by * h.by
			}
		}
	}
	return e
}

// afterFit is the covariance of S without effects and what effects of variance
// 1 add to it, the parameters having been fitted to the same answers: of S there
// is left S − C·cov·gradient. Both are symmetric, so that each entry is asked for once
// and never kept.
type afterFit struct {
	info, score       *mat.Dense // before the fit
	moves, lead, half *mat.Dense // C, C·cov, and half of what the fit takes off
}

func (s sums) afterFit(e effects, cov *mat.SymDense) afterFit {
	a := afterFit{s.info, e.score, s.moves, &mat.Dense{}, &mat.Dense{}}
	a.lead.Mul(s.moves, cov)
	a.half.Mul(a.lead, e.gradient)
	a.half.Scale(0.5, a.half)
	a.half.Sub(e.both, a.half)
	return a
}

// at is an entry of both.
func (a *afterFit) at(i, j int) (none, one float64) {
	lead, half := a.lead.RawRowView(i), a.half.RawRowView(i)
	none = a.info.RawRowView(i)[j] - floats.Dot(lead, a.moves.RawRowView(j))
	one = a.score.RawRowView(i)[j] - floats.Dot(lead, a.half.RawRowView(j)) -
		floats.Dot(half, a.lead.RawRowView(j))
	return none, one
}

// repeated leaves out clusters with one answer alone, which say nothing of what
// answers share, and numbers the others anew from 0 to n.
func repeated(answers []clustered) (out []clustered, n int) {
	times := map[int]int{}
	for _, a := range answers {
		times[a.plus]++
		times[a.minus]++
	}
	number := map[int]int{}
	again := func(cluster int) int {
		if cluster < 0 || times[cluster] < 2 {
			return -1
		}
		if _, known := number[cluster]; !known {
			number[cluster] = len(number)
		}
		return number[cluster]
	}
	for _, a := range answers {
		a.plus, a.minus = again(a.plus), again(a.minus)
		if a.plus >= 0 || a.minus >= 0 {
			out = append(out, a)
		}
	}
	return out, len(number)
}

// ends are the clusters of an answer with the sign they stand in it by, and how many
// they are.
func (a *clustered) ends() (ends [2]slope, n int) {
	switch {
	case a.minus < 0:
		return [2]slope{{a.plus, 1}}, 1
	case a.plus < 0:
		return [2]slope{{a.minus, -1}}, 1
	}
	return [2]slope{{a.plus, 1}, {a.minus, -1}}, 2
}

// timesItself is the square of a symmetric matrix most of which is 0.
func timesItself(m *mat.Dense) *mat.Dense {
	n, _ := m.Dims()
	out := mat.NewDense(n, n, nil)
	for v := range n {
		var at []int
		for i, x := range m.RawRowView(v) {
			if x != 0 {
				at = append(at, i)
			}
		}
		row := m.RawRowView(v)
		for _, i := range at {
			to := out.RawRowView(i)
			for _, j := range at {
				to[j] += row[i] * row[j]
			}
		}
	}
	return out
}

func rowsOf(m *mat.Dense) [][]float64 {
	r, _ := m.Dims()
	out := make([][]float64, r)
	for i := range out {
		out[i] = m.RawRowView(i)
	}
	return out
}
