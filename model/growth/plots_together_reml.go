package growth

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// effects are the sums of the random-effects model at one spread.
type effects struct {
	mean    float64 // weighted mean
	sw, sww float64 // Σ w, Σ w²
	q       float64 // Σ w (y - mean)²
	qq      float64 // Σ w² (y - mean)²
	logw    float64 // Σ ln w
}

// effectsAt are the sums with the weights 1/(v_i + tau2).
func effectsAt(y, v []float64, tau2 float64) effects {
	var e effects
	for i := range y {
		w := 1 / (v[i] + tau2)
		e.sw += w
		e.sww += w * w
		e.mean += w * y[i]
		e.logw += math.Log(w)
	}
	e.mean /= e.sw
	for i := range y {
		w, d := 1/(v[i]+tau2), y[i]-e.mean
		e.q += w * d * d
		e.qq += w * w * d * d
	}
	return e
}

// se is the standard error of the mean.
func (e effects) se() float64 { return 1 / math.Sqrt(e.sw) }

// restricted is the restricted log-likelihood without its constant.
func (e effects) restricted() float64 { return (e.logw - math.Log(e.sw) - e.q) / 2 }

// slope is the derivative of restricted by the squared spread.
func (e effects) slope() float64 { return (e.qq - e.sw + e.sww/e.sw) / 2 }

// remlSteps is the number of spreads tried before the search; the restricted likelihood may have two tops.
const remlSteps = 60

// remlSpread is the squared spread with the largest restricted likelihood, 0 where that falls from the start on. No
// spread beyond that of the values themselves can be the best.
func remlSpread(y, v []float64) float64 {
	far := slices.Max(y) - slices.Min(y)
	far *= far
	at := func(i int) float64 { // from 0 over 1e-6 of far to far, evenly in the logarithm
		if i == 0 {
			return 0
		}
		return far * math.Pow(10, 6*(float64(i)/remlSteps-1))
	}
	best, top := 0, math.Inf(-1)
	for i := range remlSteps + 1 {
		if l := effectsAt(y, v, at(i)).restricted(); l > top {
			best, top = i, l
		}
	}
	slope := func(t float64) float64 { return effectsAt(y, v, t).slope() }
	lo, hi := at(max(best-1, 0)), at(min(best+1, remlSteps))
	if best == 0 && !(slope(0) > 0) {
		return 0
	}
	return halve(slope, lo, hi)
}

// spreadInterval are the squared spreads at which Q is at the two quantiles of the chi-square distribution; both 0 where
// the values agree better than chance would have them.
func spreadInterval(y, v []float64, level float64) (lo, hi float64) {
	chi := distuv.ChiSquared{K: float64(len(y) - 1)}
	reach := func(target float64) float64 {
		f := func(t float64) float64 { return effectsAt(y, v, t).q - target }
		if !(f(0) > 0) {
			return 0
		}
		far := v[0]
		for f(far) > 0 {
			far *= 4
		}
		return halve(f, 0, far)
	}
	return reach(chi.Quantile((1 + level) / 2)), reach(chi.Quantile((1 - level) / 2))
}

// halve finds the zero of f between a, where it is positive, and b, where it is not, to the last bits.
func halve(f func(float64) float64, a, b float64) float64 {
	for range 200 {
		m := a + (b-a)/2
		if m <= a || m >= b {
			break
		}
		if f(m) > 0 {
			a = m
		} else {
			b = m
		}
	}
	return a + (b-a)/2
}
