package growth

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// reference is testdata/lsq.csv, made by testdata/lsq.R (R 4.2.2, packages stats, MASS, boot): values by case and what
// they are.
type reference map[string][]float64

func readReference(t *testing.T) reference {
	t.Helper()
	out := reference{}
	for _, row := range readCSV(t, "testdata/lsq.csv") {
		out[row[0]+" "+row[1]] = append(out[row[0]+" "+row[1]], number(t, row[3]))
	}
	return out
}

// puromycin are velocities (counts/min²) over concentrations (ppm), two of each; Bates & Watts (1988), appendix 1.2.
var puromycin = points{
	x: []float64{0.02, 0.02, 0.06, 0.06, 0.11, 0.11, 0.22, 0.22, 0.56, 0.56, 1.1, 1.1},
	y: []float64{76, 47, 97, 107, 123, 139, 159, 152, 191, 201, 207, 200},
}

var michaelis = Curve{Name: "Michaelis-Menten", Params: []string{"b1", "b2"},
	Value: func(p []float64, x float64, grad []float64) float64 {
		s := x / (p[1] + x)
		if grad != nil {
			grad[0], grad[1] = s, -p[0]*s/(p[1]+x)
		}
		return p[0] * s
	}}

// referenceCases are the fits of testdata/lsq.R, in R's parameters.
func referenceCases(t *testing.T) map[string]Fit {
	d := growthData(t)
	weights := make([]float64, len(yeast))
	for i, v := range yeast {
		weights[i] = 1 / v
	}
	orange, run, pine, chick := d["Orange2"], d["DNase1"], d["Loblolly301"], d["ChickWeight6"]
	fits := map[string]Fit{
		"yeast":           NaturalCurve.Fit(upTo(18), yeast, nil, nil),
		"yeastw":          NaturalCurve.Fit(upTo(18), yeast, nil, &LSQSettings{Weights: weights}),
		"Orange2":         ssLogis.Fit(orange.x, orange.y, []float64{219, 700, 332}, nil),
		"DNase1":          ssLogis.Fit(logs(run.x), run.y, []float64{2.3, 1.5, 1}, nil),
		"Loblolly301":     ssGompertz.Fit(pine.x, pine.y, []float64{67, 3.7, 0.87}, nil),
		"LoblollyRise301": ssAsymp.Fit(pine.x, pine.y, []float64{96, -9, -3.1}, nil),
		"ChickWeight6":    ssLogis.Fit(chick.x, chick.y, []float64{168, 6.2, 4.2}, nil),
		"Puromycin":       michaelis.Fit(puromycin.x, puromycin.y, []float64{200, 0.05}, nil),
	}
	for name, f := range fits {
		require.NoError(t, f.Status.Err(), name)
	}
	return fits
}

// Residuals, leverage, correlations, likelihood and AICc against R: hatvalues, rstandard and rstudent of the linear
// model on nls's gradient, cov2cor(vcov), logLik, AIC with the correction of Burnham & Anderson (2002). nls stops about
// six digits short of the minimum: rel 1e-5; residuals near 0 to 1e-5 of their standard deviation.
func TestFitDiagnosticsAgainstR(t *testing.T) {
	ref := readReference(t)
	for name, f := range referenceCases(t) {
		same := func(what string, got []float64) {
			want := ref[name+" "+what]
			if !assert.Len(t, got, len(want), "%s %s", name, what) {
				return
			}
			for i := range want {
				approx(t, fmt.Sprintf("%s %s %d", name, what, i), got[i], want[i], 1e-5, 1e-5)
			}
		}
		var corr []float64
		for i := range f.Corr {
			for j := i + 1; j < len(f.Corr); j++ {
				corr = append(corr, f.Corr[j][i])
			}
		}
		same("corr", corr)
		same("leverage", f.Leverage)
		same("standardized", f.Standardized())
		same("deleted", f.Deleted())
		approx(t, name+" loglik", f.LogLikelihood(), ref[name+" loglik"][0], 1e-9, 0)
		approx(t, name+" aicc", f.AICc(), ref[name+" aicc"][0], 1e-9, 0)
		sum := 0.0
		for _, h := range f.Leverage {
			sum += h
		}
		approx(t, name+" sum of leverages", sum, float64(len(f.Params)), 1e-9, 0)
	}
}

// A value that the curve meets whatever it is has no standardized residual, and a fit of one degree of freedom none
// without the value.
func TestStandardizedOfPointsThatSetTheCurve(t *testing.T) {
	x := []float64{0, 0, 0, 5} // the last alone sets the slope
	f := LeastSquares(line(x), []float64{1, 2, 3, 9}, []float64{0, 0}, nil)
	z := f.Standardized()
	assert.True(t, math.IsNaN(z[3]))
	approx(t, "z", z[0], -1/(f.RSD*math.Sqrt(2.0/3)), 1e-9, 0)
	three := LeastSquares(line(x[1:]), []float64{2, 3, 9}, []float64{0, 0}, nil)
	for _, d := range three.Deleted() {
		assert.True(t, math.IsNaN(d))
	}
}
