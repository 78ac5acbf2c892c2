package growth

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// For a straight line the profile interval is the t interval, and the sum of squares is quadratic.
func TestProfileOfALine(t *testing.T) {
	x, y := []float64{1, 2, 4, 7, 11}, []float64{2.1, 2.9, 5.2, 7.7, 12.4}
	fit := LeastSquares(line(x), y, []float64{0, 0}, nil)
	require.NoError(t, fit.Status.Err())
	q := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: 3}.Quantile(0.975)
	for j := range 2 {
		pr := newProfile(line(x), y, fit, j)
		for _, first := range []float64{0.01, 0.3, 5} {
			step := first * fit.SE[j]
			lo, hi := pr.limit(fit.RSD*fit.RSD, q, -step, 1e6), pr.limit(fit.RSD*fit.RSD, q, step, 1e6)
			approx(t, "lo", lo, fit.Params[j]-q*fit.SE[j], 1e-7, 1e-7)
			approx(t, "hi", hi, fit.Params[j]+q*fit.SE[j], 1e-7, 1e-7)
		}
		assert.Nil(t, pr.lower)
	}
}

// A model of one parameter is profiled without refitting; a limit beyond the allowed distance is infinite.
func TestProfileLimits(t *testing.T) {
	mean := func(p, f, jac []float64) {
		for i := range f {
			f[i] = p[0]
			if jac != nil {
				jac[i] = 1
			}
		}
	}
	y := []float64{1, 2, 3, 6}
	fit := LeastSquares(mean, y, []float64{0}, nil)
	require.NoError(t, fit.Status.Err())
	pr := newProfile(mean, y, fit, 0)
	q := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: 3}.Quantile(0.975)
	half := q * fit.RSD / 2 // sd/sqrt(4)
	approx(t, "hi", pr.limit(fit.RSD*fit.RSD, q, 0.1, 100), 3+half, 1e-8, 0)
	assert.True(t, math.IsInf(pr.limit(fit.RSD*fit.RSD, q, 0.1, 0.99*half), 1))
	assert.True(t, math.IsInf(pr.limit(fit.RSD*fit.RSD, q, -0.1, 0.99*half), -1))
}

// A profile that meets a lower sum of squares than the fit's reports where: the curve has two valleys in p.
func TestProfileMeetsBetterPoint(t *testing.T) {
	x := []float64{0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4}
	wave := func(p, f, jac []float64) {
		for i, v := range x {
			f[i] = p[1] * math.Sin(p[0]*v)
			if jac != nil {
				jac[2*i], jac[2*i+1] = p[1]*v*math.Cos(p[0]*v), math.Sin(p[0]*v)
			}
		}
	}
	y := make([]float64, len(x))
	wave([]float64{2, 1}, y, nil)
	y[3] += 0.05
	far := LeastSquares(wave, y, []float64{4.2, 0.3}, nil)
	require.NoError(t, far.Status.Err())
	require.Greater(t, far.RSS, 1.0, "the start was meant to lead into the worse valley")
	pr := newProfile(wave, y, far, 0)
	pr.limit(far.RSD*far.RSD, 1e3, -0.2, 3)
	require.NotNil(t, pr.lower)
	better := LeastSquares(wave, y, pr.lower, nil)
	require.NoError(t, better.Status.Err())
	approx(t, "frequency", better.Params[0], 2, 0.02, 0)
}
