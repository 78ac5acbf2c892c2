package growth

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// strdSet is a problem of the NIST Statistical Reference Datasets, nonlinear regression
// (https://www.itl.nist.gov/div898/strd/nls/nls_main.shtml), with its certified values.
type strdSet struct {
	name    string
	curve   Curve
	x, y    []float64
	starts  [2][]float64
	params  []float64
	se      []float64
	rss, sd float64
}

func counting(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = float64(i + 1)
	}
	return x
}

var strdSets = []strdSet{
	{ // NIST StRD Ratkowsky2 (Rat42), pasture yield; Ratkowsky 1983, pp. 61, 88.
		name: "Rat42", curve: LogisticCurve,
		x:      []float64{9, 14, 21, 28, 42, 57, 63, 70, 79},
		y:      []float64{8.930, 10.800, 18.590, 22.330, 39.350, 56.110, 61.730, 64.620, 67.080},
		starts: [2][]float64{{100, 1, 0.1}, {75, 2.5, 0.07}},
		params: []float64{7.2462237576e+01, 2.6180768402e+00, 6.7359200066e-02},
		se:     []float64{1.7340283401e+00, 8.8295217536e-02, 3.4465663377e-03},
		rss:    8.0565229338e+00, sd: 1.1587725499e+00,
	},
	{ // NIST StRD Ratkowsky3 (Rat43), onion bulbs and tops; Ratkowsky 1983, pp. 62, 88.
		name: "Rat43", curve: RichardsCurve,
		x: counting(15),
		y: []float64{16.08, 33.83, 65.80, 97.20, 191.55, 326.20, 386.87, 520.53, 590.03, 651.92, 724.93, 699.56,
			689.96, 637.56, 717.41},
		starts: [2][]float64{{100, 10, 1, 1}, {700, 5, 0.75, 1.3}},
		params: []float64{6.9964151270e+02, 5.2771253025e+00, 7.5962938329e-01, 1.2792483859e+00},
		se:     []float64{1.6302297817e+01, 2.0828735829e+00, 1.9566123451e-01, 6.8761936385e-01},
		rss:    8.7864049080e+03, sd: 2.8262414662e+01,
	},
	{ // NIST StRD Misra1a, dental research.
		name: "Misra1a", curve: RiseCurve,
		x: []float64{77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0},
		y: []float64{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47,
			81.78},
		starts: [2][]float64{{500, 0.0001}, {250, 0.0005}},
		params: []float64{2.3894212918e+02, 5.5015643181e-04},
		se:     []float64{2.7070075241e+00, 7.2668688436e-06},
		rss:    1.2455138894e-01, sd: 1.0187876330e-01,
	},
	{ // NIST StRD BoxBOD, biochemical oxygen demand; higher difficulty.
		name: "BoxBOD", curve: RiseCurve,
		x:      []float64{1, 2, 3, 5, 7, 10},
		y:      []float64{109, 149, 149, 191, 213, 224},
		starts: [2][]float64{{1, 1}, {100, 0.75}},
		params: []float64{2.1380940889e+02, 5.4723748542e-01},
		se:     []float64{1.2354515176e+01, 1.0455993237e-01},
		rss:    1.1680088766e+03, sd: 1.7088072423e+01,
	},
}

// digits counts the digits in which got agrees with want, -log10 of the relative error.
func digits(got, want float64) float64 {
	if got == want {
		return math.Inf(1)
	}
	return -math.Log10(math.Abs(got-want) / math.Abs(want))
}

// wantDigits: the certified values have 11 digits, so that agreement ends near 10.3 of them.
const wantDigits = 9

func TestReferenceData(t *testing.T) {
	for _, set := range strdSets {
		starts := append([][]float64{nil}, set.starts[:]...) // nil: the curve's own
		for s, start := range starts {
			t.Run(fmt.Sprintf("%s/start%d", set.name, s), func(t *testing.T) {
				fit := set.curve.Fit(set.x, set.y, start, nil)
				require.NoError(t, fit.Status.Err())
				low := min(digits(fit.RSS, set.rss), digits(fit.RSD, set.sd))
				for j := range set.params {
					low = min(low, digits(fit.Params[j], set.params[j]), digits(fit.SE[j], set.se[j]))
				}
				t.Logf("%.1f digits in %d iterations, offset %.1e", low, fit.Iterations, fit.Offset)
				require.GreaterOrEqual(t, low, float64(wantDigits))
				require.Equal(t, len(set.x)-len(set.params), fit.DF)
			})
		}
	}
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
	rat43 := strdSets[1]
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
		{"three iterations", rat43.curve.Fit(rat43.x, rat43.y, rat43.starts[0], &LSQSettings{MaxIterations: 3}),
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
	set := strdSets[1]
	for b.Loop() {
		if fit := set.curve.Fit(set.x, set.y, set.starts[1], nil); fit.Status != Converged {
			b.Fatal(fit.Status)
		}
	}
}
