package growth

import (
	"math"
	"slices"
)

// lsqBounds are the bounds of the parameters, infinite where there is none. The search moves q, free of bounds:
//
//	p = lower + exp(q),   p = upper - exp(q),   p = lower + (upper - lower)/(1 + exp(-q)),   p = q without bounds
//
// so that no point outside is ever tried. The relative offset does not depend on how a parameter is written, and thus
// means the same in q.
type lsqBounds struct{ lower, upper []float64 }

// newLSQBounds is nil where no parameter has a bound.
func newLSQBounds(s LSQSettings, n int) *lsqBounds {
	fill := func(b []float64, none float64) []float64 {
		if b == nil {
			return slices.Repeat([]float64{none}, n)
		}
		if len(b) != n {
			panic("growth: least squares: bounds and parameters differ in length")
		}
		return b
	}
	b := &lsqBounds{fill(s.Lower, math.Inf(-1)), fill(s.Upper, math.Inf(1))}
	bound := false
	for j := range n {
		if !(b.lower[j] < b.upper[j]) {
			panic("growth: least squares: a lower bound is not below the upper one")
		}
		bound = bound || !math.IsInf(b.lower[j], -1) || !math.IsInf(b.upper[j], 1)
	}
	if !bound {
		return nil
	}
	return b
}

// sides reports which bounds parameter j has.
func (b *lsqBounds) sides(j int) (lower, upper bool) {
	return !math.IsInf(b.lower[j], -1), !math.IsInf(b.upper[j], 1)
}

// outward is the parameter at q and its derivative.
func (b *lsqBounds) outward(j int, q float64) (p, slope float64) {
	lo, hi := b.lower[j], b.upper[j]
	switch lower, upper := b.sides(j); {
	case lower && upper:
		s := 1 / (1 + math.Exp(-q))
		return lo + (hi-lo)*s, (hi - lo) * s / (1 + math.Exp(q))
	case lower:
		return lo + math.Exp(q), math.Exp(q)
	case upper:
		return hi - math.Exp(q), -math.Exp(q)
	}
	return q, 1
}

// inward is the q of a start, which is moved inside by a hundredth of the room, or of its own size, where it is not.
func (b *lsqBounds) inward(j int, p float64) float64 {
	lo, hi := b.lower[j], b.upper[j]
	switch lower, upper := b.sides(j); {
	case lower && upper:
		edge := (hi - lo) / 100
		if !(p > lo && p < hi) {
			p = min(max(p, lo+edge), hi-edge)
		}
		return math.Log((p - lo) / (hi - p))
	case lower:
		return math.Log(lsqRoom(p-lo, lo))
	case upper:
		return math.Log(lsqRoom(hi-p, hi))
	}
	return p
}

// lsqRoom is the distance from the bound b, made positive.
func lsqRoom(d, b float64) float64 {
	if d > 0 || math.IsNaN(d) {
		return d
	}
	return max(math.Abs(b), 1) / 100
}

// model is the model in q.
func (b *lsqBounds) model(model ModelFunc, n int) ModelFunc {
	p, slope := make([]float64, n), make([]float64, n)
	return func(q, f, jac []float64) {
		for j, v := range q {
			p[j], slope[j] = b.outward(j, v)
		}
		model(p, f, jac)
		for i := range jac {
			jac[i] *= slope[i%n]
		}
	}
}

// solve searches inside the bounds. A search that does not converge there may be on its way to a bound: each is tried.
func (b *lsqBounds) solve(model ModelFunc, y, start []float64, s LSQSettings) Fit {
	n := len(start)
	q := make([]float64, n)
	for j, v := range start {
		q[j] = b.inward(j, v)
	}
	fit := lsqSolve(b.model(model, n), y, q, s)
	for j, v := range fit.Last {
		fit.Last[j], _ = b.outward(j, v)
	}
	switch fit.Status {
	case Converged:
		return lsqRestate(model, y, fit, s)
	case TooFewValues, NotFinite:
		return fit
	}
	return b.onEdge(model, y, fit, s)
}

// lsqRestate is the converged fit with everything taken in the parameters themselves.
func lsqRestate(model ModelFunc, y []float64, fit Fit, s LSQSettings) Fit {
	at := newLSQSearch(model, y, fit.Last, s, lsqTactic{})
	model(at.p, at.f, nil)
	at.rss = at.sumSquares(at.f)
	at.iter = fit.Iterations
	if !at.linearise() {
		return fit.stopped(NotFinite)
	}
	at.gainLeft()
	return at.fit(at.ended())
}

// stopped is the fit without an estimate.
func (f Fit) stopped(why FitStatus) Fit {
	f.Status = why
	for _, x := range [...][]float64{f.Params, f.SE, f.Fitted, f.Residual, f.Leverage} {
		lsqClear(x)
	}
	for j := range f.Cov {
		lsqClear(f.Cov[j])
		lsqClear(f.Corr[j])
	}
	f.RSS, f.RSD = math.NaN(), math.NaN()
	return f
}

func lsqClear(x []float64) {
	for i := range x {
		x[i] = math.NaN()
	}
}

// lsqSame is the relative change of the sum of squares that tells no two fits apart.
const lsqSame = 1e-9

// onEdge is the fit on the bound where the sum of squares is lowest, if it is no higher than where the search ended and
// would only fall further beyond the bound; else the fit as it is.
func (b *lsqBounds) onEdge(model ModelFunc, y []float64, fit Fit, s LSQSettings) Fit {
	limit, out := fit.LastRSS*(1+lsqSame), fit
	for j := range fit.Last {
		for _, e := range [...]float64{b.lower[j], b.upper[j]} {
			if math.IsInf(e, 0) {
				continue
			}
			last, rss := lsqFitOthers(model, y, fit.Last, j, e, s)
			if rss <= limit && b.pressed(model, y, last, j, s) {
				out = fit.stopped(OnBound)
				out.Last, out.LastRSS, limit = last, rss, rss
			}
		}
	}
	return out
}

// pressed reports whether the sum of squares would fall beyond the bound that parameter j is on.
func (b *lsqBounds) pressed(model ModelFunc, y, p []float64, j int, s LSQSettings) bool {
	at := newLSQSearch(model, y, p, s, lsqTactic{})
	model(p, at.f, at.jac)
	slope := 0.0
	for i, v := range at.f {
		w := 1.0
		if s.Weights != nil {
			w = s.Weights[i]
		}
		slope += w * (y[i] - v) * at.jac[i*len(p)+j]
	}
	if p[j] == b.lower[j] {
		return slope <= 0
	}
	return slope >= 0
}

// lsqFitOthers is the lowest sum of squares with parameter j at v, and the point; +Inf where none was found.
func lsqFitOthers(model ModelFunc, y, p []float64, j int, v float64, s LSQSettings) ([]float64, float64) {
	if len(p) == 1 {
		at := newLSQSearch(model, y, []float64{v}, s, lsqTactic{})
		model(at.p, at.f, nil)
		return at.p, at.sumSquares(at.f)
	}
	others := s.without(j)
	fit := LeastSquares(lsqHold(model, len(p), len(y), j, v), y, lsqWithout(p, j), &others)
	if fit.Status != Converged && fit.Status != OnBound {
		return nil, math.Inf(1)
	}
	return slices.Insert(slices.Clone(fit.Last), j, v), fit.LastRSS
}

// without are the settings of a model that lacks parameter j.
func (s LSQSettings) without(j int) LSQSettings {
	if s.Lower != nil {
		s.Lower = lsqWithout(s.Lower, j)
	}
	if s.Upper != nil {
		s.Upper = lsqWithout(s.Upper, j)
	}
	return s
}

// lsqWithout is a copy of x without element j.
func lsqWithout(x []float64, j int) []float64 { return slices.Delete(slices.Clone(x), j, j+1) }
