package growth

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// Reference: JAGS 4.3.1 on the same model and data, testdata/posterior_jags.R, with its effective sizes. Tolerances are
// four standard errors of both, those of the 5 % and 95 % quantiles taken as 2.1 times that of a mean (a normal's).
func TestPosteriorAgainstJAGS(t *testing.T) {
	s := Series{Area: 10000, Occ: 0.7, CutsKnown: true,
		Cuts:   []Pulse{{50.8, 9000}, {51.7, 8000}, {52.95, 4000}, {53.7, 11000}},
		Events: []Storm{{52.1, math.NaN()}, {53.2, 0.8}}}
	kg, cv, df := []float64{52000, 47000, 45000, 41000, 30000}, []float64{0.18, 0.15, 0.2, 0.18, 0.25}, []float64{9, 7, 5, 9, 4}
	for i := range kg {
		s.Surveys = append(s.Surveys, Observation{T: 50.45 + float64(i), Kg: kg[i], CV: cv[i], DF: df[i], PSU: 12, Area: 10000,
			Dense: 7, Shared: []Shared{{"area", 0.1}, {string(rune('a' + i)), 0.08}}})
	}
	set := Settings{Seed: 1, Stream: "jags", Draws: 24000, StormChance: 0.1, StormSurvival: 0.7, SigmaProcess: 0.3,
		SigmaR: 0.3, SigmaK: 0.5, ReportedShare: 0.8}
	p := Sample(s, Prior{R: 0.5, RCV: 0.5, K: 9, KCV: 0.4}, Season{0.5, 0.35}, nil, set)
	require.Equal(t, "ok", p.Status, p.Reason)
	order := map[string]int{"logr": 0, "logK": 1, "sigma": 2, "x[1]": 3, "x[2]": 4, "x[3]": 5, "x[4]": 6, "x[5]": 7}
	draws := logDraws(p)
	rows := readCSV(t, "testdata/posterior_jags.csv")
	require.Len(t, rows, len(order))
	for _, row := range rows {
		x := draws[order[row[0]]]
		m, v := meanVariance(x)
		tol := 4 * math.Sqrt(v*(1/p.ESS+1/number(t, row[6])))
		approx(t, row[0]+" mean", m, number(t, row[1]), 0, tol)
		approx(t, row[0]+" sd", math.Sqrt(v), number(t, row[2]), 0, 1.5*tol)
		q := func(p float64) float64 { slices.Sort(x); return x[int(p*float64(len(x)-1))] }
		approx(t, row[0]+" 5 %", q(0.05), number(t, row[3]), 0, 2.1*tol)
		approx(t, row[0]+" 50 %", q(0.5), number(t, row[4]), 0, 1.3*tol)
		approx(t, row[0]+" 95 %", q(0.95), number(t, row[5]), 0, 2.1*tol)
	}
}
