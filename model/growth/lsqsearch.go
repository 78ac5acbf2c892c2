package growth

import "math"

// lsqSearch is the state of one search.
type lsqSearch struct {
	model     ModelFunc
	y, sw     []float64 // values, square roots of the weights (nil: all 1)
	p, trial  []float64
	f, ftrial []float64
	jac       []float64
	qr        triangle  // R and Qᵀe of the weighted Jacobian at p
	damped    triangle  // workspace of the damped step
	norms     []float64 // column norms of the weighted Jacobian at p
	scale     []float64 // largest column norms so far
	step      []float64
	rss       float64
	round     float64 // size of rounding in |Qᵀe|
	mu, nu    float64 // damping and its growth
	offset    float64
	iter      int
}

func newLSQSearch(model ModelFunc, y, start []float64, s LSQSettings, damping float64) *lsqSearch {
	m, n := len(y), len(start)
	if n == 0 {
		panic("growth: least squares without parameters")
	}
	buf := make([]float64, 5*n+2*m+m*n)
	cut := func(k int) []float64 {
		b := buf[:k:k]
		buf = buf[k:]
		return b
	}
	q := &lsqSearch{model: model, y: y, p: cut(n), trial: cut(n), norms: cut(n), scale: cut(n), step: cut(n),
		f: cut(m), ftrial: cut(m), jac: cut(m * n), mu: damping, nu: 2, offset: math.NaN()}
	q.qr, q.damped = newTriangle(m, n), newTriangle(2*n, n)
	copy(q.p, start)
	q.sw = rootWeights(s.Weights, m)
	return q
}

func rootWeights(w []float64, m int) []float64 {
	if w == nil {
		return nil
	}
	if len(w) != m {
		panic("growth: least squares: weights and values differ in length")
	}
	sw := make([]float64, m)
	for i, v := range w {
		if !(v > 0) || math.IsInf(v, 1) {
			panic("growth: least squares: a weight is not positive and finite")
		}
		sw[i] = math.Sqrt(v)
	}
	return sw
}

// run searches until a reason to stop.
func (q *lsqSearch) run(s LSQSettings) FitStatus {
	if len(q.y) < len(q.p) {
		return TooFewValues
	}
	q.model(q.p, q.f, nil)
	q.rss = q.sumSquares(q.f)
	if !lsqFinite(q.rss) {
		return NotFinite
	}
	last, idle := math.Inf(1), 0
	for q.iter = 0; ; q.iter++ {
		if !q.linearise() {
			return NotFinite
		}
		switch gain := q.gainLeft(); {
		case q.offset <= s.Tolerance || gain <= q.round:
			return q.ended()
		case gain*gain < lsqNoise*q.rss && q.offset > 0.9*last: // rounding hides what is left
			if q.offset <= lsqLoose {
				return q.ended()
			}
			return Stalled
		}
		if q.iter == s.MaxIterations {
			return TooManyIterations
		}
		last = q.offset
		before := q.rss
		if idle == lsqIdle || !q.advance() {
			return q.stuck()
		}
		if idle++; q.rss < before*(1-lsqNoise) {
			idle = 0
		}
	}
}

const (
	lsqNoise = 1e-11 // relative change of the sum of squares that rounding can hide
	lsqLoose = 1e-5  // relative offset accepted where rounding ends the search
	lsqTiny  = 1e-14 // relative step below which a search is stuck
	lsqIdle  = 10    // steps in a row that change nothing but rounding
	lsqApart = 1e11  // largest collinearity of a parameter with the others
)

// stuck judges a search that finds no lower point.
func (q *lsqSearch) stuck() FitStatus {
	if q.offset <= lsqLoose {
		return q.ended()
	}
	if q.collinear() {
		return Singular
	}
	return Stalled
}

// ended judges a search that met its criterion.
func (q *lsqSearch) ended() FitStatus {
	if q.collinear() {
		return Singular
	}
	return Converged
}

// linearise takes the Jacobian at p and factorises it. It reports whether all is finite.
func (q *lsqSearch) linearise() bool {
	m, n := len(q.y), len(q.p)
	q.model(q.p, q.f, q.jac)
	clear(q.norms)
	top := 0.0
	for i := range m {
		w := 1.0
		if q.sw != nil {
			w = q.sw[i]
		}
		q.qr.b[i] = w * (q.y[i] - q.f[i])
		top = max(top, w*math.Abs(q.y[i]))
		for j := range n {
			v := w * q.jac[i*n+j]
			q.qr.a[i*n+j] = v
			q.norms[j] += v * v
		}
	}
	for j, v := range q.norms {
		if !lsqFinite(v) {
			return false
		}
		q.norms[j] = math.Sqrt(v)
		q.scale[j] = max(q.scale[j], q.norms[j])
	}
	q.round = 64 * lsqEps * top * math.Sqrt(float64(m))
	q.qr.factor()
	return true
}

const lsqEps = 0x1p-52

// gainLeft is |Q1ᵀe|; its square is what a full linear step would take off the sum of squares. It sets the offset.
func (q *lsqSearch) gainLeft() float64 {
	n, df := len(q.p), len(q.y)-len(q.p)
	gain, rest := lsqSumSq(q.qr.b[:n]), lsqSumSq(q.qr.b[n:])
	if df == 0 {
		q.offset = math.Sqrt(gain / float64(n))
	} else {
		q.offset = math.Sqrt(gain / float64(n) / (rest / float64(df)))
	}
	return math.Sqrt(gain)
}

// advance moves p to a better point, with more damping after each failure; false where there is none.
func (q *lsqSearch) advance() bool {
	for {
		q.solve()
		tiny := true
		for j, d := range q.step {
			q.trial[j] = q.p[j] + d
			tiny = tiny && math.Abs(d) <= lsqTiny*math.Abs(q.p[j])
		}
		q.model(q.trial, q.ftrial, nil)
		rss := q.sumSquares(q.ftrial)
		want := q.predicted()
		ratio := (q.rss - rss) / want
		if lsqFinite(rss) && (ratio > 1e-4 || want < lsqNoise*q.rss && rss <= q.rss*(1+lsqNoise)) {
			q.relax(ratio)
			q.rss = rss
			copy(q.p, q.trial)
			return true
		}
		if tiny || q.mu > 1e30 {
			return false
		}
		q.mu *= q.nu
		q.nu *= 2
	}
}

// relax lowers the damping after a step as good as foreseen.
func (q *lsqSearch) relax(ratio float64) {
	q.nu = 2
	switch {
	case ratio > 0.75:
		q.mu = max(q.mu/10, 1e-18)
	case ratio < 0.25:
		q.mu *= 2
	}
}

// solve finds the damped step: min |R d - Q1ᵀe|² + mu |D d|², D the scale.
func (q *lsqSearch) solve() {
	n := len(q.p)
	t := &q.damped
	clear(t.a)
	clear(t.b)
	for i := range n {
		copy(t.a[i*n+i:(i+1)*n], q.qr.a[i*n+i:(i+1)*n])
		d := q.scale[i]
		if d == 0 {
			d = 1
		}
		t.a[(n+i)*n+i] = math.Sqrt(q.mu) * d
	}
	copy(t.b[:n], q.qr.b[:n])
	t.factor()
	t.back(q.step)
}

// predicted is how far the step lowers the sum of squares of the linearised problem, 2 eᵀJd - |Jd|².
func (q *lsqSearch) predicted() float64 {
	n, sum := len(q.p), 0.0
	for i := range n {
		rd := 0.0
		for j := i; j < n; j++ {
			rd += q.qr.a[i*n+j] * q.step[j]
		}
		sum += rd * (2*q.qr.b[i] - rd)
	}
	return sum
}

func (q *lsqSearch) sumSquares(f []float64) float64 {
	s := 0.0
	for i, v := range f {
		e := q.y[i] - v
		if q.sw != nil {
			e *= q.sw[i]
		}
		s += e * e
	}
	return s
}

func lsqSumSq(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v * v
	}
	return s
}

func lsqFinite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
