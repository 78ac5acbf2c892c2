package growth

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// referenceFits reads testdata/nls.txt, made by testdata/nls.R: lines "name parameter estimate SE" and
// "name df n rss value"; keys are "name parameter", "name parameter se", "name df" and "name rss".
func referenceFits(t *testing.T) map[string]float64 {
	t.Helper()
	f, err := os.Open("testdata/nls.txt")
	require.NoError(t, err)
	defer f.Close()
	out := map[string]float64{}
	num := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return v
	}
	for sc := bufio.NewScanner(f); sc.Scan(); {
		switch w := strings.Fields(sc.Text()); {
		case w[1] == "df":
			out[w[0]+" df"], out[w[0]+" rss"] = num(w[2]), num(w[4])
		case w[2] == "limits":
			out[w[0]+" "+w[1]+" lo"], out[w[0]+" "+w[1]+" hi"] = num(w[3]), num(w[4])
		default:
			out[w[0]+" "+w[1]], out[w[0]+" "+w[1]+" se"] = num(w[2]), num(w[3])
		}
	}
	return out
}

func upTo(n int) []float64 { // 0, 1, ..., n
	x := make([]float64, n+1)
	for i := range x {
		x[i] = float64(i)
	}
	return x
}

func meanOf(series ...[]float64) []float64 {
	out := make([]float64, len(series[0]))
	for i := range out {
		for _, s := range series {
			out[i] += s[i] / float64(len(series))
		}
	}
	return out
}

var (
	// Yeast, hours 0 to 18: Carlson, T., Biochemische Zeitschrift 57 (1913), 313-334, as used by Pearl, R., Quarterly
	// Review of Biology 2 (1927), 532-548.
	yeast = []float64{9.6, 18.3, 29.0, 47.2, 71.1, 119.1, 174.6, 257.3, 350.7, 441.0, 513.3, 559.7, 594.8, 629.4, 640.8,
		651.1, 655.9, 659.6, 661.8}
	// Paramecium, counts per 0.5 cc on days 0 to 19, means of three cultures: Gause, G. F.: The Struggle for
	// Existence. Williams & Wilkins (1934).
	aurelia = meanOf(
		[]float64{2, 10, 17, 29, 39, 63, 185, 258, 267, 392, 510, 570, 650, 560, 575, 650, 550, 480, 520, 500},
		[]float64{2, 9, 15, 36, 62, 84, 156, 234, 348, 370, 480, 520, 575, 400, 545, 560, 480, 510, 650, 500},
		[]float64{2, 7, 11, 37, 67, 134, 226, 306, 376, 485, 530, 650, 605, 580, 660, 460, 650, 575, 525, 550})
	caudatum = meanOf(
		[]float64{2, 5, 8, 9, 14, 16, 57, 94, 142, 175, 150, 200, 172, 189, 234, 192, 168, 240, 183, 219},
		[]float64{2, 8, 13, 6, 7, 16, 40, 98, 124, 145, 175, 280, 240, 230, 171, 219, 216, 195, 216, 189},
		[]float64{2, 4, 6, 7, 6, 22, 32, 84, 100, 138, 189, 170, 204, 210, 140, 165, 152, 135, 219, 219})
)

// nlsTolerance: nls stops about six digits short of the minimum. Standard errors are held to 1e-5.
const nlsTolerance = 2e-6

func checkReference(t *testing.T, ref map[string]float64, name string, names []string, fit Fit) {
	t.Helper()
	require.NoError(t, fit.Status.Err(), name)
	assert.EqualValues(t, ref[name+" df"], fit.DF, name)
	approx(t, name+" rss", fit.RSS, ref[name+" rss"], 1e-9, 0)
	for j, p := range names {
		require.Contains(t, ref, name+" "+p)
		approx(t, name+" "+p, fit.Params[j], ref[name+" "+p], nlsTolerance, 0)
		approx(t, name+" se "+p, fit.SE[j], ref[name+" "+p+" se"], 1e-5, 0)
	}
}

func TestNaturalCurveAgainstR(t *testing.T) {
	ref := referenceFits(t)
	c := NaturalCurve
	checkReference(t, ref, "yeast", c.Params, c.Fit(upTo(18), yeast, nil, nil))
	checkReference(t, ref, "aurelia", c.Params, c.Fit(upTo(19), aurelia, nil, nil))
	checkReference(t, ref, "caudatum", c.Params, c.Fit(upTo(19), caudatum, nil, nil))
	two := c.Hold(2, 2)
	checkReference(t, ref, "aurelia2", two.Params, two.Fit(upTo(19), aurelia, nil, nil))
	checkReference(t, ref, "caudatum2", two.Params, two.Fit(upTo(19), caudatum, nil, nil))
	w := make([]float64, len(yeast))
	for i, v := range yeast {
		w[i] = 1 / v
	}
	checkReference(t, ref, "yeastw", c.Params, c.Fit(upTo(18), yeast, nil, &LSQSettings{Weights: w}))
	th := ThetaLogisticCurve
	checkReference(t, ref, "yeastTheta", []string{"K", "r", "N0", "th"}, th.Fit(upTo(18), yeast, nil, nil))
	checkReference(t, ref, "aureliaTheta", []string{"K", "r", "N0", "th"}, th.Fit(upTo(19), aurelia, nil, nil))
	// Correlation of K and r, found beforehand with scipy curve_fit: -0.566 to three digits.
	approx(t, "corr(K, r)", c.Fit(upTo(18), yeast, nil, nil).Corr[0][1], -0.566, 0, 5e-4)
}

// TestCurvesAgainstR fits R's own growth data from the curves' own starts; R's parameters are put together from ours.
func TestCurvesAgainstR(t *testing.T) {
	ref, data := referenceFits(t), growthData(t)
	check := func(name string, x, y []float64, c Curve, want func(p []float64) map[string]float64) {
		fit := c.Fit(x, y, nil, nil)
		require.NoError(t, fit.Status.Err(), name)
		assert.EqualValues(t, ref[name+" df"], fit.DF, name)
		approx(t, name+" rss", fit.RSS, ref[name+" rss"], 1e-9, 0)
		for p, v := range want(fit.Params) {
			require.Contains(t, ref, name+" "+p)
			approx(t, name+" "+p, v, ref[name+" "+p], nlsTolerance, 0)
		}
	}
	logistic := func(p []float64) map[string]float64 {
		return map[string]float64{"Asym": p[0], "xmid": p[1] / p[2], "scal": 1 / p[2]}
	}
	natural := func(p []float64) map[string]float64 {
		return map[string]float64{"Asym": p[0], "xmid": math.Log(p[0]/p[2]-1) / p[1], "scal": 1 / p[1]}
	}
	gompertz := func(p []float64) map[string]float64 {
		return map[string]float64{"Asym": p[0], "b2": p[1], "b3": math.Exp(-p[2])}
	}
	growth := func(p []float64) map[string]float64 {
		return map[string]float64{"Asym": p[0], "b2": math.Log(p[0] / p[2]), "b3": math.Exp(-p[1])}
	}
	rise := func(p []float64) map[string]float64 {
		return map[string]float64{"Asym": p[0], "R0": p[2], "lrc": math.Log(p[1])}
	}
	for name, d := range data {
		switch {
		case strings.HasPrefix(name, "DNase"):
			check(name, logs(d.x), d.y, LogisticCurve, logistic)
			check("DNaseGompertz"+name[5:], logs(d.x), d.y, GompertzCurve, gompertz)
			check("DNaseGompertz"+name[5:], logs(d.x), d.y, GompertzGrowthCurve, growth)
		case strings.HasPrefix(name, "Loblolly"):
			check(name, d.x, d.y, GompertzCurve, gompertz)
			check(name, d.x, d.y, GompertzGrowthCurve, growth)
			check("LoblollyRise"+name[8:], d.x, d.y, MonomolecularCurve, rise)
		default:
			check(name, d.x, d.y, LogisticCurve, logistic)
			check(name, d.x, d.y, NaturalCurve, natural)
		}
	}
	require.Len(t, data, 15)
}

func TestCurveGradients(t *testing.T) {
	for _, c := range []struct {
		curve Curve
		p     []float64
		x     float64
	}{
		{LogisticCurve, []float64{72, 2.6, 0.07}, 30},
		{LogisticCurve, []float64{72, -800, 1}, 30},
		{LogisticCurve, []float64{72, 2.6, 0.07}, -20000},
		{RichardsCurve, []float64{700, 5, 0.75, 1.3}, 6},
		{RichardsCurve, []float64{700, 5, 0.75, -1.3}, 6},
		{RichardsCurve, []float64{700, 60, 0.75, 3}, 6},
		{RiseCurve, []float64{240, 5e-4}, 400},
		{GompertzCurve, []float64{60, 3, 0.1}, 12},
		{NaturalCurve, []float64{660, 0.5, 9}, 7},
		{NaturalCurve, []float64{5, 0.5, 9}, 3},
		{GompertzGrowthCurve, []float64{60, 0.1, 3}, 12},
		{GompertzGrowthCurve, []float64{3, 0.1, 60}, 12},
		{ThetaLogisticCurve, []float64{660, 0.5, 9, 1.7}, 7},
		{ThetaLogisticCurve, []float64{660, 0.5, 9, 0.02}, 7},
		{ThetaLogisticCurve, []float64{5, 0.5, 9, 2}, 0.4},
		{MonomolecularCurve, []float64{60, 0.1, 3}, 12},
		{MonomolecularCurve, []float64{60, 0.1, -3}, 12},
		{NaturalCurve.InSeason(Season{Amplitude: 0.7, Peak: 0.4}, 50.2), []float64{6, 1.5, 0.5}, 51.9},
		{ThetaLogisticCurve.InSeason(Season{Amplitude: 0.7, Peak: 0.4}, 50.2), []float64{6, 1.5, 0.5, 2}, 51.9},
		{NaturalCurve.Hold(2, 9), []float64{660, 0.5}, 7},
		{NaturalCurve.Hold(0, 660), []float64{0.5, 9}, 7},
	} {
		grad := make([]float64, len(c.p))
		y := c.curve.Value(c.p, c.x, grad)
		assert.Equal(t, y, c.curve.Value(c.p, c.x, nil))
		for j := range c.p {
			want := centralDifference(func(v float64) float64 {
				p := append([]float64(nil), c.p...)
				p[j] = v
				return c.curve.Value(p, c.x, nil)
			}, c.p[j])
			// Central differences at a step of 1e-5 of the parameter are good to about 1e-9.
			approx(t, fmt.Sprintf("%s %v at %v: d/d%s", c.curve.Name, c.p, c.x, c.curve.Params[j]), grad[j], want, 1e-7,
				1e-9*math.Abs(y/c.p[j]))
		}
	}
}

func centralDifference(f func(float64) float64, x float64) float64 {
	h := 1e-5 * max(math.Abs(x), 1e-3)
	return (f(x+h) - f(x-h)) / (2 * h)
}

func TestCurvesWithoutStart(t *testing.T) {
	for _, c := range []Curve{LogisticCurve, RichardsCurve, RiseCurve, GompertzCurve, NaturalCurve, NaturalCurve.Hold(2, 1),
		GompertzGrowthCurve, ThetaLogisticCurve, MonomolecularCurve} {
		for _, y := range [][]float64{nil, {0, 0, 0, 0, 0}, {-1, -2, -3, -4, -5}, {1, math.Inf(1), 2, 3, 4}} {
			fit := c.Fit(make([]float64, len(y)), y, nil, nil)
			assert.NotEqual(t, Converged, fit.Status, "%s %v", c.Name, y)
			assert.Error(t, fit.Status.Err())
		}
	}
}
