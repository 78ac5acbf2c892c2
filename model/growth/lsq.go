package growth

// ModelFunc computes the values f_i(p) of a regression and, where jac is not nil, their derivatives
// jac[i*len(p)+j] = ∂f_i/∂p_j. A value that does not exist at p is left NaN or infinite: the search then takes a
// shorter step.
type ModelFunc func(p, f, jac []float64)

// LSQSettings steer [LeastSquares]; nil or a zero field means the default.
type LSQSettings struct {
	Weights       []float64 // w_i > 0; nil: all 1
	Lower, Upper  []float64 // bounds of the parameters, infinite where there is none; nil: none
	Tolerance     float64   // largest relative offset at convergence; default 1e-9
	MaxIterations int       // default 200

	resampled bool // weights of 0 are allowed: they count how often a case was drawn
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
// is at the level of rounding. A search that ends otherwise is done again from the start with a short first step, since
// a long one may have left the valley; and, where the iterations did not suffice, with steps d + a/2 that follow the
// bend of the valley (geodesic acceleration), scaled by the present Jacobian.
//
// Bounds are kept by searching in transformed parameters, see [LSQSettings]: the exponential of the distance from one
// bound, the logistic between two. Estimates, standard errors and all else are of the parameters themselves. A start
// that is not inside is moved there. Where the lowest sum of squares lies on a bound the status is [OnBound].
//
// The fit keeps the model and the data, for its profiles and resamples: neither may be changed as long as it is in use.
//
// Special cases: fewer values than parameters is [TooFewValues]; NaN or infinite data, or a model that is not finite
// at the start, is [NotFinite]. With as many values as parameters DF is 0 and RSD and SE are NaN. It panics where a
// weight is not positive, the weights are not as many as the values, the bounds not as many as the parameters, or a
// lower bound is not below the upper one.
//
// References:
//   - Bates, D. M. and Watts, D. G.: A relative offset orthogonality convergence criterion for nonlinear least
//     squares. Technometrics 23 (1981), 179-183
//   - Moré, J. J.: The Levenberg-Marquardt algorithm: implementation and theory. In: Numerical Analysis, Lecture
//     Notes in Mathematics 630. Springer (1978), 105-116
//   - Transtrum, M. K. and Sethna, J. P.: Geodesic acceleration and the small-curvature approximation for nonlinear
//     least squares. arXiv:1207.4999 (2012)
func LeastSquares(model ModelFunc, y, start []float64, settings *LSQSettings) Fit {
	s := settings.fill()
	var fit Fit
	if b := newLSQBounds(s, len(start)); b != nil {
		fit = b.solve(model, y, start, s)
	} else {
		fit = lsqSolve(model, y, start, s)
	}
	fit.problem = &lsqProblem{model: model, y: y, settings: s}
	return fit
}

// lsqSolve is the search without bounds.
func lsqSolve(model ModelFunc, y, start []float64, s LSQSettings) Fit {
	var best Fit
	for i, tactic := range lsqTactics {
		if tactic.bent && best.Status != TooManyIterations {
			break
		}
		q := newLSQSearch(model, y, start, s, tactic)
		fit := q.fit(q.run(s))
		if i == 0 || fit.Status == Converged || fit.LastRSS < best.LastRSS {
			best = fit
		}
		if fit.Status == Converged || fit.Status == TooFewValues || fit.Status == NotFinite {
			break
		}
	}
	return best
}
