package growth

import (
	"math"
	"slices"
)

// NaturalCurve is the logistic curve in its natural parameters
//
//	y = K / (1 + (K/N0 - 1) exp(-r t))
//
// with the ceiling K and the stock N0 at t = 0 (unit of y), and the rate r (per unit of t), in this order: K, r, N0.
// N0 above K is a stock that falls to K. It does not exist at N0 = 0.
var NaturalCurve = Curve{
	Name: "logistic", Params: []string{"K", "r", "N0"},
	Value: func(p []float64, t float64, grad []float64) float64 {
		k, n0 := p[0], p[2]
		e := math.Exp(-p[1] * t)
		d := 1 + (k/n0-1)*e
		y := k / d
		if grad != nil {
			w := y / d // K/D²
			grad[0] = 1/d - w*e/n0
			grad[1] = w * (k/n0 - 1) * t * e
			grad[2] = w * k * e / (n0 * n0)
		}
		return y
	},
	Start: func(x, y []float64, ceiling float64) ([]float64, bool) {
		b, ok := startLogistic(x, y, ceiling)
		if !ok {
			return nil, false
		}
		return []float64{b[0], b[2], b[0] / (1 + math.Exp(b[1]))}, true
	},
}

// startLogistic sets the ceiling and takes the line of the logits for the rest.
func startLogistic(x, y []float64, ceiling float64) ([]float64, bool) {
	k, ok := startCeiling(y, ceiling)
	if !ok {
		return nil, false
	}
	icpt, slope, ok := startLine(x, y, func(v float64) float64 { return math.Log(v / (k - v)) })
	if !ok {
		return nil, false
	}
	return []float64{k, -icpt, slope}, true
}

// startGompertz is startLogistic with ln ln(K/y), which is linear for the Gompertz curve.
func startGompertz(x, y []float64, ceiling float64) ([]float64, bool) {
	k, ok := startCeiling(y, ceiling)
	if !ok {
		return nil, false
	}
	icpt, slope, ok := startLine(x, y, func(v float64) float64 { return math.Log(math.Log(k / v)) })
	if !ok {
		return nil, false
	}
	return []float64{k, math.Exp(icpt), -slope}, true
}

// startRise is the same with ln(1 - y/K), a line through the origin.
func startRise(x, y []float64, ceiling float64) ([]float64, bool) {
	k, ok := startCeiling(y, ceiling)
	if !ok {
		return nil, false
	}
	var num, den float64
	for i, v := range y {
		if v > 0 && v < k {
			num -= x[i] * math.Log1p(-v/k)
			den += x[i] * x[i]
		}
	}
	if !(num/den > 0) {
		return nil, false
	}
	return []float64{k, num / den}, true
}

// startCeiling is the ceiling in the unit of y.
func startCeiling(y []float64, ceiling float64) (float64, bool) {
	if len(y) == 0 {
		return 0, false
	}
	k := ceiling * slices.Max(y)
	return k, k > 0 && lsqFinite(k)
}

// startLine is the line of the transformed values over x, positive values only.
func startLine(x, y []float64, f func(float64) float64) (icpt, slope float64, ok bool) {
	var n, sx, sy, sxx, sxy float64
	for i, v := range y {
		if v <= 0 {
			continue
		}
		w := f(v)
		n, sx, sy, sxx, sxy = n+1, sx+x[i], sy+w, sxx+x[i]*x[i], sxy+x[i]*w
	}
	slope = (sxy - sx*sy/n) / (sxx - sx*sx/n)
	icpt = (sy - slope*sx) / n
	return icpt, slope, lsqFinite(icpt) && lsqFinite(slope)
}
