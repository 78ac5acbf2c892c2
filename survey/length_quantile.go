package survey

import (
	"cmp"
	"math"
	"slices"
)

// WeightedQuantile is the quantile of x with weights w at probability p in [0, 1], definition 7 of Hyndman and Fan
// carried over to weights:
//
//	q = x(k) + (p - p_k)/(p_{k+1} - p_k) (x(k+1) - x(k)),   p_k = Σ_{i<k} w(i) / Σ_{i<n} w(i)
//
// with x(k) the k-th smallest value and w(k) its weight, equal values in the order of their weights. With equal weights
// it is [Quantile]; it is svyquantile of R survey with qrule = "hf7". Values of weight 0 do not count. It is NaN where
// none counts or a value is NaN. It panics on p outside [0, 1], lengths that differ, and weights that are negative or
// NaN.
//
// References:
//   - Hyndman, R. J. and Fan, Y.: Sample quantiles in statistical packages. The American Statistician 50 (1996) 361-365
//   - Lumley, T.: survey, analysis of complex survey samples, version 4.1.1 (2021), vignette on quantile rules
func WeightedQuantile(x, w []float64, p float64) float64 {
	if !(p >= 0 && p <= 1) {
		panic("survey: quantile of a probability outside [0, 1]")
	}
	return newRanked(x, w).quantile(p)
}

// ranked are sorted values with the weight before each.
type ranked struct {
	x, before []float64 // before: Σ of the weights of smaller values
}

// newRanked sorts values by size, equal ones by weight.
func newRanked(x, w []float64) ranked {
	if len(x) != len(w) {
		panic("survey: slice length mismatch")
	}
	var order []int
	for i, wi := range w {
		switch {
		case !(wi >= 0):
			panic("survey: negative or NaN weight")
		case wi > 0:
			order = append(order, i)
		}
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(x[a], x[b]), cmp.Compare(w[a], w[b])) })
	r := ranked{make([]float64, len(order)), make([]float64, len(order))}
	sum := 0.0
	for k, i := range order {
		r.x[k], r.before[k] = x[i], sum
		sum += w[i]
	}
	return r
}

// quantile is the quantile at p.
func (r ranked) quantile(p float64) float64 {
	n := len(r.x)
	switch {
	case n == 0 || math.IsNaN(r.x[0]): // NaN sorts first
		return math.NaN()
	case n == 1:
		return r.x[0]
	}
	at := p * r.before[n-1]
	k, found := slices.BinarySearch(r.before, at)
	switch {
	case found:
		return r.x[k]
	case k == n:
		return r.x[n-1]
	}
	return r.x[k-1] + (at-r.before[k-1])/(r.before[k]-r.before[k-1])*(r.x[k]-r.x[k-1])
}

// LengthPercentile is the length that a share P of the fronds does not exceed.
type LengthPercentile struct {
	P float64
	Estimate
}

// percentiles are the lengths at the probabilities with their intervals by Woodruff: the interval of the share of
// fronds at or below the quantile, carried back to lengths,
//
//	Lo, Hi = q( F(q(p)) -+ t SE(F(q(p))) )
//
// on the logit of F where it would leave [0, 1] (interval types "mean" and "xlogit" of R survey). SE is (Hi - Lo)/(2 t). Of
// many equal lengths F(q(p)) lies above p, and with it the bounds; they are then widened to hold q(p) itself. Measured fronds have quantiles of type 7 (see
// [WeightedQuantile]); where mean lengths are among them F is the mixture of lognormals and fronds.
//
// References:
//   - Woodruff, R. S.: Confidence intervals for medians and other position measures. Journal of the American
//     Statistical Association 47 (1952) 635-646
func (l *lengthSample) percentiles(probs []float64, level float64) []LengthPercentile {
	inverse := l.inverse()
	var out []LengthPercentile
	for _, p := range probs {
		e := missing()
		e.Level = level
		if len(l.parts) > 0 {
			e.OK, e.Value = true, inverse(p)
			l.woodruff(&e, inverse, level)
		}
		out = append(out, LengthPercentile{p, e})
	}
	return out
}

// woodruff fills in the interval and standard error of a quantile.
func (l *lengthSample) woodruff(e *Estimate, inverse func(float64) float64, level float64) {
	f := l.estimate(shorter(e.Value, true))
	if !(f.SE > 0) || !(f.DF >= 0.5) { // one unit, or all at or below it
		return
	}
	t := tQuantile(0.5+level/2, f.DF)
	lo, hi := f.Value-t*f.SE, f.Value+t*f.SE
	if lo < 0 || hi > 1 {
		at, half := math.Log(f.Value/(1-f.Value)), t*f.SE/(f.Value*(1-f.Value))
		lo, hi = expit(at-half), expit(at+half)
	}
	e.Lo, e.Hi, e.DF, e.Kind = inverse(lo), inverse(hi), f.DF, "woodruff"
	e.SE = (e.Hi - e.Lo) / (2 * t)
	e.Lo, e.Hi = min(e.Lo, e.Value), max(e.Hi, e.Value)
}

// inverse is the quantile function of the lengths.
func (l *lengthSample) inverse() func(p float64) float64 {
	m := l.model()
	x, w := make([]float64, len(l.parts)), l.frondWeights(m)
	mixed := false
	for j, p := range l.parts {
		x[j] = p.length
		mixed = mixed || !p.measured
	}
	if mixed {
		return func(p float64) float64 { return l.mixtureQuantile(p, w, m) }
	}
	return newRanked(x, w).quantile
}

// frondWeights is how many fronds of the bed each part stands for, up to a common factor.
func (l *lengthSample) frondWeights(m lengthModel) []float64 {
	out := make([]float64, len(l.parts))
	for from := 0; from < len(l.parts); {
		i, to, all := l.parts[from].quad, from, 0.0
		for ; to < len(l.parts) && l.parts[to].quad == i; to++ {
			all += m.mass(l.parts[to])
		}
		for ; from < to; from++ {
			out[from] = l.weight[i] * l.stands[i] / all
		}
	}
	return out
}

// mixtureQuantile is the smallest length that a share p of the fronds does not exceed, to a relative 1e-9, by secant
// steps in the logarithm of the length between bounds that are halved where these do not close in.
func (l *lengthSample) mixtureQuantile(p float64, w []float64, m lengthModel) float64 {
	lo, hi, sum := math.Inf(1), math.Inf(-1), 0.0
	for j, part := range l.parts {
		at, reach := math.Log(part.length), 0.0
		if !part.measured {
			reach = 9*m.sigma + m.sigma*m.sigma // beyond 9 sd nothing is left
		}
		lo, hi, sum = min(lo, at-reach), max(hi, at+reach), sum+w[j]
	}
	share := func(logLength float64) float64 {
		c, below := math.Exp(logLength), 0.0
		for j, part := range l.parts {
			if part.measured && part.length <= c*(1+1e-12) {
				below += w[j]
				continue
			}
			below += w[j] * m.below(part, c)
		}
		return below/sum - p
	}
	lo -= 1e-6
	fLo, fHi := share(lo), share(hi)
	for step := 0; hi-lo > 1e-9 && fHi > 1e-14; step++ {
		mid := (lo + hi) / 2
		if step%3 != 2 && fLo < 0 {
			mid = min(max(lo-fLo*(hi-lo)/(fHi-fLo), lo+0.02*(hi-lo)), hi-0.02*(hi-lo))
		}
		if f := share(mid); f < 0 {
			lo, fLo = mid, f
		} else {
			hi, fHi = mid, f
		}
	}
	for _, part := range l.parts {
		if part.measured && math.Abs(math.Log(part.length)-hi) <= 2e-9 { // a step of the shares
			return part.length
		}
	}
	return math.Exp(hi)
}
