package growth

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rat43 is the NIST set of that name.
func rat43(t testing.TB) (x, y, start []float64) {
	set := readNIST(t)["Rat43"]
	for _, v := range set.X {
		x = append(x, v[0])
	}
	return x, set.Y, set.Starts[0]
}

// line is y = p0 + p1 x as a model.
func line(x []float64) ModelFunc {
	return func(p, f, jac []float64) {
		for i, v := range x {
			f[i] = p[0] + p[1]*v
			if jac != nil {
				jac[2*i], jac[2*i+1] = 1, v
			}
		}
	}
}

func TestLeastSquaresOfALine(t *testing.T) {
	// The wanted values are those of the textbook's closed form.
	x, y := []float64{1, 2, 4, 7, 11}, []float64{2.1, 2.9, 5.2, 7.7, 12.4}
	w := []float64{1, 2, 1, 0.5, 3}
	var sw, sx, sy, sxx, sxy float64
	for i := range x {
		sw, sx, sy = sw+w[i], sx+w[i]*x[i], sy+w[i]*y[i]
		sxx, sxy = sxx+w[i]*x[i]*x[i], sxy+w[i]*x[i]*y[i]
	}
	det := sw*sxx - sx*sx
	b, a := (sw*sxy-sx*sy)/det, (sxx*sy-sx*sxy)/det
	fit := LeastSquares(line(x), y, []float64{-40, 1000}, &LSQSettings{Weights: w})
	require.NoError(t, fit.Status.Err())
	approx(t, "intercept", fit.Params[0], a, 1e-11, 0)
	approx(t, "slope", fit.Params[1], b, 1e-11, 0)
	rss, trace := 0.0, 0.0
	for i := range x {
		e := y[i] - a - b*x[i]
		rss += w[i] * e * e
		trace += fit.Leverage[i]
		approx(t, "leverage", fit.Leverage[i], w[i]*(sxx-2*x[i]*sx+x[i]*x[i]*sw)/det, 1e-11, 0)
		approx(t, "residual", fit.Residual[i], e, 0, 1e-11)
	}
	s2 := rss / 3
	approx(t, "rss", fit.RSS, rss, 1e-11, 0)
	approx(t, "trace of the hat matrix", trace, 2, 1e-12, 0)
	approx(t, "var intercept", fit.Cov[0][0], s2*sxx/det, 1e-11, 0)
	approx(t, "cov", fit.Cov[0][1], -s2*sx/det, 1e-11, 0)
	approx(t, "se slope", fit.SE[1], math.Sqrt(s2*sw/det), 1e-11, 0)
	approx(t, "corr", fit.Corr[1][0], -sx/math.Sqrt(sw*sxx), 1e-11, 0)
}

// A search that stopped gives no estimate.
func TestStoppedFitIsNoEstimate(t *testing.T) {
	x := []float64{1, 2, 3, 4, 5}
	y := []float64{1, 2, 2, 4, 6}
	double := func(p, f, jac []float64) { // p0 and p1 only as a sum
		for i, v := range x {
			f[i] = (p[0] + p[1]) * v
			if jac != nil {
				jac[2*i], jac[2*i+1] = v, v
			}
		}
	}
	wrong := func(p, f, jac []float64) { // derivatives of another model
		line(x)(p, f, jac)
		for i := range jac {
			jac[i] = -jac[i]
		}
	}
	rx, ry, rstart := rat43(t)
	for _, c := range []struct {
		name string
		fit  Fit
		want FitStatus
	}{
		{"two parameters in one", LeastSquares(double, y, []float64{1, 1}, nil), Singular},
		{"two values, three parameters", LogisticCurve.Fit(x[:2], y[:2], []float64{1, 1, 1}, nil), TooFewValues},
		{"no values", LogisticCurve.Fit(nil, nil, []float64{1, 1, 1}, nil), TooFewValues},
		{"NaN in the data", LeastSquares(line(x), []float64{1, 2, math.NaN(), 4, 5}, []float64{1, 1}, nil), NotFinite},
		{"start not finite", NaturalCurve.Fit(x, y, []float64{6, 1, 0}, nil), NotFinite},
		{"wrong derivatives", LeastSquares(wrong, y, []float64{1, 1}, nil), Stalled},
		{"three iterations", RichardsCurve.Fit(rx, ry, rstart, &LSQSettings{MaxIterations: 3}),
			TooManyIterations},
	} {
		assert.Equal(t, c.want, c.fit.Status, c.name)
		require.Error(t, c.fit.Status.Err(), c.name)
		assert.Equal(t, c.fit.Status.Err().Error(), c.fit.Status.String())
		for j := range c.fit.Params {
			assert.True(t, math.IsNaN(c.fit.Params[j]) && math.IsNaN(c.fit.SE[j]), c.name)
		}
		assert.True(t, math.IsNaN(c.fit.RSS) && math.IsNaN(c.fit.RSD), c.name)
		assert.Len(t, c.fit.Last, len(c.fit.Params))
	}
	assert.Equal(t, "converged", Converged.String())
}

// The exact solution of as many values as parameters has no residual spread.
func TestSaturatedFit(t *testing.T) {
	fit := LeastSquares(line([]float64{1, 3}), []float64{2, 8}, []float64{0, 0}, nil)
	require.NoError(t, fit.Status.Err())
	approx(t, "intercept", fit.Params[0], -1, 1e-12, 0)
	approx(t, "slope", fit.Params[1], 3, 1e-12, 0)
	assert.Equal(t, 0, fit.DF)
	assert.True(t, math.IsNaN(fit.RSD) && math.IsNaN(fit.SE[0]))
}

// A step into the region where the model does not exist is shortened: sqrt(p) from a start with a far first step.
func TestStepShrinksWhereModelIsNotFinite(t *testing.T) {
	tried := 0
	root := func(p, f, jac []float64) {
		if p[0] < 0 {
			tried++
		}
		for i := range f {
			f[i] = math.Sqrt(p[0])
			if jac != nil {
				jac[i] = 0.5 / math.Sqrt(p[0])
			}
		}
	}
	fit := LeastSquares(root, []float64{0.1, 0.2, 0.3}, []float64{25}, nil)
	require.NoError(t, fit.Status.Err())
	approx(t, "p", fit.Params[0], 0.04, 1e-9, 0)
	assert.Positive(t, tried, "the first step was meant to leave the domain")
}

func TestLeastSquaresPanics(t *testing.T) {
	x, y := []float64{1, 2, 3}, []float64{1, 2, 3}
	assert.Panics(t, func() { LeastSquares(line(x), y, nil, nil) })
	assert.Panics(t, func() { LeastSquares(line(x), y, []float64{1, 1}, &LSQSettings{Weights: []float64{1}}) })
	assert.Panics(t, func() { LeastSquares(line(x), y, []float64{1, 1}, &LSQSettings{Weights: []float64{1, 0, 1}}) })
	assert.Panics(t, func() { LogisticCurve.Fit(x, y[:2], nil, nil) })
}

// The fit does not depend on the units: K and N0 scale with y, r with 1/x.
func TestFitScales(t *testing.T) {
	x := upTo(18)
	plain := NaturalCurve.Fit(x, yeast, nil, nil)
	require.NoError(t, plain.Status.Err())
	sx, sy := make([]float64, len(x)), make([]float64, len(x))
	for i := range x {
		sx[i], sy[i] = x[i]*3600, yeast[i]*1e-6
	}
	scaled := NaturalCurve.Fit(sx, sy, nil, nil)
	require.NoError(t, scaled.Status.Err())
	for j, s := range []float64{1e-6, 1.0 / 3600, 1e-6} {
		approx(t, NaturalCurve.Params[j], scaled.Params[j], s*plain.Params[j], 1e-9, 0)
		approx(t, "se "+NaturalCurve.Params[j], scaled.SE[j], s*plain.SE[j], 1e-9, 0)
	}
}

func BenchmarkFitRat43(b *testing.B) {
	x, y, _ := rat43(b)
	for b.Loop() {
		if fit := RichardsCurve.Fit(x, y, []float64{700, 5, 0.75, 1.3}, nil); fit.Status != Converged {
			b.Fatal(fit.Status)
		}
	}
}
