package offtake

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Reference values computed beforehand by maximising the pulse-cut logistic map numerically (agreement 1e-7) and
// evaluating the closed forms; printed to 8 decimals.
func TestPulseWithoutStorms(t *testing.T) {
	for _, w := range []struct{ r, k, period, left, best, yield, fraction float64 }{
		{0.3, 10, 1, 4.62570155, 5.37429845, 0.74859691, 0.13929202},
		{0.5, 10, 1, 4.37823499, 5.62176501, 1.24353002, 0.22119922},
		{1.0, 10, 1, 3.77540669, 6.22459331, 2.44918662, 0.39346934},
		{0.8, 12, 1, 4.81574808, 7.18425192, 2.36850384, 0.32967995},
		{2.0, 1.6, 1, 0.43030627, 1.16969373, 0.73938745, 0.63212056},
		{0.3, 10, 3, 3.89360766, 6.10639234, 2.21278468, 0.36237185},
		{0.3, 10, 4, 3.54343694, 6.45656306, 2.91312612, 0.45118836},
		{0.3, 10, 5, 3.20821301, 6.79178699, 3.58357398, 0.52763345},
	} {
		got := Pulse(w.r, w.k, w.period, 1)
		approx(t, "left", got.Left, w.left, 0, 6e-9)
		approx(t, "best", got.Best, w.best, 0, 6e-9)
		approx(t, "yield", got.Yield, w.yield, 0, 6e-9)
		approx(t, "fraction", got.Fraction, w.fraction, 0, 6e-9)
		approx(t, "tanh form", got.Yield, w.k*math.Tanh(w.r*w.period/4), 1e-12, 0)
		approx(t, "uncut", got.Uncut, w.k, 1e-12, 0)
	}
}

// Same origin as above, with a storm that leaves s between growth and cut; printed to 6 decimals.
func TestPulseWithStorms(t *testing.T) {
	for _, w := range []struct{ r, k, s, left, best, yield, fraction, uncut float64 }{
		{0.4, 10, 1.0, 4.501660, 5.498340, 0.996680, 0.181269, 10},
		{0.4, 10, 0.9, 3.227256, 3.739500, 0.512244, 0.136982, 6.966755},
		{0.8, 10, 0.8, 2.728008, 3.640059, 0.912051, 0.250559, 6.368068},
		{1.5, 5, 0.5, 0.713655, 1.068303, 0.354647, 0.331973, 1.781958},
		{2.0, 1.6, 0.7, 0.319115, 0.725756, 0.406641, 0.560300, 1.044872},
	} {
		got := Pulse(w.r, w.k, 1, w.s)
		approx(t, "left", got.Left, w.left, 0, 6e-7)
		approx(t, "best", got.Best, w.best, 0, 6e-7)
		approx(t, "yield", got.Yield, w.yield, 0, 6e-7)
		approx(t, "fraction", got.Fraction, w.fraction, 0, 6e-7)
		approx(t, "uncut", got.Uncut, w.uncut, 0, 6e-7)
		approx(t, "settles there", FixedFraction(w.r, w.k, 1, w.s, got.Fraction), got.Best, 1e-12, 0)
		approx(t, "dies out", FixedFraction(w.r, w.k, 1, w.s, got.Limit+1e-9), 0, 0, 0)
		approx(t, "limit is 1 - 1/G", got.Limit, 1-1/got.Persistence, 1e-12, 0)
	}
}

func TestPulseThatRunsOut(t *testing.T) {
	got := Pulse(0.05, 10, 1, 0.9)
	assert.Less(t, got.Persistence, 1.0)
	assert.Equal(t, Reference{Persistence: got.Persistence}, got)
	assert.Zero(t, FixedFraction(0.05, 10, 1, 0.9, 0))
}

// Computed beforehand from the closed form, printed to 6 decimals.
func TestFixedFraction(t *testing.T) {
	for _, w := range []struct{ r, h, best float64 }{
		{0.3, 0.17, 4.145659}, {0.3, 0.20, 2.854260}, {0.3, 0.25, 0.472347}, {0.3, 1.0 / 3, 0},
		{0.5, 0.25, 4.861686}, {0.5, 1.0 / 3, 2.292530}, {0.5, 1, 0},
	} {
		approx(t, "stock before the cut", FixedFraction(w.r, 10, 1, 1, w.h), w.best, 0, 6e-7)
	}
}

// Computed beforehand with r = 0.5, k = 10; printed to 6 decimals. The double root is a square root of rounding error.
func TestConstantQuota(t *testing.T) {
	for _, w := range []struct{ q, unstable, stable, tol float64 }{
		{0.8, 1.628797, 7.571203, 6e-7}, {1.0, 2.301123, 6.698877, 6e-7}, {1.2, 3.471522, 5.328478, 6e-7},
		{10 * math.Tanh(0.125), 4.378235, 4.378235, 2e-6},
	} {
		lo, hi, ok := ConstantQuota(0.5, 10, 1, w.q)
		assert.True(t, ok)
		approx(t, "unstable", lo, w.unstable, 0, w.tol)
		approx(t, "stable", hi, w.stable, 0, w.tol)
	}
	_, _, ok := ConstantQuota(0.5, 10, 1, 1.25)
	assert.False(t, ok)
}

// ln of the odds ratio over r, printed to 6 decimals.
func TestRecoveryTime(t *testing.T) {
	for _, w := range []struct{ from, to, times float64 }{
		{0.5, 0.9, 2.197225}, {0.5, 0.95, 2.944439}, {0.1, 0.9, 4.394449}, {0.75, 0.95, 1.845827},
		{0.83, 0.95, 1.358812}, {0.05, 0.95, 5.888878},
	} {
		approx(t, "years", RecoveryTime(0.4, w.from, w.to), w.times/0.4, 0, 2e-6)
	}
}

func TestSpreadTake(t *testing.T) {
	const r, k = 0.6, 10.0
	end, taken := Spread(k/2, r, k, r/2, 1) // the equilibrium of the best rate: k/2, r k/4 a year
	approx(t, "settled", end, k/2, 1e-12, 0)
	approx(t, "most yield", taken, r*k/4, 1e-12, 0)
	end, taken = Spread(4, r, k, 0, 1)
	approx(t, "no take is the yearly map", end, grow(4, k, math.Exp(-r)), 1e-12, 0)
	approx(t, "nothing taken", taken, 0, 0, 0)
	end, _ = Spread(4, r, k, r, 2) // f = r: 1/B grows by r t/k
	approx(t, "f = r", end, 1/(1.0/4+r*2/k), 1e-12, 0)
	near, _ := Spread(4, r, k, r*(1+1e-9), 2)
	approx(t, "continuous at f = r", near, end, 1e-8, 0)
	b, sum, steps := 4.0, 0.0, 100000 // explicit midpoint steps of the differential equation
	for range steps {
		dt := 1.5 / float64(steps)
		slope := func(b float64) float64 { return r*b*(1-b/k) - 0.2*b }
		mid := b + dt/2*slope(b)
		b += dt * slope(mid)
		sum += dt * 0.2 * mid
	}
	end, taken = Spread(4, r, k, 0.2, 1.5)
	approx(t, "end by small steps", end, b, 1e-9, 0)
	approx(t, "taken by small steps", taken, sum, 1e-9, 0)
}

// The control rule for k = 10, r = 0.4: limit 2, trigger 4, best fraction 0.181269; printed to 5 decimals.
func TestControlRule(t *testing.T) {
	best := Pulse(0.4, 10, 1, 1).Fraction
	for _, w := range []struct{ b, quota float64 }{
		{1.5, 0}, {2, 0}, {3, 0.2719}, {4, 0.72508}, {5, 0.90635}, {8, 1.45015},
	} {
		approx(t, "quota", w.b*ControlRule(w.b, 2, 4, best), w.quota, 0, 6e-6)
	}
	approx(t, "half way", ControlRule(3, 2, 4, best), 0.09063, 0, 6e-6)
}

func TestBestStocksAreThoseOfPulse(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	r, k := make([]float64, 500), make([]float64, 500)
	for i := range r {
		r[i], k[i] = rng.ExpFloat64()/4, 1000*rng.Float64()
	}
	r[0] = 0 // storms outrun it
	storms := StormFactor(0.1, 0.7, 3)
	outrun := 0
	for i, best := range BestStocks(r, k, 3, storms) {
		approx(t, "best stock", best, Pulse(r[i], k[i], 3, storms).Best, 4e-15, 0)
		if best == 0 {
			outrun++
		}
	}
	assert.Positive(t, outrun)
	assert.Panics(t, func() { BestStocks(r, k[1:], 3, storms) })
}
