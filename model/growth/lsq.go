package growth

import (
	"errors"
	"math"
)

// ModelFunc computes the values f_i(p) of a regression and, where jac is not nil, their derivatives
// jac[i*len(p)+j] = ∂f_i/∂p_j. A value that does not exist at p is left NaN or infinite: the search then takes a
// shorter step.
type ModelFunc func(p, f, jac []float64)

// FitStatus says how a least-squares search ended.
type FitStatus uint8

const (
	// Converged: the residuals are orthogonal to the tangent plane within the tolerance.
	Converged FitStatus = iota
	// Stalled: no step lowers the sum of squares, yet the convergence criterion is not met.
	Stalled
	// TooManyIterations: the limit on iterations was reached first.
	TooManyIterations
	// Singular: the data do not tell the parameters apart.
	Singular
	// NotFinite: the data or the model at the start are NaN or infinite.
	NotFinite
	// TooFewValues: there are fewer values than parameters.
	TooFewValues
)

var fitErrors = [...]error{
	Converged:         nil,
	Stalled:           errors.New("the fit stalled before it converged"),
	TooManyIterations: errors.New("the fit did not converge within the allowed iterations"),
	Singular:          errors.New("the data do not tell the parameters apart"),
	NotFinite:         errors.New("the data or the starting curve are not finite"),
	TooFewValues:      errors.New("there are fewer values than parameters"),
}

// Err is nil where the fit converged, else what happened.
func (s FitStatus) Err() error { return fitErrors[s] }

// String is "converged" or the text of [FitStatus.Err].
func (s FitStatus) String() string {
	if err := s.Err(); err != nil {
		return err.Error()
	}
	return "converged"
}

// Fit is the outcome of a least-squares search. The estimates and everything computed at them are NaN unless Status
// is [Converged]: a search that stopped is no estimate. Where it stopped is kept in Last.
type Fit struct {
	Params   []float64
	SE       []float64   // standard errors; NaN where DF is 0
	Cov      [][]float64 // covariance of the estimates
	Corr     [][]float64 // correlation of the estimates
	Fitted   []float64   // f_i at the estimates
	Residual []float64   // y_i - f_i
	Leverage []float64   // diagonal of the tangent-plane hat matrix, 0-1
	RSS      float64     // sum of w_i (y_i - f_i)²
	RSD      float64     // residual standard deviation, sqrt(RSS/DF)
	DF, N    int         // degrees of freedom, number of values

	Iterations int
	Offset     float64   // relative offset at the end; 0 is perfect
	Last       []float64 // last point of the search
	LastRSS    float64
	Status     FitStatus
}

// LSQSettings steer [LeastSquares]; nil or a zero field means the default.
type LSQSettings struct {
	Weights       []float64 // w_i > 0; nil: all 1
	Tolerance     float64   // largest relative offset at convergence; default 1e-9
	MaxIterations int       // default 200
}

func (s *LSQSettings) fill() LSQSettings {
	var out LSQSettings
	if s != nil {
		out = *s
	}
	if out.Tolerance == 0 {
		out.Tolerance = 1e-9
	}
	if out.MaxIterations == 0 {
		out.MaxIterations = 200
	}
	return out
}

// LeastSquares finds the parameters p that minimise
//
//	S(p) = Σ w_i (y_i - f_i(p))²
//
// from a start by the method of Levenberg and Marquardt: each step solves the linear least-squares problem of the
// Jacobian stacked on the damping, scaled by the largest column norms met so far, through a QR factorisation, so the
// normal equations are never formed. A trial point where the model is not finite, or S not lower, is answered with
// more damping, that is a shorter step. The search ends when the relative offset
//
//	( |Q1ᵀ e| / sqrt(P) ) / ( |Q2ᵀ e| / sqrt(N-P) )
//
// is at most the tolerance: e are the weighted residuals, Q1 spans the P columns of the Jacobian and Q2 the rest. It
// compares what another step could still gain with the noise, and so has no unit. Data without noise end when |Q1ᵀ e|
// is at the level of rounding.
//
// Special cases: fewer values than parameters is [TooFewValues]; NaN or infinite data, or a model that is not finite
// at the start, is [NotFinite]. With as many values as parameters DF is 0 and RSD and SE are NaN. It panics where a
// weight is not positive or the weights are not as many as the values.
//
// References:
//   - Bates, D. M. and Watts, D. G.: A relative offset orthogonality convergence criterion for nonlinear least
//     squares. Technometrics 23 (1981), 179-183
//   - Moré, J. J.: The Levenberg-Marquardt algorithm: implementation and theory. In: Numerical Analysis, Lecture
//     Notes in Mathematics 630. Springer (1978), 105-116
func LeastSquares(model ModelFunc, y, start []float64, settings *LSQSettings) Fit {
	s := settings.fill()
	q := newLSQSearch(model, y, start, s)
	status := q.run(s)
	return q.fit(status)
}

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

func newLSQSearch(model ModelFunc, y, start []float64, s LSQSettings) *lsqSearch {
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
		f: cut(m), ftrial: cut(m), jac: cut(m * n), mu: 1e-3, nu: 2, offset: math.NaN()}
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
	last := math.Inf(1)
	for q.iter = 0; ; q.iter++ {
		if !q.linearise() {
			return NotFinite
		}
		switch gain := q.gainLeft(); {
		case q.offset <= s.Tolerance || gain <= q.round:
			return q.ended()
		case gain*gain < lsqNoise*q.rss && q.offset > last/2: // rounding hides further progress
			if q.offset <= lsqLoose {
				return q.ended()
			}
			return Stalled
		}
		if q.iter == s.MaxIterations {
			return TooManyIterations
		}
		last = q.offset
		if !q.advance() {
			return q.stuck()
		}
	}
}

const (
	lsqNoise = 1e-11 // relative change of the sum of squares that rounding can hide
	lsqLoose = 1e-5  // relative offset accepted where rounding ends the search
	lsqTiny  = 1e-14 // relative step below which a search is stuck
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
