package growth

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// readCSV is the rows of a reference file after its header.
func readCSV(t testing.TB, path string) [][]string {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	return rows[1:]
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// Reference: R package posterior 1.4.0, testdata/diagnostics.R, 10 digits. The normal scores of ties and the quantiles
// agree to rounding, and so do the results.
func TestDiagnosticsAgainstR(t *testing.T) {
	cases := map[string][][]float64{}
	for _, row := range readCSV(t, "testdata/diagnostics_chains.csv") {
		c := int(number(t, row[1]))
		chains := cases[row[0]]
		if len(chains) < c {
			chains = append(chains, nil)
		}
		chains[c-1] = append(chains[c-1], number(t, row[2]))
		cases[row[0]] = chains
	}
	want := readCSV(t, "testdata/diagnostics.csv")
	require.Len(t, want, len(cases))
	for _, row := range want {
		chains := cases[row[0]]
		approx(t, row[0]+" rhat", RHat(chains), number(t, row[1]), 1e-8, 0)
		approx(t, row[0]+" bulk", ESSBulk(chains), number(t, row[2]), 1e-8, 0)
		approx(t, row[0]+" tail", ESSTail(chains), number(t, row[3]), 1e-8, 0)
	}
}

// An autoregression with the coefficient a has the effective size N (1-a)/(1+a).
func TestESSOfAutoregression(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	chains := make([][]float64, 4)
	const n, a = 20000, 0.7
	for i := range chains {
		chains[i] = make([]float64, n)
		for k := 1; k < n; k++ {
			chains[i][k] = a*chains[i][k-1] + rng.NormFloat64()
		}
	}
	approx(t, "bulk", ESSBulk(chains), 4*n*(1-a)/(1+a), 0.06, 0) // sd about 2 %
	approx(t, "rhat", RHat(chains), 1, 0.002, 0)
}

func TestDiagnosticsEdges(t *testing.T) {
	nan := math.NaN()
	for name, chains := range map[string][][]float64{"none": nil, "short": {{1, 2, 3}}, "equal": {{1, 1, 1, 1, 1, 1}},
		"nan": {{1, 2, nan, 3, 4, 5}}, "inf": {{1, 2, math.Inf(1), 3, 4, 5}}} {
		approx(t, name+" rhat", RHat(chains), nan, 0, 0)
		approx(t, name+" bulk", ESSBulk(chains), nan, 0, 0)
		approx(t, name+" tail", ESSTail(chains), nan, 0, 0)
	}
	assert.Panics(t, func() { RHat([][]float64{{1, 2, 3, 4}, {1, 2, 3, 4, 5}}) })
}
