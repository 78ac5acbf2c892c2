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

// Lack of fit against R's anova of the means of repeated values. Bates & Watts (1988, sec. 3.7) give for Puromycin the
// sums of squares 498 and 698 with 4 and 6 degrees of freedom (from memory).
func TestLackOfFitAgainstR(t *testing.T) {
	ref, fits := readReference(t), referenceCases(t)
	for name, x := range map[string][]float64{"DNase1": growthData(t)["DNase1"].x, "Puromycin": puromycin.x} {
		l, want := fits[name].LackOfFit(x), ref[name+" lack"]
		for i, got := range []float64{l.SS, l.PureSS, float64(l.DF), float64(l.PureDF), l.F, l.P} {
			approx(t, fmt.Sprintf("%s %d", name, i), got, want[i], 1e-8, 0)
		}
		assert.Empty(t, l.Reason)
	}
}

// With weights the pure error of a pair is w1 w2/(w1 + w2) (y1 - y2)².
func TestLackOfFitWithWeights(t *testing.T) {
	x := []float64{1, 1, 2, 3, 3, 4}
	y := []float64{1, 2, 4, 5, 7, 6}
	w := []float64{1, 3, 1, 2, 2, 1}
	f := LeastSquares(line(x), y, []float64{0, 0}, &LSQSettings{Weights: w})
	l := f.LackOfFit(x)
	approx(t, "pure", l.PureSS, 0.75*1+1*4, 1e-12, 0)
	approx(t, "sum", l.SS+l.PureSS, f.RSS, 1e-12, 0)
	assert.Equal(t, [2]int{2, 2}, [2]int{l.DF, l.PureDF})
}

func TestLackOfFitNeedsRepeats(t *testing.T) {
	x, y := []float64{1, 2, 3, 4}, []float64{1, 2, 2, 4}
	f := LeastSquares(line(x), y, []float64{0, 0}, nil)
	l := f.LackOfFit(x)
	assert.Equal(t, "no value is repeated", l.Reason)
	assert.True(t, math.IsNaN(l.F) && math.IsNaN(l.P))
	two := LeastSquares(line([]float64{1, 1, 2, 2}), y, []float64{0, 0}, nil).LackOfFit([]float64{1, 1, 2, 2})
	assert.Equal(t, "no more distinct points than parameters", two.Reason)
	level := []float64{1, 1, 2, 2, 5, 5}
	even := LeastSquares(line([]float64{1, 1, 2, 2, 3, 3}), level, []float64{0, 0}, nil).LackOfFit(level)
	assert.Equal(t, "repeated values are all equal", even.Reason)
	assert.Panics(t, func() { f.LackOfFit(x[:2]) })
	assert.Panics(t, func() { LogisticCurve.Fit(x[:2], y[:2], nil, nil).LackOfFit(x[:2]) })
}

// signs are residuals of m positive and n negative values in r runs.
func signs(m, n, r int) []float64 {
	var out []float64
	for k := range r {
		v, left := 1.0, &m
		if k%2 == 1 {
			v, left = -1, &n
		}
		count := 1
		if k >= r-2 { // the last run of either sign takes the rest
			count = *left
		}
		for range count {
			out = append(out, v)
			*left--
		}
	}
	return out
}

// The probabilities are those of counting every order, testdata/lsq.R.
func TestRunsAgainstEveryOrder(t *testing.T) {
	ref := readReference(t)
	for _, c := range [][2]int{{3, 4}, {5, 8}, {2, 9}, {7, 7}} {
		m, n := c[0], c[1]
		few, p := ref[fmt.Sprintf("runs%dof%d few", m, n)], ref[fmt.Sprintf("runs%dof%d p", m, n)]
		require.Len(t, few, 2*min(m, n))
		for i := range few {
			if i+2 > m+n {
				continue // no order has so many runs
			}
			r := countRuns(signs(max(m, n), min(m, n), i+2)) // where one sign has a run more it is the commoner
			require.Equal(t, i+2, r.Runs)
			approx(t, fmt.Sprintf("few %v %d", c, i+2), r.PFew, few[i], 1e-11, 0)
			approx(t, fmt.Sprintf("p %v %d", c, i+2), r.P, p[i], 1e-11, 0)
		}
	}
}

// Swed & Eisenhart (1943), Annals of Mathematical Statistics 14, 66-87: of 10 and 10 signs, 6 is the largest number of
// runs that is significantly few at 5 % one-sided (from memory); of many signs the count is near normal.
func TestRunsOfManySigns(t *testing.T) {
	assert.Less(t, countRuns(signs(10, 10, 6)).PFew, 0.05)
	assert.Greater(t, countRuns(signs(10, 10, 7)).PFew, 0.05)
	r := countRuns(signs(400, 500, 420))
	mean := 1 + 2*400.0*500/900
	sd := math.Sqrt(2 * 400 * 500 * (2*400.0*500 - 900) / (900 * 900 * 899))
	approx(t, "expected", r.Expected, mean, 1e-12, 0)
	approx(t, "normal limit", r.PFew, 0.5*math.Erfc((mean-420.5)/sd/math.Sqrt2), 0, 2e-4) // second order left out: about 1e-4
}

func TestRunsFollowX(t *testing.T) {
	x := []float64{3, 1, 4, 2, 5}
	f := Fit{Residual: []float64{-1, 1, -1, 0, 2}}
	assert.Equal(t, 3, f.Runs(x).Runs)   // + 0 - - +
	assert.Equal(t, 4, f.Runs(nil).Runs) // - + - 0 +
	assert.Equal(t, 2, f.Runs(x).Above)
	assert.Panics(t, func() { f.Runs(x[:1]) })
	one := Fit{Residual: []float64{1, 2, 0}}.Runs(nil)
	assert.True(t, math.IsNaN(one.P) && math.IsNaN(one.PFew))
	assert.Equal(t, 1, one.Runs)
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
