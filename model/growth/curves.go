package growth

import (
	"math"
	"slices"
)

// Curve is a growth curve y(x; p) with its derivatives and a rule for starting values.
type Curve struct {
	Name   string
	Params []string
	// Value is y at x; where grad is not nil it receives ∂y/∂p_j.
	Value func(p []float64, x float64, grad []float64) float64
	// Start gives starting values from data under a ceiling of so many times the largest value, above 1; false where
	// the data give none.
	Start func(x, y []float64, ceiling float64) ([]float64, bool)
}

// Model is the curve at the points x, for [LeastSquares].
func (c Curve) Model(x []float64) ModelFunc {
	return func(p, f, jac []float64) {
		n := len(p)
		for i, v := range x {
			var grad []float64
			if jac != nil {
				grad = jac[i*n : (i+1)*n]
			}
			f[i] = c.Value(p, v, grad)
		}
	}
}

// curveCeilings are the ceilings of the curve's own starts, in largest values, in the order in which they are tried.
var curveCeilings = [...]float64{1.05, 1.5, 3}

// Fit fits the curve to points by least squares, from the given start, or from the curve's own where start is nil: one
// under a ceiling just above the largest value, then, where that does not converge, under higher ones. Where the data
// give no start the status is [NotFinite]. It panics where x and y differ in length.
func (c Curve) Fit(x, y, start []float64, s *LSQSettings) Fit {
	if len(x) != len(y) {
		panic("growth: fit of a curve: x and y differ in length")
	}
	if start != nil {
		return LeastSquares(c.Model(x), y, start, s)
	}
	var best Fit
	for i, ceiling := range curveCeilings {
		own, ok := c.Start(x, y, ceiling)
		if !ok {
			own = lsqNaNs(len(c.Params))
		}
		fit := LeastSquares(c.Model(x), y, own, s)
		if i == 0 || fit.Status == Converged || fit.LastRSS < best.LastRSS || math.IsNaN(best.LastRSS) {
			best = fit
		}
		if best.Status == Converged || best.Status == TooFewValues {
			break
		}
	}
	return best
}

// Hold is the curve with parameter j known.
func (c Curve) Hold(j int, value float64) Curve {
	all := func(p []float64) []float64 { return slices.Insert(slices.Clone(p), j, value) }
	return Curve{
		Name:   c.Name + ", " + c.Params[j] + " known",
		Params: slices.Delete(slices.Clone(c.Params), j, j+1),
		Value: func(p []float64, x float64, grad []float64) float64 {
			if grad == nil {
				return c.Value(all(p), x, nil)
			}
			g := make([]float64, len(c.Params))
			y := c.Value(all(p), x, g)
			copy(grad, slices.Delete(g, j, j+1))
			return y
		},
		Start: func(x, y []float64, ceiling float64) ([]float64, bool) {
			p, ok := c.Start(x, y, ceiling)
			if !ok {
				return nil, false
			}
			return slices.Delete(p, j, j+1), true
		},
	}
}

// LogisticCurve is the logistic curve in the form of the statistical reference data sets
//
//	y = b1 / (1 + exp(b2 - b3 x))
//
// with the ceiling b1 (unit of y) and the rate b3 (per unit of x); the bend is at x = b2/b3.
//
// References:
//   - Ratkowsky, D. A.: Nonlinear Regression Modeling. Marcel Dekker (1983), pp. 61, 88
var LogisticCurve = Curve{
	Name: "logistic", Params: []string{"b1", "b2", "b3"},
	Value: func(p []float64, x float64, grad []float64) float64 {
		e := math.Exp(p[1] - p[2]*x)
		s := 1 / (1 + e)
		y := p[0] * s
		if grad != nil {
			d := -y * logitShare(e)
			grad[0], grad[1], grad[2] = s, d, -x*d
		}
		return y
	},
	Start: startLogistic,
}

// RichardsCurve is the logistic curve with a free bend
//
//	y = b1 / (1 + exp(b2 - b3 x))^(1/b4)
//
// with the ceiling b1 (unit of y), the rate b3 (per unit of x) and the shape b4; b4 = 1 is [LogisticCurve]. It does
// not exist at b4 = 0.
//
// References:
//   - Richards, F. J.: A flexible growth function for empirical use. Journal of Experimental Botany 10 (1959),
//     290-301
//   - Ratkowsky, D. A.: Nonlinear Regression Modeling. Marcel Dekker (1983), pp. 62, 88
var RichardsCurve = Curve{
	Name: "Richards", Params: []string{"b1", "b2", "b3", "b4"},
	Value: func(p []float64, x float64, grad []float64) float64 {
		z := p[1] - p[2]*x
		e := math.Exp(z)
		l := math.Log1p(e)
		if z > 30 {
			l = z + math.Exp(-z)
		}
		s := math.Exp(-l / p[3])
		y := p[0] * s
		if grad != nil {
			d := -y / p[3] * logitShare(e)
			grad[0], grad[1], grad[2], grad[3] = s, d, -x*d, y*l/(p[3]*p[3])
		}
		return y
	},
	Start: func(x, y []float64, ceiling float64) ([]float64, bool) {
		p, ok := startLogistic(x, y, ceiling)
		return append(p, 1), ok
	},
}

// logitShare is e/(1+e), 1 where e is infinite.
func logitShare(e float64) float64 {
	if math.IsInf(e, 1) {
		return 1
	}
	return e / (1 + e)
}

// RiseCurve is the exponential rise, or monomolecular curve
//
//	y = b1 (1 - exp(-b2 x))
//
// with the ceiling b1 (unit of y) and the rate b2 (per unit of x): growth that slows from the start.
var RiseCurve = Curve{
	Name: "exponential rise", Params: []string{"b1", "b2"},
	Value: func(p []float64, x float64, grad []float64) float64 {
		s := -math.Expm1(-p[1] * x)
		if grad != nil {
			grad[0], grad[1] = s, p[0]*x*math.Exp(-p[1]*x)
		}
		return p[0] * s
	},
	Start: startRise,
}

// GompertzCurve is the Gompertz curve
//
//	y = b1 exp(-b2 exp(-b3 x))
//
// with the ceiling b1 (unit of y), b2 = ln(b1/y(0)) and the rate b3 (per unit of x); it bends at 37 % of the ceiling,
// the logistic at half of it.
//
// References:
//   - Winsor, C. P.: The Gompertz curve as a growth curve. Proceedings of the National Academy of Sciences 18
//     (1932), 1-8
var GompertzCurve = Curve{
	Name: "Gompertz", Params: []string{"b1", "b2", "b3"},
	Value: func(p []float64, x float64, grad []float64) float64 {
		e := math.Exp(-p[2] * x)
		s := math.Exp(-p[1] * e)
		y := p[0] * s
		if grad != nil {
			grad[0], grad[1], grad[2] = s, -y*e, y*p[1]*e*x
		}
		return y
	},
	Start: startGompertz,
}
