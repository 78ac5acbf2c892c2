package growth

import "math"

// GompertzGrowthCurve is the Gompertz curve in its natural parameters
//
//	dy/dt = r y ln(K/y),   y = K exp(-ln(K/N0) exp(-r t))
//
// with the ceiling K and the stock N0 at t = 0 (unit of y), and the rate r (per unit of t), in the order K, r, N0. It
// does not exist where K/N0 is not positive.
//
// References:
//   - Winsor, C. P.: The Gompertz curve as a growth curve. Proceedings of the National Academy of Sciences 18
//     (1932), 1-8
var GompertzGrowthCurve = Curve{
	Name: "Gompertz", Params: []string{"K", "r", "N0"},
	Value: func(p []float64, t float64, grad []float64) float64 {
		k, n0 := p[0], p[2]
		e, l := math.Exp(-p[1]*t), math.Log(k/n0)
		y := k * math.Exp(-l*e)
		if grad != nil {
			grad[0], grad[1], grad[2] = y/k*(1-e), y*l*e*t, y*e/n0
		}
		return y
	},
	Start: func(x, y []float64, ceiling float64) ([]float64, bool) {
		b, ok := startGompertz(x, y, ceiling)
		if !ok {
			return nil, false
		}
		return []float64{b[0], b[2], b[0] * math.Exp(-b[1])}, true
	},
}

// ThetaLogisticCurve is the logistic curve with the exponent θ on the share of the ceiling
//
//	dy/dt = r y (1 - (y/K)^θ),   y = K (1 + ((K/N0)^θ - 1) exp(-r θ t))^(-1/θ)
//
// with the ceiling K and the stock N0 at t = 0 (unit of y), and the rate r (per unit of t) of a small stand, in the
// order K, r, N0, θ. θ = 1 is [NaturalCurve]; as θ falls to 0 with rθ kept it goes to [GompertzGrowthCurve], at 0 it
// does not exist. It is [RichardsCurve] with b3 = rθ and b4 = θ. r and θ are told apart only by data from well below
// half of K to the ceiling.
//
// References:
//   - Gilpin, M. E. and Ayala, F. J.: Global models of growth and competition. Proceedings of the National Academy of
//     Sciences 70 (1973), 3590-3593
//   - Nelder, J. A.: The fitting of a generalization of the logistic curve. Biometrics 17 (1961), 89-110
var ThetaLogisticCurve = Curve{
	Name: "theta-logistic", Params: []string{"K", "r", "N0", "theta"},
	Value: func(p []float64, t float64, grad []float64) float64 {
		k, r, n0, th := p[0], p[1], p[2], p[3]
		l := math.Log(k / n0)
		e, w := math.Exp(-r*th*t), math.Expm1(th*l)
		d := math.Log1p(w * e)
		y := k * math.Exp(-d/th)
		if grad != nil {
			share := e / (1 + w*e)
			grad[0] = y / k * (1 - share*(1+w))
			grad[1] = y * t * w * share
			grad[2] = y / n0 * share * (1 + w)
			grad[3] = y * (d/th - share*((1+w)*l-r*t*w)) / th
		}
		return y
	},
	Start: func(x, y []float64, ceiling float64) ([]float64, bool) {
		p, ok := NaturalCurve.Start(x, y, ceiling)
		return append(p, 1), ok
	},
}

// MonomolecularCurve is the curve of growth that slows from the start
//
//	dy/dt = r (K - y),   y = K - (K - N0) exp(-r t)
//
// with the ceiling K and the stock N0 at t = 0 (unit of y), and the rate r (per unit of t), in the order K, r, N0.
// [RiseCurve] is the same from N0 = 0.
//
// References:
//   - Ratkowsky, D. A.: Nonlinear Regression Modeling. Marcel Dekker (1983), ch. 5
var MonomolecularCurve = Curve{
	Name: "monomolecular", Params: []string{"K", "r", "N0"},
	Value: func(p []float64, t float64, grad []float64) float64 {
		e := math.Exp(-p[1] * t)
		if grad != nil {
			grad[0], grad[1], grad[2] = -math.Expm1(-p[1]*t), (p[0]-p[2])*t*e, e
		}
		return p[0] - (p[0]-p[2])*e
	},
	Start: func(x, y []float64, ceiling float64) ([]float64, bool) {
		k, ok := startCeiling(y, ceiling)
		if !ok {
			return nil, false
		}
		icpt, slope, ok := startLine(x, y, func(v float64) float64 { return math.Log(k - v) })
		return []float64{k, -slope, k - math.Exp(icpt)}, ok
	},
}

// InSeason is the curve of growth whose rate follows the season: r is replaced by r g(t), so that the curve runs by the
// clock ∫g dt since from, and x is in years as [Season] has them. r is the mean over the year, N0 the stock at from.
func (c Curve) InSeason(s Season, from float64) Curve {
	clock := func(x []float64) []float64 {
		out := make([]float64, len(x))
		for i, v := range x {
			out[i] = s.Integral(from, v)
		}
		return out
	}
	return Curve{
		Name: "seasonal " + c.Name, Params: c.Params,
		Value: func(p []float64, x float64, grad []float64) float64 { return c.Value(p, s.Integral(from, x), grad) },
		Start: func(x, y []float64, ceiling float64) ([]float64, bool) { return c.Start(clock(x), y, ceiling) },
	}
}
