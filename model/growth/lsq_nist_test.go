package growth

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// nistSet is a problem of the NIST Statistical Reference Datasets, nonlinear regression, with its certified values
// (https://www.itl.nist.gov/div898/strd/nls/nls_main.shtml).
type nistSet struct {
	Level      string
	Starts     [2][]float64
	Params, SE []float64
	RSS, SD    float64
	Y          []float64
	X          [][]float64
}

func readNIST(t testing.TB) map[string]nistSet {
	t.Helper()
	text, err := os.ReadFile("testdata/nist.json")
	require.NoError(t, err)
	var raw map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(text, &raw))
	delete(raw, "source")
	sets := map[string]nistSet{}
	for name, r := range raw {
		var set nistSet
		require.NoError(t, json.Unmarshal(r, &set), name)
		sets[name] = set
	}
	return sets
}

// model is the regression of the set; Nelson is of ln y, as its certified values are.
func (s *nistSet) model(name string) (ModelFunc, []float64) {
	y := slices.Clone(s.Y)
	if name == "Nelson" {
		for i, v := range y {
			y[i] = math.Log(v)
		}
	}
	value := nistModels[name]
	return func(p, out, jac []float64) {
		g := make([]float64, len(p))
		for i, x := range s.X {
			out[i] = value(p, x, g)
			if jac != nil {
				copy(jac[i*len(p):], g)
			}
		}
	}, y
}

// digits counts the digits in which got agrees with want, -log10 of the relative error. The certified values have 11
// digits, so that a count above 11 says no more.
func digits(got, want float64) float64 {
	if got == want {
		return 11
	}
	return min(11, -math.Log10(math.Abs(got-want)/math.Abs(want)))
}

func lowDigits(got, want []float64) float64 {
	low := math.Inf(1)
	for j := range want {
		low = min(low, digits(got[j], want[j]))
	}
	return low
}

// nistLeast is the number of digits wanted of estimates, standard errors, residual sum of squares and SD.
const nistLeast = 8

// TestNISTSets fits every set from both starts; go test -v -run NIST prints the digits.
func TestNISTSets(t *testing.T) {
	sets := readNIST(t)
	assert.Equal(t, slices.Sorted(maps.Keys(nistModels)), slices.Sorted(maps.Keys(sets)))
	var table strings.Builder
	fmt.Fprintf(&table, "digits that agree with the certified values\n%-9s %-8s %-6s %9s %6s %6s %6s %11s\n", "set",
		"level", "start", "estimates", "SE", "SD", "RSS", "iterations")
	var failed []string
	for _, name := range slices.Sorted(maps.Keys(sets)) {
		f := sets[name]
		require.NotEmpty(t, f.Y)
		model, y := f.model(name)
		for s, start := range f.Starts {
			fit := LeastSquares(model, y, start, &LSQSettings{MaxIterations: 2000})
			row := fmt.Sprintf("%-9s %-8s %-6d", name, f.Level, s+1)
			if fit.Status != Converged {
				failed = append(failed, fmt.Sprintf("%s start %d", name, s+1))
				fmt.Fprintf(&table, "%s failed: %v\n", row, fit.Status)
				assert.True(t, math.IsNaN(fit.Params[0]))
				continue
			}
			est, se, sd, rss := lowDigits(fit.Params, f.Params), lowDigits(fit.SE, f.SE), digits(fit.RSD, f.SD), digits(fit.RSS, f.RSS)
			fmt.Fprintf(&table, "%s %9.1f %6.1f %6.1f %6.1f %11d\n", row, est, se, sd, rss, fit.Iterations)
			assert.GreaterOrEqual(t, min(est, se, sd, rss), float64(nistLeast), "%s start %d", name, s+1)
			assert.Equal(t, len(y)-len(start), fit.DF)
		}
	}
	assert.Empty(t, failed, "starts without a fit")
	t.Log(table.String())
}

// The curves of the package meet the certified values from their own start as well.
func TestNISTFromOwnStart(t *testing.T) {
	sets := readNIST(t)
	for name, curve := range map[string]Curve{"Rat42": LogisticCurve, "Rat43": RichardsCurve, "Misra1a": RiseCurve,
		"BoxBOD": RiseCurve} {
		f := sets[name]
		x := make([]float64, len(f.X))
		for i, v := range f.X {
			x[i] = v[0]
		}
		fit := curve.Fit(x, f.Y, nil, nil)
		require.NoError(t, fit.Status.Err(), name)
		assert.GreaterOrEqual(t, min(lowDigits(fit.Params, f.Params), lowDigits(fit.SE, f.SE)), float64(nistLeast), name)
	}
}
