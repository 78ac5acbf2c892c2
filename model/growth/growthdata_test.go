package growth

import (
	"math"
	"testing"
)

// points are x and y of one unit.
type points struct{ x, y []float64 }

// growthData reads testdata/growth_data.csv, R's own growth data as testdata/nls.R writes them; keys are the set and
// the unit, as "Orange1".
//   - Orange: circumference (mm) of trees at ages (days); Draper, N. R. and Smith, H.: Applied Regression Analysis,
//     3rd ed. Wiley (1998), exercise 24.N
//   - DNase: optical density over concentration (ng/ml); Davidian, M. and Giltinan, D. M.: Nonlinear Models for
//     Repeated Measurement Data. Chapman & Hall (1995)
//   - ChickWeight: weight (g) at ages (days); Crowder, M. and Hand, D.: Analysis of Repeated Measures. Chapman & Hall
//     (1990), example 5.3
//   - Loblolly: height (ft) at ages (years); Kung, F. H.: Fitting logistic growth curve with predetermined carrying
//     capacity. Proceedings of the Statistical Computing Section, American Statistical Association (1986), 340-343
func growthData(t *testing.T) map[string]points {
	t.Helper()
	out := map[string]points{}
	for _, row := range readCSV(t, "testdata/growth_data.csv") {
		p := out[row[0]+row[1]]
		p.x, p.y = append(p.x, number(t, row[2])), append(p.y, number(t, row[3]))
		out[row[0]+row[1]] = p
	}
	return out
}

// ssLogis, ssGompertz and ssAsymp are curves in the parameters of R's self-starting models of these names.
var (
	ssLogis = Curve{Name: "SSlogis", Params: []string{"Asym", "xmid", "scal"},
		Value: func(p []float64, x float64, grad []float64) float64 {
			e := math.Exp((p[1] - x) / p[2])
			s := 1 / (1 + e)
			if grad != nil {
				d := -p[0] * s * s * e / p[2]
				grad[0], grad[1], grad[2] = s, d, -d*(p[1]-x)/p[2]
			}
			return p[0] * s
		}}
	ssGompertz = Curve{Name: "SSgompertz", Params: []string{"Asym", "b2", "b3"},
		Value: func(p []float64, x float64, grad []float64) float64 {
			b := math.Pow(p[2], x)
			s := math.Exp(-p[1] * b)
			if grad != nil {
				grad[0], grad[1], grad[2] = s, -p[0]*s*b, -p[0]*s*p[1]*b*x/p[2]
			}
			return p[0] * s
		}}
	ssAsymp = Curve{Name: "SSasymp", Params: []string{"Asym", "R0", "lrc"},
		Value: func(p []float64, x float64, grad []float64) float64 {
			e := math.Exp(-math.Exp(p[2]) * x)
			if grad != nil {
				grad[0], grad[1], grad[2] = 1-e, e, (p[0]-p[1])*e*x*math.Exp(p[2])
			}
			return p[0] + (p[1]-p[0])*e
		}}
)

func logs(x []float64) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = math.Log(v)
	}
	return out
}
