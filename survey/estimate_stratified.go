package survey

import "math"

// Layer sums up the simple random sample of one stratum.
type Layer struct {
	Size float64 // sampling units in the stratum, N_h > 0
	N    int     // units sampled, n_h >= 1
	Mean float64 // mean of the sampled units
	Var  float64 // variance of the sampled units, divisor n_h - 1; NaN or 0 where one was sampled
}

// StratifiedMean is the mean per unit of a stratified random sample without replacement,
//
//	ybar = Σ W_h ybar_h,   v = Σ W_h² (1 - n_h/N_h) s_h²/n_h,   W_h = N_h / Σ N_h
//
// with Σ (n_h - 1) degrees of freedom. fpc false leaves the correction 1 - n_h/N_h out, as for quadrats in a bed, of
// which there are without number; Size may then be an area. The total is the mean times Σ N_h. A stratum of one
// sampled unit has no variance: SE and DF are NaN. OK is false without strata. It panics where N or Size is not
// positive.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), theorem 5.3
func StratifiedMean(layers []Layer, fpc bool) Estimate {
	if len(layers) == 0 {
		return missing()
	}
	size := 0.0
	for _, l := range layers {
		if l.N < 1 || !(l.Size > 0) {
			panic("survey: stratum without units")
		}
		size += l.Size
	}
	mean, v, df := 0.0, 0.0, 0
	for _, l := range layers {
		w := l.Size / size
		mean += w * l.Mean
		v += w * w * l.meanVariance(fpc)
		df += l.N - 1
	}
	e := missing()
	e.OK, e.Value, e.SE = true, mean, math.Sqrt(v)
	if !math.IsNaN(v) {
		e.DF = float64(df)
	}
	return e
}

// meanVariance is (1 - n/N) s²/n, NaN for one unit.
func (l Layer) meanVariance(fpc bool) float64 {
	if l.N < 2 {
		return math.NaN()
	}
	v := l.Var / float64(l.N)
	if fpc {
		v *= 1 - float64(l.N)/l.Size
	}
	return v
}
