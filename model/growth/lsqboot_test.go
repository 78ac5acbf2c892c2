package growth

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func parameter(j int) func(p []float64) float64 { return func(p []float64) float64 { return p[j] } }

// The intervals of R's boot.ci (perc, and bca with the jackknife) from the same 999 resamples of the yeast, drawn by
// the generator x -> 16807 x mod 2^31 - 1. R's refits by nls end five digits or more short of the minimum.
func TestBootstrapAgainstR(t *testing.T) {
	ref := readReference(t)
	f := NaturalCurve.Fit(upTo(18), yeast, nil, nil)
	const m = 1<<31 - 1
	x := uint64(1)
	b := f.resample(999, func(count []int) {
		for range count {
			x = 16807 * x % m
			count[int(float64(x)/m*float64(len(count)))]++
		}
	})
	require.Zero(t, b.Failed)
	for j := range f.Params {
		for _, level := range []float64{0.8, 0.95} {
			want := ref[fmt.Sprintf("boot p%dat%g", j+1, level)]
			got := b.Interval(parameter(j), level)
			for i, v := range []float64{got.PercentileLo, got.PercentileHi, got.Lo, got.Hi} {
				approx(t, fmt.Sprintf("parameter %d at %g: %d", j+1, level, i), v, want[i], 1e-5, 0)
			}
			assert.Empty(t, got.Reason)
		}
	}
}

// The draws hang on the seed and the stream alone, and every quantity of the parameters has its interval; BCa and
// percentiles follow a change of scale.
func TestBootstrapStreams(t *testing.T) {
	f := NaturalCurve.Fit(upTo(18), yeast, nil, nil)
	a, again := f.Bootstrap(400, 1, "yeast", nil), f.Bootstrap(400, 1, "yeast", nil)
	assert.Equal(t, a.Params, again.Params)
	assert.NotEqual(t, a.Params[0], f.Bootstrap(400, 2, "yeast", nil).Params[0])
	assert.NotEqual(t, a.Params[0], f.Bootstrap(400, 1, "other", nil).Params[0])
	r := a.Interval(parameter(1), 0.9)
	logR := a.Interval(func(p []float64) float64 { return math.Log(p[1]) }, 0.9)
	approx(t, "percentile of ln r", math.Exp(logR.PercentileLo), r.PercentileLo, 1e-3, 0)
	approx(t, "BCa of ln r", math.Exp(logR.Lo), r.Lo, 1e-3, 0)
	assert.True(t, r.Lo < f.Params[1] && f.Params[1] < r.Hi)
}

// Groups are drawn among themselves: with one case each every resample is the data.
func TestBootstrapWithinGroups(t *testing.T) {
	x, y := []float64{1, 2, 3, 4}, []float64{1, 2, 2, 4}
	f := LeastSquares(line(x), y, []float64{0, 0}, nil)
	b := f.Bootstrap(20, 1, "line", []int{4, 5, 6, 7})
	for _, p := range b.Params {
		approx(t, "slope", p[1], f.Params[1], 1e-9, 0)
	}
	assert.Panics(t, func() { f.Bootstrap(20, 1, "line", []int{1}) })
}

// For the mean of n values the variance over resamples is the sum of squares over n² (Efron & Tibshirani 1993, eq.
// 5.12): 4000 resamples, whose variance has a relative error of sqrt(2/4000) = 2.2 %, four of which are allowed.
func TestBootstrapOfAMean(t *testing.T) {
	mean := func(p, f, jac []float64) {
		for i := range f {
			f[i] = p[0]
			if jac != nil {
				jac[i] = 1
			}
		}
	}
	y := []float64{1, 2, 3, 6, 11, 4, 4, 7}
	f := LeastSquares(mean, y, []float64{0}, nil)
	b := f.Bootstrap(4000, 5, "mean", nil)
	var s, ss float64
	for _, p := range b.Params {
		s, ss = s+p[0], ss+p[0]*p[0]
	}
	n := float64(len(b.Params))
	approx(t, "variance", ss/n-s/n*s/n, f.RSS/64, 0.09, 0)
	// The acceleration of a mean is a sixth of its skewness over sqrt(n): sum d³/(6 (sum d²)^1.5).
	var cubes float64
	for _, v := range y {
		cubes += math.Pow(v-f.Params[0], 3)
	}
	approx(t, "acceleration", b.Interval(parameter(0), 0.9).Acceleration, cubes/(6*math.Pow(f.RSS, 1.5)), 1e-7, 0)
}

func TestBootstrapWithoutInterval(t *testing.T) {
	x := []float64{0, 0, 0, 5}
	f := LeastSquares(line(x), []float64{1, 2, 3, 9}, []float64{0, 0}, nil)
	b := f.Bootstrap(300, 1, "line", nil)
	assert.InDelta(t, 300*math.Pow(0.75, 4), b.Failed, 40, "resamples without the last value have no slope")
	assert.Len(t, b.Params, 300-b.Failed)
	i := b.Interval(parameter(1), 0.95)
	assert.Equal(t, "too many resamples have no fit", i.Reason)
	assert.True(t, math.IsNaN(i.Lo) && math.IsNaN(i.PercentileHi))
	few := NaturalCurve.Fit(upTo(18), yeast, nil, nil).Bootstrap(50, 1, "yeast", nil)
	assert.Equal(t, "fewer than 200 resamples", few.Interval(parameter(0), 0.95).Reason)
	assert.NotEmpty(t, NaturalCurve.Fit(upTo(18), yeast, nil, nil).Bootstrap(200, 1, "yeast", nil).
		Interval(parameter(0), 0.999).Warnings)
	assert.Panics(t, func() { few.Interval(parameter(0), 0) })
}

func BenchmarkBootstrap(b *testing.B) {
	f := NaturalCurve.Fit(upTo(18), yeast, nil, nil)
	for b.Loop() {
		f.Bootstrap(1000, 1, "yeast", nil)
	}
}
