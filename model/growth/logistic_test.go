package growth

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The optimum of pulses, once every T years: the stock left S*, the stock before the cut B*, and the cut Y*.
// Computed by numerical maximisation of the year map; 8 decimals are given.
func TestGrowMeetsPulseOptimum(t *testing.T) {
	for _, c := range []struct{ r, K, T, S, B, Y float64 }{
		{0.3, 10, 1, 4.62570155, 5.37429845, 0.74859691},
		{0.5, 10, 1, 4.37823499, 5.62176501, 1.24353002},
		{1.0, 10, 1, 3.77540669, 6.22459331, 2.44918662},
		{0.8, 12, 1, 4.81574808, 7.18425192, 2.36850384},
		{2.0, 1.6, 1, 0.43030627, 1.16969373, 0.73938745},
		{0.3, 10, 3, 3.89360766, 6.10639234, 2.21278468},
		{0.3, 10, 4, 3.54343694, 6.45656306, 2.91312612},
		{0.3, 10, 5, 3.20821301, 6.79178699, 3.58357398},
	} {
		u := Grow(1/c.S, c.r*c.T, 1/c.K)
		approx(t, "B*", 1/u, c.B, 0, 2e-8)
		approx(t, "S* again", 1/TakeKg(u, c.Y), c.S, 0, 4e-8)
		approx(t, "S* by fraction", 1/TakeFraction(u, 1-math.Exp(-c.r*c.T/2)), c.S, 0, 2e-8)
	}
}

// Closed forms, to rounding.
func TestGrowClosedForms(t *testing.T) {
	for _, c := range []struct{ r, K, T float64 }{{0.3, 10, 1}, {0.8, 12, 1}, {2, 1.6, 1}, {0.3, 10, 5}, {4, 1e5, 2}} {
		R := c.r * c.T
		S := c.K / (1 + math.Exp(R/2))
		approx(t, "B* = K - S*", 1/Grow(1/S, R, 1/c.K), c.K-S, 1e-9, 0)
		approx(t, "Y* = K tanh(R/4)", c.K-2*S, c.K*math.Tanh(R/4), 1e-9, 0)
		// Beverton-Holt form of the year map.
		e := math.Exp(R)
		for _, B := range []float64{0.01 * c.K, 0.5 * c.K, c.K, 3 * c.K} {
			approx(t, "map", 1/Grow(1/B, R, 1/c.K), c.K*B*e/(c.K+B*(e-1)), 1e-9, 0)
		}
		// A storm leaving s after growth: the unharvested stand stays at K (s e - 1)/(e - 1).
		if s := 0.9; s*e > 1 {
			B := c.K * (s*e - 1) / (e - 1)
			approx(t, "steady", 1/Survive(Grow(1/B, R, 1/c.K), s), B, 1e-9, 0)
		}
	}
}

// Yearly map with r = 0.5, K = 10 from S = 2..8; computed independently, 8 decimals. A yearly Euler step from 5 would
// give 6.25.
func TestGrowYearMap(t *testing.T) {
	want := []float64{2.91875133, 4.14037836, 5.23616138, 6.22459331, 7.12071288, 7.93687510, 8.68332438}
	for i, w := range want {
		approx(t, "B", 1/Grow(1/float64(i+2), 0.5, 0.1), w, 0, 5e-9)
	}
}

// A fixed fraction each year; equilibria before the cut, computed independently, 6 decimals.
func TestFixedFractionEquilibrium(t *testing.T) {
	for _, c := range []struct{ r, h, want float64 }{{0.3, 0.17, 4.145659}, {0.3, 0.2, 2.854260}, {0.3, 0.25, 0.472347},
		{0.5, 0.25, 4.861686}, {0.5, 1.0 / 3, 2.292530}} {
		u := 1 / 5.0
		for range 5000 {
			u = Grow(TakeFraction(u, c.h), c.r, 0.1)
		}
		approx(t, "before the cut", 1/u, c.want, 0, 5e-7)
	}
	u := 1 / 5.0
	for range 2000 {
		u = Grow(TakeFraction(u, 1.0/3), 0.3, 0.1) // above 1 - e^-0.3: dies out
	}
	if 1/u > 1e-9 {
		t.Errorf("a third of a stand with r = 0.3 should die out, left %v", 1/u)
	}
}

// A constant take: post-harvest equilibria (unstable, stable) with r = 0.5, K = 10, computed independently.
func TestConstantTakeEquilibria(t *testing.T) {
	for _, c := range []struct{ kg, low, high float64 }{{0.8, 1.628797, 7.571203}, {1, 2.301123, 6.698877},
		{1.2, 3.471522, 5.328478}} {
		for _, S := range []float64{c.low, c.high} {
			approx(t, "stays", 1/TakeKg(Grow(1/S, 0.5, 0.1), c.kg), S, 0, 2e-6)
		}
	}
}

func TestTakeKgEdges(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct{ u, kg, want float64 }{{0.1, 10, inf}, {0.1, 11, inf}, {inf, 0, inf}, {inf, 1, inf},
		{0.1, 0, 0.1}} {
		approx(t, "u", TakeKg(c.u, c.kg), c.want, 0, 0)
	}
	approx(t, "gone stays gone", Grow(inf, 1, 0.1), inf, 0, 0)
}

// Against the differential equation by Runge-Kutta steps of the fourth order; 2000 steps are exact to about 1e-12.
func TestGrowUnderTakeSolvesTheEquation(t *testing.T) {
	for _, c := range []struct{ r, F, K, B, T float64 }{{0.8, 0.3, 12, 5, 1}, {0.5, 0.5, 10, 8, 2}, {0.5, 0.9, 10, 3, 1.5},
		{0.6, 0, 10, 14, 1}, {0.5, 0.5 + 1e-13, 10, 8, 2}} {
		B, Y := c.B, 0.0
		f := func(b float64) float64 { return c.r*b*(1-b/c.K) - c.F*b }
		const n = 2000
		h := c.T / n
		for range n {
			k1 := f(B)
			k2 := f(B + h/2*k1)
			k3 := f(B + h/2*k2)
			k4 := f(B + h*k3)
			mid := B + h/2*k2
			next := B + h/6*(k1+2*k2+2*k3+k4)
			Y += c.F * h / 6 * (B + 4*mid + next) // Simpson
			B = next
		}
		approx(t, "stock", 1/GrowUnderTake(1/c.B, c.r*c.T, c.F/c.r, 1/c.K), B, 1e-9, 0)
		approx(t, "yield", SpreadYield(c.B, c.r*c.T, c.F/c.r, c.K), Y, 1e-6, 1e-12)
	}
}

// The most from a spread take is r K/4 a year, at F = r/2 from K/2 (Schaefer 1954).
func TestSpreadTakeOptimum(t *testing.T) {
	approx(t, "stays at K/2", 1/GrowUnderTake(2/10.0, 0.8, 0.5, 0.1), 5, 1e-12, 0)
	approx(t, "r K/4", SpreadYield(5, 0.8, 0.5, 10), 0.8*10/4, 1e-12, 0)
}

func TestGrowProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		K := math.Exp(rapid.Float64Range(-3, 12).Draw(rt, "log K"))
		B := K * math.Exp(rapid.Float64Range(-6, 1).Draw(rt, "log B/K"))
		R1 := rapid.Float64Range(0, 5).Draw(rt, "R1")
		R2 := rapid.Float64Range(0, 5).Draw(rt, "R2")
		scale := math.Exp(rapid.Float64Range(-5, 5).Draw(rt, "log scale"))
		two := Grow(Grow(1/B, R1, 1/K), R2, 1/K)
		approxIn(rt, "semigroup", two, Grow(1/B, R1+R2, 1/K), 1e-12, 0)
		approxIn(rt, "scale", Grow(1/(scale*B), R1, 1/(scale*K))*scale, Grow(1/B, R1, 1/K), 1e-12, 0)
		approxIn(rt, "K stays", Grow(1/K, R1, 1/K), 1/K, 1e-12, 0)
		f := rapid.Float64Range(0, 2).Draw(rt, "f")
		spread := GrowUnderTake(GrowUnderTake(1/B, R1, f, 1/K), R2, f, 1/K)
		approxIn(rt, "semigroup under take", spread, GrowUnderTake(1/B, R1+R2, f, 1/K), 1e-11, 0)
		kg := B * rapid.Float64Range(0, 0.99).Draw(rt, "share")
		approxIn(rt, "kg and fraction", TakeKg(1/B, kg), TakeFraction(1/B, kg/B), 1e-9, 0)
		if a, b := Grow(1/B, R1, 1/K), Grow(1/(1.1*B), R1, 1/K); b > a {
			rt.Errorf("a larger stock ended smaller: %v, %v", 1/b, 1/a)
		}
	})
}
