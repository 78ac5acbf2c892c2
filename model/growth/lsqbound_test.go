package growth

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var inf = math.Inf(1)

// Bounds that do not bind change nothing: each kind of bound leads to the free fit with its spread.
func TestBoundsThatDoNotBind(t *testing.T) {
	x, y := upTo(18), yeast
	free := NaturalCurve.Fit(x, y, nil, nil)
	for name, s := range map[string]*LSQSettings{
		"positive":    {Lower: []float64{0, 0, 0}},
		"above":       {Upper: []float64{2000, 3, 100}},
		"both":        {Lower: []float64{100, 0, 1}, Upper: []float64{1000, 2, 50}},
		"mixed":       {Lower: []float64{-inf, 0, 1}, Upper: []float64{1000, inf, 50}},
		"far too low": {Lower: []float64{600, 0.5, 9}},
	} {
		for _, start := range [][]float64{{700, 1, 20}, {300, 0.2, 40}, {700, -5, 20}} {
			if start[1] < 0 && s.Lower == nil {
				continue // inside, and too far off
			}
			f := NaturalCurve.Fit(x, y, start, s)
			require.NoError(t, f.Status.Err(), name)
			for j := range free.Params {
				approx(t, name, f.Params[j], free.Params[j], 1e-7, 0)
				approx(t, name+" se", f.SE[j], free.SE[j], 1e-6, 0)
			}
			approx(t, name+" rss", f.RSS, free.RSS, 1e-11, 0)
			approx(t, name+" corr", f.Corr[0][1], free.Corr[0][1], 1e-6, 0)
		}
	}
}

// Random straight lines with bounds: the answer is that of the closed form, the best of the free fit, if it is inside, of
// those with one parameter on a bound, and of the corners.
func TestBoundsAgainstEveryActiveSet(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	x := []float64{-2, -1, 0, 1, 2.5}
	lower, upper := []float64{-1, -0.5}, []float64{1, 0.7}
	rss := func(y []float64, a, b float64) float64 {
		s := 0.0
		for i, v := range x {
			s += (y[i] - a - b*v) * (y[i] - a - b*v)
		}
		return s
	}
	bound := 0
	for range 300 {
		y := make([]float64, len(x))
		for i := range y {
			y[i] = 2 * rng.NormFloat64()
		}
		free := LeastSquares(line(x), y, []float64{0, 0}, nil)
		require.NoError(t, free.Status.Err())
		best := inf
		if p := free.Params; p[0] > -1 && p[0] < 1 && p[1] > -0.5 && p[1] < 0.7 {
			best = free.RSS
		} else {
			bound++
		}
		var sx, sxx, sy, sxy float64
		for i, v := range x {
			sx, sxx, sy, sxy = sx+v, sxx+v*v, sy+y[i], sxy+v*y[i]
		}
		for k := range 2 {
			a := []float64{lower[0], upper[0]}[k]
			best = min(best, rss(y, a, min(max((sxy-a*sx)/sxx, lower[1]), upper[1])))
			b := []float64{lower[1], upper[1]}[k]
			best = min(best, rss(y, min(max((sy-b*sx)/5, lower[0]), upper[0]), b))
		}
		f := LeastSquares(line(x), y, []float64{0.1, 0.1}, &LSQSettings{Lower: lower, Upper: upper})
		assert.Contains(t, []FitStatus{Converged, OnBound}, f.Status)
		assert.Equal(t, best == free.RSS, f.Status == Converged)
		approx(t, "rss", f.LastRSS, best, 1e-9, 0)
	}
	assert.Greater(t, bound, 100)
	assert.Less(t, bound, 250)
}

// A bound that binds is said, gives no estimate, and the point is the best one on it: the fit with that parameter held.
func TestFitOnABound(t *testing.T) {
	x, y := upTo(18), yeast
	held := NaturalCurve.Hold(0, 640).Fit(x, y, nil, nil)
	require.NoError(t, held.Status.Err())
	for name, s := range map[string]*LSQSettings{
		"upper": {Upper: []float64{640, inf, inf}},
		"both":  {Lower: []float64{100, 0, 0}, Upper: []float64{640, 3, 50}},
	} {
		f := NaturalCurve.Fit(x, y, []float64{500, 0.4, 15}, s)
		assert.Equal(t, OnBound, f.Status, name)
		assert.True(t, math.IsNaN(f.Params[0]) && math.IsNaN(f.SE[1]) && math.IsNaN(f.RSS) && math.IsNaN(f.Leverage[3]))
		approx(t, name+" K", f.Last[0], 640, 0, 0)
		approx(t, name+" r", f.Last[1], held.Params[0], 1e-7, 0)
		approx(t, name+" N0", f.Last[2], held.Params[1], 1e-7, 0)
		approx(t, name+" rss", f.LastRSS, held.RSS, 1e-10, 0)
	}
	// Two at once: y = a + b x falls, both are to be positive; a line through the mean is best.
	two := LeastSquares(line([]float64{1, 2, 3}), []float64{-3, -4, -6}, []float64{1, 1}, &LSQSettings{Lower: []float64{0, 0}})
	assert.Equal(t, OnBound, two.Status)
	assert.Equal(t, []float64{0, 0}, two.Last)
	approx(t, "rss", two.LastRSS, 9+16+36, 1e-12, 0)
}

// No point outside is ever tried.
func TestBoundsHoldThroughoutTheSearch(t *testing.T) {
	lower, upper := []float64{500, 0.3, 2}, []float64{660, 0.9, 30}
	inside := func(p, f, jac []float64) {
		for j := range p {
			assert.True(t, p[j] >= lower[j] && p[j] <= upper[j], "%v", p)
		}
		NaturalCurve.Model(upTo(18))(p, f, jac)
	}
	f := LeastSquares(inside, yeast, []float64{600, 0.5, 10}, &LSQSettings{Lower: lower, Upper: upper})
	assert.Equal(t, OnBound, f.Status)
	assert.Equal(t, 660.0, f.Last[0])
}

// A profile and resamples keep the bounds: an interval ends at them.
func TestProfileWithinBounds(t *testing.T) {
	x, y := upTo(18), yeast
	free := NaturalCurve.Fit(x, y, nil, nil).Profile(0, 0.95)
	s := &LSQSettings{Lower: []float64{600, 0, 0}, Upper: []float64{664, 3, 100}}
	f := NaturalCurve.Fit(x, y, nil, s)
	require.NoError(t, f.Status.Err())
	p := f.Profile(0, 0.95)
	approx(t, "lo", p.Lo, free.Lo, 1e-7, 0)
	assert.Equal(t, 664.0, p.Hi)
	for _, v := range p.Values {
		assert.LessOrEqual(t, v, 664.0)
	}
	b := f.Bootstrap(300, 1, "yeast", nil)
	assert.Zero(t, b.Failed)
	on := 0
	for _, q := range b.Params {
		assert.LessOrEqual(t, q[0], 664.0)
		if q[0] == 664 {
			on++
		}
	}
	assert.Positive(t, on)
}

func TestBoundsPanic(t *testing.T) {
	x, y := []float64{1, 2, 3}, []float64{1, 2, 4}
	assert.Panics(t, func() { LeastSquares(line(x), y, []float64{1, 1}, &LSQSettings{Lower: []float64{0}}) })
	assert.Panics(t, func() {
		LeastSquares(line(x), y, []float64{1, 1}, &LSQSettings{Lower: []float64{0, 2}, Upper: []float64{1, 2}})
	})
	f := LeastSquares(line(x), []float64{1, math.NaN(), 3}, []float64{1, 1}, &LSQSettings{Lower: []float64{0, 0}})
	assert.Equal(t, NotFinite, f.Status)
	f = LeastSquares(line(x[:1]), y[:1], []float64{1, 1}, &LSQSettings{Lower: []float64{0, 0}})
	assert.Equal(t, TooFewValues, f.Status)
}
