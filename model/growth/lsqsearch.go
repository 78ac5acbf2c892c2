package growth

import "math"

// lsqTactic is a way to search.
type lsqTactic struct {
	damping float64 // at the start
	bent    bool    // steps follow the bend of the valley
	forget  bool    // the damping is scaled by the present column norms, not by the largest so far
}

// lsqTactics are tried in turn until one converges: the first does for nearly all fits; a short first step may stay in
// the valley that a long one left; the last, only where the others were still on their way, follows a valley over many
// orders of magnitude.
var lsqTactics = [...]lsqTactic{{damping: 1e-3}, {damping: 1e3}, {damping: 1e-3, bent: true, forget: true}}

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
	tactic    lsqTactic
	mu, nu    float64 // damping and its growth
	offset    float64
	iter      int
}

func newLSQSearch(model ModelFunc, y, start []float64, s LSQSettings, tactic lsqTactic) *lsqSearch {
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
		f: cut(m), ftrial: cut(m), jac: cut(m * n), tactic: tactic, mu: tactic.damping, nu: 2, offset: math.NaN()}
	q.qr, q.damped = newTriangle(m, n), newTriangle(2*n, n)
	copy(q.p, start)
	q.sw = rootWeights(s, m)
	return q
}

func rootWeights(s LSQSettings, m int) []float64 {
	w := s.Weights
	if w == nil {
		return nil
	}
	if len(w) != m {
		panic("growth: least squares: weights and values differ in length")
	}
	sw := make([]float64, m)
	for i, v := range w {
		if !(v > 0 || s.resampled && v == 0) || math.IsInf(v, 1) {
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
	best, stale, idle := math.Inf(1), 0, 0
	for q.iter = 0; ; q.iter++ {
		if !q.linearise() {
			return NotFinite
		}
		gain := q.gainLeft()
		if q.offset <= s.Tolerance || gain <= q.round {
			return q.ended()
		}
		if stale++; q.offset < 0.99*best {
			best, stale = q.offset, 0
		}
		if gain*gain < lsqNoise*q.rss && stale >= lsqStale {
			return q.stuck()
		}
		if q.iter == s.MaxIterations {
			return TooManyIterations
		}
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
	lsqIdle  = 40    // steps in a row that change the sum of squares by no more than rounding
	lsqStale = 5     // steps in a row that do not bring the offset down, once rounding hides the sum of squares
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
		if q.tactic.forget {
			q.scale[j] = 0
		}
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
