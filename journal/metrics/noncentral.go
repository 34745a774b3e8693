// Student's t when there is something to find: the noncentral t distribution.

package metrics

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// noncentralT is the chance that Student's t on df degrees of freedom does not
// exceed t, when the mean lies ncp standard errors from 0. df may be +Inf, and need
// not be whole. With x = t²/(t²+df) and I the regularized incomplete beta function
//
//	P = Φ(-ncp) + ½ Σ_j [p_j I_x(j+½, df/2) + q_j I_x(j+1, df/2)]        t ≥ 0
//	p_j = e^(-ncp²/2) (ncp²/2)^j / j!,   q_j = ncp/√2 e^(-ncp²/2) (ncp²/2)^j / Γ(j+3/2)
//
// Lenth R.V. (1989), Algorithm AS 243: cumulative distribution function of the
// non-central t distribution, Applied Statistics 38, 185–189.
func noncentralT(t, df, ncp float64) float64 {
	switch {
	case math.IsInf(df, 1) || df > nearlyNormal:
		return distuv.UnitNormal.CDF(t - ncp)
	case t < 0:
		return 1 - noncentralT(-t, df, -ncp)
	}
	half := ncp * ncp / 2
	p := math.Exp(-half)
	q := ncp * math.Exp(-half) / math.Sqrt2 / math.Gamma(1.5)
	x := t * t / (t*t + df)
	sum, left := 0.0, 1-p
	for j := 0.0; ; j++ {
		sum += p*mathext.RegIncBeta(j+0.5, df/2, x) + q*mathext.RegIncBeta(j+1, df/2, x)
		if j >= half && left < 1e-12 || j > 5000 {
			break
		}
		p *= half / (j + 1)
		q *= half / (j + 1.5)
		left -= p
	}
	return distuv.UnitNormal.CDF(-ncp) + sum/2
}

// nearlyNormal is the df above which the t distribution is the normal one to
// more digits than anybody is shown.
const nearlyNormal = 1e5
