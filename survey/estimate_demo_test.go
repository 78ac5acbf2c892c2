package survey

import (
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// The invented demo survey is made from known stocks, listed in demo-truth.csv by bed, species and date. Of its
// intervals (about 120, of which the surveys of one bed share errors) between 87 and 99 of 100 hold the truth, and the
// estimates are right in the mean: estimate over truth is 1 within 0.08, about three standard errors of its mean.
func TestDemoTruth(t *testing.T) {
	table, problems := ReadSpecies(os.DirFS("../data"), "species.csv")
	require.Empty(t, problems.Faults())
	f, err := Read(os.DirFS("../data/demo"), table, DefaultOptions())
	require.NoError(t, err)
	truth := map[string]float64{}
	recs := readTable(t, "../../data/demo-truth.csv")
	require.Equal(t, []string{"bed", "species", "r_per_year", "k_kg", "occupied_fraction", "date", "stock_kg"}, recs[0])
	for _, r := range recs[1:] {
		v, err := strconv.ParseFloat(r[6], 64)
		require.NoError(t, err)
		truth[r[0]+r[1]+r[5][:4]] = v
	}
	n, hit, ratio := 0, 0, 0.0
	for _, s := range Stocks(f, DefaultOptions()) {
		want, known := truth[s.Bed+s.Species+strconv.Itoa(s.Date.Year())]
		if !known || want == 0 || s.Status != OK || s.QuadratsWith == 0 || math.IsNaN(s.Kg.Lo) {
			continue
		}
		n++
		ratio += s.Kg.Value / want
		if s.Kg.Lo <= want && want <= s.Kg.Hi {
			hit++
		}
	}
	require.Greater(t, n, 60)
	t.Logf("%d of %d held, mean ratio %.4f", hit, n, ratio/float64(n))
	approx(t, "held", float64(hit)/float64(n), 0.93, 0, 0.06)
	approx(t, "mean ratio", ratio/float64(n), 1, 0, 0.08)
}
