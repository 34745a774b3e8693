// Minutes a part: how long a part of each class takes beside the others of its kind
// of work, and how surely that is known.

package metrics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

const (
	// By how much classes of one kind of work are held to differ before any session
	// tells, as the standard deviation of the log of their minutes a part: most lie within a
	// factor of 2.7 of the usual part (our choice, no source).
	minutesDiffer = 0.5
	// What that is worth beside the classes of a kind of work themselves, in classes; and
	// rounds in which the sessions have their say.
	differWorth  = 0.2
	differRounds = 20
	// Rounds of Newton's method, and how far one goes at most.
	mostSteps, longestStep = 20, 1.0
)

// partMinutes are the logs of the minutes a part of some classes, beside that of the
// usual part, and their covariance.
type partMinutes struct {
	classes []string
	log     []float64
	cov     []float64 // row by row
}

// blurred is one session in the fit of the minutes.
type blurred struct {
	build int
	hours float64
	parts []float64 // of each class, none below 0
}

// minutesOf finds the minutes a part of the classes in sessions of one kind of work.
// With a_c the share of a session's hours that its parts of class c should have taken,
//
//	a_c = tempo(build) · parts_c · m_c / hours      residual r = 1 − Σ a_c
//
// and v the variance of r, the tempo solves Σ r/v = 0, and each class has the estimating
// function Σ a_c · r/v. A count that came out high raises a_c as it lowers r, by chance and
// by the mood: the mean of that is put back, chance·a_c + c²·a_c with the chance of a
// count and the c² of moods that the residuals have, and the squares of a_c are taken less
// as much (moments less the variance of the error). That leaves J, the slope of the function,
// and K, its variance, chance and moods included. So the sessions tell J·K⁻¹·J of the logs
// (Godambe's information), and beside that stands what is held of classes anyway: one over
// the square of how much they differ, which begins at minutesDiffer and follows the classes
// (empirical Bayes). The posterior of both is returned: classes that no session tells apart
// keep equal minutes, and the doubt.
//
// Fuller W.A. (1987), Measurement Error Models, chapter 2; Godambe V.P. (1960), Annals of
// Mathematical Statistics 31, 1208–1211; Efron B., Morris C. (1975), Journal of the American
// Statistical Association 70, 311–319.
func minutesOf(classes []string, ws []*Work, known Scatter) partMinutes {
	n := len(classes)
	m := partMinutes{classes: classes, log: make([]float64, n), cov: make([]float64, n*n)}
	if n < 2 {
		return m
	}
	rows, builds := blurredOf(classes, ws)
	tempo := make([]float64, builds)
	for range mostSteps {
		f := newMinutesFit(n, builds)
		f.tempos(rows, m.log, tempo, known)
		f.add(rows, m.log, tempo)
		step := f.step(m.log, m.cov)
		longest := 0.0
		for c, x := range step {
			x = max(-longestStep, min(x, longestStep))
			m.log[c] += x
			longest = max(longest, math.Abs(x))
		}
		if longest < 1e-5 {
			break
		}
	}
	return m
}

// blurredOf takes the sessions that did something on classes that are told.
func blurredOf(classes []string, ws []*Work) (rows []blurred, builds int) {
	at := map[string]int{}
	all := make([]float64, 0, len(ws)*len(classes))
	for i, w := range ws {
		if !w.timed() || !(w.Parts > 0) {
			continue
		}
		if last := len(rows) - 1; i > 0 && last >= 0 && w.sameLine(ws[i-1]) { // told in two lines
			rows[last].hours += w.Hours
			for c, class := range classes {
				rows[last].parts[c] += max(w.of(class), 0)
			}
			continue
		}
		from := len(all)
		var sum float64
		for _, class := range classes {
			q := max(w.of(class), 0)
			all, sum = append(all, q), sum+q
		}
		if !(sum > 0) {
			all = all[:from]
			continue
		}
		b, ok := at[w.Build]
		if !ok {
			b = len(at)
			at[w.Build] = b
		}
		rows = append(rows, blurred{b, w.Hours, all[from:]})
	}
	return rows, len(at)
}

// sameLine says that a session was told in two lines of one class.
func (w *Work) sameLine(before *Work) bool {
	return w.Session != "" && w.Session == before.Session && w.Build == before.Build && w.Class == before.Class &&
		len(w.Mix)+len(before.Mix) == 0 && before.timed() && before.Parts > 0
}

// minutesFit is the estimating function, its slope and its variance.
type minutesFit struct {
	n                 int
	v                 []float64 // of each session: variance of its residual
	score             []float64
	slope, variance   []float64
	weight            []float64 // of each build
	mean              []float64 // by build: of the shares
	squares, freedoms float64
	usual             float64 // variance of the log pace of a session
}

func newMinutesFit(n, builds int) *minutesFit {
	return &minutesFit{n: n, score: make([]float64, n), slope: make([]float64, n*n), variance: make([]float64, n*n),
		weight: make([]float64, builds), mean: make([]float64, builds*n)}
}

// tempos finds the hours of each build over what its parts should have taken, and by
// them the variance of each session's residual: of the usual mood and of the chance of
// counts, which must not hang on the session's own.
func (f *minutesFit) tempos(rows []blurred, log, tempo []float64, known Scatter) {
	hours, should, squares := make([]float64, len(tempo)), make([]float64, len(tempo)), make([]float64, len(tempo))
	for _, r := range rows {
		hours[r.build] += r.hours
		for c, q := range r.parts {
			m := math.Exp(log[c])
			should[r.build] += q * m
			squares[r.build] += q * m * m
		}
	}
	above := make([]float64, len(tempo))
	f.v, f.usual = make([]float64, len(rows)), known.CV*known.CV
	for i, r := range rows {
		b := r.build
		f.v[i] = f.usual + hours[b]/should[b]*squares[b]/should[b]/r.hours
		f.weight[b] += 1 / f.v[i]
		for c, q := range r.parts {
			x := q * math.Exp(log[c]) / r.hours / f.v[i]
			f.mean[b*f.n+c] += x
			above[b] += x
		}
	}
	for b, w := range f.weight {
		tempo[b] = w / above[b]
		for c := range f.n {
			f.mean[b*f.n+c] *= tempo[b] / w
		}
	}
}

func (f *minutesFit) add(rows []blurred, log, tempo []float64) {
	n := f.n
	share, chance := make([]float64, n), make([]float64, n)
	shares := func(r *blurred) (residual, counts float64) {
		residual = 1
		for c, q := range r.parts {
			chance[c] = tempo[r.build] * math.Exp(log[c]) / r.hours
			share[c] = q * chance[c]
			residual -= share[c]
			counts += chance[c] * share[c]
		}
		return residual, counts
	}
	var sum, moods float64
	for i := range rows {
		res, counts := shares(&rows[i])
		f.squares += res * res / f.v[i]
		moods += (res*res - counts) / f.v[i]
		sum += 1 / f.v[i]
	}
	moods = min(moods/sum, f.usual)
	for i := range rows {
		res, _ := shares(&rows[i])
		v := f.v[i]
		mean := f.mean[rows[i].build*n : (rows[i].build+1)*n]
		for c, s := range share {
			f.score[c] += s * (res + chance[c] + moods) / v
			for d, t := range share {
				x := s * t
				if c == d {
					x -= chance[c] * s
				}
				f.slope[c*n+d] += (x/(1+max(moods, 0)) - mean[c]*mean[d]) / v
				f.variance[c*n+d] += (s - mean[c]) * (t - mean[d]) / v
			}
		}
	}
	f.freedoms = max(1, float64(len(rows)-len(f.weight)-n+1))
	f.score = centered(f.score, n, 1)
	for _, m := range []*[]float64{&f.slope, &f.variance} {
		*m = centered(centered(*m, n, 1), 1, n)
	}
}

// positive is the symmetric matrix without what is below 0 in it: where counts hold less
// chance than was taken off, nothing is left that tells.
func positive(m []float64, n int) *mat.Dense {
	whole := mat.NewSymDense(n, nil)
	for c := range n {
		for d := c; d < n; d++ {
			whole.SetSym(c, d, (m[c*n+d]+m[d*n+c])/2)
		}
	}
	out := mat.NewDense(n, n, nil)
	var eigen mat.EigenSym
	if !eigen.Factorize(whole, true) {
		return out
	}
	var vectors, scaled mat.Dense
	eigen.VectorsTo(&vectors)
	scaled.CloneFrom(&vectors)
	for d, x := range eigen.Values(nil) {
		for c := range n {
			scaled.Set(c, d, scaled.At(c, d)*max(x, 0))
		}
	}
	out.Mul(&scaled, vectors.T())
	return out
}

// centered takes its mean off each column of a square matrix of n, or with the strides
// exchanged off each row: one factor for the minutes of all classes is nothing but another
// tempo. A vector is a matrix of one column.
func centered(m []float64, down, across int) []float64 {
	out := slices.Clone(m)
	n := max(down, across)
	lines := len(m) / n
	for line := range lines {
		var mean float64
		at := func(i int) int {
			if down > 1 {
				return i*lines + line
			}
			return line*n + i
		}
		for i := range n {
			mean += m[at(i)] / float64(n)
		}
		for i := range n {
			out[at(i)] -= mean
		}
	}
	return out
}

// step returns how far to go from log, and fills in the covariance there.
func (f *minutesFit) step(log, cov []float64) []float64 {
	n := f.n
	k := mat.NewSymDense(n, nil)
	var trace float64
	for c := range n {
		trace += f.variance[c*n+c]
	}
	scale := (usualWorth + f.squares) / (usualWorth + f.freedoms)
	for c := range n {
		for d := c; d < n; d++ {
			k.SetSym(c, d, scale*(f.variance[c*n+d]+f.variance[d*n+c])/2)
		}
		k.SetSym(c, c, k.At(c, c)+1e-6*scale*trace+1e-9)
	}
	j, s := positive(f.slope, n), mat.NewVecDense(n, f.score)
	posterior := mat.NewSymDense(n, nil)
	to := mat.NewVecDense(n, nil)
	var chol mat.Cholesky
	if chol.Factorize(k) {
		var kj mat.Dense
		var told mat.Dense
		if chol.SolveTo(&kj, j) == nil {
			told.Mul(j.T(), &kj)
			to.MulVec(kj.T(), s)
			for c := range n {
				for d := c; d < n; d++ {
					posterior.SetSym(c, d, (told.At(c, d)+told.At(d, c))/2)
				}
			}
		}
	}
	inverse, step := make([]float64, n*n), make([]float64, n)
	root := make([]float64, n*n)
	differ := minutesDiffer * minutesDiffer
	for range differRounds {
		for c := range n {
			for d := range n {
				root[c*n+d] = posterior.At(c, d)
			}
			root[c*n+c] += 1 / differ
			step[c] = to.AtVec(c) - log[c]/differ
		}
		if _, ok := cholesky(root, n); !ok {
			return make([]float64, n)
		}
		forward(root, n, step)
		backward(root, n, step)
		inverseBy(root, n, inverse)
		sum := differWorth * minutesDiffer * minutesDiffer
		for c := range n {
			x := log[c] + step[c]
			sum += x*x + inverse[c*n+c]
		}
		was := differ
		differ = sum / (differWorth + float64(n))
		if math.Abs(differ-was) < 1e-3*was {
			break
		}
	}
	copy(cov, inverse)
	return step
}

// inverseBy fills in the inverse of the matrix whose lower root is given.
func inverseBy(root []float64, n int, inverse []float64) {
	for c := range n {
		row := inverse[c*n : c*n+n] // its own transpose
		clear(row)
		row[c] = 1
		forward(root, n, row)
		backward(root, n, row)
	}
}
