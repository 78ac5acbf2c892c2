package survey

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// tester is a test, of a property too.
type tester interface {
	Helper()
	Errorf(format string, args ...any)
}

// approx fails the test unless got is within the larger of abs and rel*|want| of want. Two NaN are equal.
func approx(t tester, name string, got, want, rel, abs float64) {
	t.Helper()
	if got == want || math.IsNaN(got) && math.IsNaN(want) {
		return
	}
	if diff := math.Abs(got - want); !(diff <= math.Max(abs, rel*math.Abs(want))) {
		t.Errorf("%s: got %.17g, want %.17g, difference %.3g", name, got, want, got-want)
	}
}

// readTable reads a table of reference values below testdata, header and all.
func readTable(t testing.TB, name string) [][]string {
	t.Helper()
	file, err := os.Open("testdata/" + name)
	require.NoError(t, err)
	defer file.Close()
	recs, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	return recs
}

// number is the number of a cell of such a table.
func number(t testing.TB, cell string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(cell, 64)
	require.NoError(t, err)
	return v
}
