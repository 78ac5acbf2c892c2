package survey

import (
	"math"
	"testing"
)

// Two phases with 36 of 120 quadrats weighed, each its own sampling unit, and weight a line, a power or proportional
// to cover with an error: the 95 % interval holds the truth in 92 to 97 of 100 surveys (1000 each: Monte Carlo
// standard error 0.7; the seed is fixed), the mean estimate is within 1 % of it and the mean variance within 12 % of
// the variance of the estimates. The model is the one asked for even where it is wrong, or auto.
func TestTwoPhaseCoverage(t *testing.T) {
	weight := map[string]func(x, z float64) float64{
		"line":       func(x, z float64) float64 { return 1 + 0.05*x + 0.4*z },
		"power":      func(x, z float64) float64 { return 6 * math.Pow(x/100, 1.8) * math.Exp(0.2*z) },
		"proportion": func(x, z float64) float64 { return 0.05 * x * (1 + 0.2*z) },
	}
	for _, c := range []struct{ truth, model string }{{"line", byLinear}, {"power", byPower}, {"power", byLinear}, {"line", byPower},
		{"power", "auto"}, {"proportion", "auto"}} {
		rng := newStream(12, "two phases "+c.truth+c.model)
		opt := DefaultOptions()
		opt.Conversion = c.model
		const surveys, size = 1000, 20000
		cover, kg := make([]float64, size), make([]float64, size)
		for i := range cover {
			cover[i] = 5 + 90*math.Pow(rng.Float64(), 1.3)
			kg[i] = weight[c.truth](cover[i], rng.NormFloat64())
		}
		truth := 1000 * mean(kg)
		hit, sum, squares, variances := 0.0, 0.0, 0.0, 0.0
		for range surveys {
			rows := make([]quad, 120)
			for i := range rows {
				at := rng.IntN(size)
				rows[i] = seen("A", "", name("q", i), "Fucus", testDay, cover[at])
				if i < 36 {
					rows[i].grams = 250 * kg[at]
				}
			}
			s := Stocks(folderOf([]Bed{bedOf("A", 1000)}, rows), opt)[0].Kg
			if s.Lo <= truth && truth <= s.Hi {
				hit++
			}
			sum, squares, variances = sum+s.Value, squares+s.Value*s.Value, variances+s.SE*s.SE
		}
		m := sum / surveys
		what := c.truth + " by " + c.model
		approx(t, what+" mean", m, truth, 0.01, 0)
		approx(t, what+" variance", variances/surveys, squares/surveys-m*m, 0.12, 0)
		approx(t, what+" coverage", hit/surveys, 0.945, 0, 0.025)
		t.Logf("%s: held %.3f, mean %.4f of the truth, variance %.3f", what, hit/surveys, m/truth, variances/surveys/(squares/surveys-m*m))
	}
}
