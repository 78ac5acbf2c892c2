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

// inside reports which bounds parameter j has.
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

// solve searches inside the bounds. Where the search ends near a bound the parameters there are put on it, to see
// whether that is as good.
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
	if fit.Status == TooFewValues || fit.Status == NotFinite {
		return fit
	}
	if edge, ok := b.onEdge(model, y, fit, s); ok {
		return edge
	}
	if fit.Status != Converged {
		return fit
	}
	return lsqRestate(model, y, fit, s)
}

// lsqRestate is the converged fit with everything taken in the parameters themselves.
func lsqRestate(model ModelFunc, y []float64, fit Fit, s LSQSettings) Fit {
	at := newLSQSearch(model, y, fit.Last, s, 0)
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

const (
	lsqEdge = 1e-3 // share of the room within which a parameter is near its bound
	lsqSame = 1e-9 // relative change of the sum of squares that tells no two fits apart
)

// onEdge puts the parameters that ended near a bound on it and fits the others; true where that is no worse.
func (b *lsqBounds) onEdge(model ModelFunc, y []float64, fit Fit, s LSQSettings) (Fit, bool) {
	var held []int
	p := slices.Clone(fit.Last)
	for j, v := range p {
		if e := b.edge(j, v); e != v {
			held, p[j] = append(held, j), e
		}
	}
	if len(held) == 0 {
		return fit, false
	}
	last, rss := b.fitOthers(model, y, p, held, s)
	if !(rss <= fit.LastRSS*(1+lsqSame)) {
		return fit, false
	}
	fit = fit.stopped(OnBound)
	fit.Last, fit.LastRSS = last, rss
	return fit, true
}

// edge is the bound that v is near, else v.
func (b *lsqBounds) edge(j int, v float64) float64 {
	lower, upper := b.sides(j)
	lo, hi := b.lower[j], b.upper[j]
	room := hi - lo
	if !lower || !upper {
		room = 1
		if lower && lo != 0 {
			room = math.Abs(lo)
		}
		if upper && hi != 0 {
			room = math.Abs(hi)
		}
	}
	switch {
	case lower && v-lo < lsqEdge*room:
		return lo
	case upper && hi-v < lsqEdge*room:
		return hi
	}
	return v
}

// fitOthers is the lowest sum of squares with some parameters held where p has them, and the point.
func (b *lsqBounds) fitOthers(model ModelFunc, y, p []float64, held []int, s LSQSettings) ([]float64, float64) {
	if len(held) == len(p) {
		at := newLSQSearch(model, y, p, s, 0)
		model(p, at.f, nil)
		return p, at.sumSquares(at.f)
	}
	part, n := p, len(p)
	for i := len(held) - 1; i >= 0; i-- {
		model = lsqHold(model, n, len(y), held[i], p[held[i]])
		s, part, n = s.without(held[i]), lsqWithout(part, held[i]), n-1
	}
	fit := LeastSquares(model, y, part, &s)
	last := slices.Clone(fit.Last)
	for _, j := range held {
		last = slices.Insert(last, j, p[j])
	}
	return last, fit.LastRSS
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
