package growth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rate is dy/dt of a growth curve at the stock y, from its definition.
type rate func(p []float64, y float64) float64

var growthRates = map[string]struct {
	curve Curve
	rate  rate
	p     []float64
}{
	"logistic":      {NaturalCurve, func(p []float64, y float64) float64 { return p[1] * y * (1 - y/p[0]) }, []float64{6, 1.5, 0.4}},
	"Gompertz":      {GompertzGrowthCurve, func(p []float64, y float64) float64 { return p[1] * y * math.Log(p[0]/y) }, []float64{6, 1.1, 0.4}},
	"monomolecular": {MonomolecularCurve, func(p []float64, y float64) float64 { return p[1] * (p[0] - y) }, []float64{6, 0.9, 0.4}},
	"theta": {ThetaLogisticCurve, func(p []float64, y float64) float64 { return p[1] * y * (1 - math.Pow(y/p[0], p[3])) },
		[]float64{6, 0.8, 0.4, 2.5}},
}

// Every curve starts at N0 and solves its differential equation, which is integrated here by the classical Runge-Kutta
// rule in steps of 1/2000 (error below 1e-12), by the plain clock and by a season's.
func TestCurvesSolveTheirEquations(t *testing.T) {
	season := Season{Amplitude: 0.8, Peak: 0.4}
	const from, steps = 50.2, 6000
	for name, c := range growthRates {
		approx(t, name+" at 0", c.curve.Value(c.p, 0, nil), c.p[2], 1e-14, 0)
		seasonal := c.curve.InSeason(season, from)
		y, z, h := c.p[2], c.p[2], 3.0/steps
		for i := range steps {
			at := float64(i) * h
			y = rungeKutta(func(_, y float64) float64 { return c.rate(c.p, y) }, at, y, h)
			z = rungeKutta(func(t, y float64) float64 { return season.Rate(t) * c.rate(c.p, y) }, from+at, z, h)
		}
		approx(t, name, c.curve.Value(c.p, 3, nil), y, 1e-10, 0)
		approx(t, seasonal.Name, seasonal.Value(c.p, from+3, nil), z, 1e-10, 0)
	}
}

func rungeKutta(f func(t, y float64) float64, t, y, h float64) float64 {
	a := f(t, y)
	b := f(t+h/2, y+h/2*a)
	c := f(t+h/2, y+h/2*b)
	return y + h/6*(a+2*b+2*c+f(t+h, y+h*c))
}

// The theta-logistic is the logistic at θ = 1, and the Gompertz curve where θ goes to 0 with rθ kept.
func TestThetaLogisticHolds(t *testing.T) {
	for _, x := range []float64{0, 0.3, 1, 4} {
		approx(t, "theta 1", ThetaLogisticCurve.Value([]float64{6, 1.5, 0.4, 1}, x, nil),
			NaturalCurve.Value([]float64{6, 1.5, 0.4}, x, nil), 1e-14, 0)
		approx(t, "theta 1e-7", ThetaLogisticCurve.Value([]float64{6, 1.1e7, 0.4, 1e-7}, x, nil),
			GompertzGrowthCurve.Value([]float64{6, 1.1, 0.4}, x, nil), 1e-6, 0)
	}
	x, y, _ := rat43(t)
	richards, theta := RichardsCurve.Fit(x, y, nil, nil), ThetaLogisticCurve.Fit(x, y, nil, nil)
	require.NoError(t, theta.Status.Err())
	approx(t, "rss of Rat43", theta.RSS, richards.RSS, 1e-10, 0)
	approx(t, "r theta", theta.Params[1]*theta.Params[3], richards.Params[2], 1e-7, 0)
	approx(t, "theta", theta.Params[3], richards.Params[3], 1e-7, 0)
}

// Plots of known truth: the curves' own starts find the fit, and estimates are those from the truth as start. Of theta,
// which noise often leaves untold, fewer are asked.
func TestOwnStartsFindTheFit(t *testing.T) {
	for name, least := range map[string]float64{"logistic": 0.995, "Gompertz": 0.995, "monomolecular": 0.995, "theta": 0.8} {
		rng := rand.New(rand.NewPCG(1, 7))
		c := growthRates[name]
		const series = 400
		found, same := 0, 0
		for range series {
			p := append([]float64(nil), c.p...)
			p[0], p[1], p[2] = math.Exp(3*rng.NormFloat64()), math.Exp(rng.NormFloat64()), 0
			p[2] = p[0] * (0.03 + 0.2*rng.Float64())
			x, y := make([]float64, 12), make([]float64, 12)
			end := (3 + 4*rng.Float64()) / p[1] // of the recovery
			for i := range x {
				x[i] = end * float64(i) / 11
				y[i] = c.curve.Value(p, x[i], nil) * math.Exp(0.05*rng.NormFloat64())
			}
			fit, truth := c.curve.Fit(x, y, nil, nil), c.curve.Fit(x, y, p, nil)
			if fit.Status == Converged {
				found++
			}
			if fit.Status == truth.Status && (fit.Status != Converged || math.Abs(fit.RSS-truth.RSS) <= 1e-6*truth.RSS) {
				same++
			}
		}
		t.Logf("%s: %d of %d fits found from the own start, %d as from the truth", name, found, series, same)
		assert.GreaterOrEqual(t, float64(found), least*series, fmt.Sprintf("%s found", name))
		assert.GreaterOrEqual(t, float64(same), least*series, fmt.Sprintf("%s same", name))
	}
}
