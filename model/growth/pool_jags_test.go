package growth

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// jagsCase is one of the data sets of testdata/pool_*.csv.
func jagsCase(t testing.TB, name string) (beds []BedSeries, plots []PlotEvidence) {
	at := map[string]int{}
	dense := map[string]float64{}
	for _, row := range readCSV(t, "testdata/pool_beds.csv") {
		if row[0] == name {
			at[row[1]] = len(beds)
			beds = append(beds, BedSeries{row[1], Series{Area: number(t, row[2]), Occ: number(t, row[3]), CutsKnown: true}})
			dense[row[1]] = number(t, row[4])
		}
	}
	for _, row := range readCSV(t, "testdata/pool_surveys.csv") {
		if row[0] == name {
			b := &beds[at[row[1]]]
			o := Observation{T: number(t, row[2]), Kg: number(t, row[3]), CV: number(t, row[4]), DF: number(t, row[5]),
				PSU: int(number(t, row[6])), Dense: dense[row[1]], Shared: []Shared{{row[1] + " area", 0.1}, {row[7], 0.15}}}
			if o.Kg == 0 {
				o.Shared = nil
			}
			b.Surveys = append(b.Surveys, o)
		}
	}
	for _, row := range readCSV(t, "testdata/pool_cuts.csv") {
		if row[0] == name {
			b := &beds[at[row[1]]]
			b.Cuts = append(b.Cuts, Pulse{number(t, row[2]), number(t, row[3])})
		}
	}
	for _, row := range readCSV(t, "testdata/pool_plots.csv") {
		if row[0] == name {
			plots = append(plots, PlotEvidence{number(t, row[1]), number(t, row[2]), 2})
		}
	}
	return beds, plots
}

// Prior, season and settings of testdata/pool_jags.R.
var (
	jagsPrior  = Prior{R: 0.8, RCV: 0.5, K: 7, KCV: 0.4}
	jagsSeason = Season{Amplitude: 0.4, Peak: 0.35}
	jagsSet    = Settings{Seed: 1, Stream: "jags", Draws: 16000, StormChance: 0.15, StormSurvival: 0.65, SigmaProcess: 0.3,
		SigmaR: 0.3, SigmaK: 0.5}
)

// Reference: JAGS 4.3.1 on the same model and data, testdata/pool_jags.R, with its effective sizes. Tolerances are four
// standard errors of both, those of the quantiles as in TestPosteriorAgainstJAGS; on some 300 numbers.
func TestPoolAgainstJAGS(t *testing.T) {
	rows := readCSV(t, "testdata/pool_jags.csv")
	for _, name := range []string{"three", "six"} {
		beds, plots := jagsCase(t, name)
		p := SampleBeds(beds, jagsPrior, jagsSeason, plots, jagsSet)
		require.Equal(t, "ok", p.Status, p.Reason)
		draws, ess := map[string][]float64{}, map[string]float64{}
		put := func(key string, x []float64, n float64, log bool) {
			if log {
				for i := range x {
					x[i] = math.Log(x[i])
				}
			}
			draws[key], ess[key] = x, n
		}
		for key, col := range map[string]string{"mur": "r", "muk": "k", "phi": "phi", "omega": "omega", "sigma": "sigma"} {
			put(key, p.Draws.Col(col), p.ESS, col == "r" || col == "k")
		}
		state := 0
		for b, post := range p.Beds {
			require.Equal(t, "ok", post.Status, post.Reason)
			put(fmt.Sprintf("logr[%d]", b+1), post.Draws.Col("r"), post.ESS, true)
			put(fmt.Sprintf("logK[%d]", b+1), post.Draws.Col("K"), post.ESS, true)
			for i := range beds[b].Surveys {
				state++
				put(fmt.Sprintf("x[%d]", state), post.Draws.Col(fmt.Sprintf("B%d", i)), post.ESS, true)
			}
		}
		n := 0
		for _, row := range rows {
			if row[0] != name {
				continue
			}
			n++
			x, what := draws[row[1]], name+" "+row[1]
			require.NotEmpty(t, x, what)
			m, v := meanVariance(x)
			tol := 4 * math.Sqrt(v*(1/ess[row[1]]+1/number(t, row[7])))
			approx(t, what+" mean", m, number(t, row[2]), 0, tol)
			approx(t, what+" sd", math.Sqrt(v), number(t, row[3]), 0, 1.5*tol)
			q := func(p float64) float64 { slices.Sort(x); return x[int(p*float64(len(x)-1))] }
			approx(t, what+" 5 %", q(0.05), number(t, row[4]), 0, 2.1*tol)
			approx(t, what+" 50 %", q(0.5), number(t, row[5]), 0, 1.3*tol)
			approx(t, what+" 95 %", q(0.95), number(t, row[6]), 0, 2.1*tol)
		}
		require.Equal(t, 5+2*len(beds)+state, n)
	}
}
