package makedemo

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"testing"
)

// approx compares two numbers: equal, or apart by at most the larger of abs and rel*|want|.
func approx(t *testing.T, name string, got, want, rel, abs float64) {
	t.Helper()
	if diff := math.Abs(got - want); got != want && !(diff <= max(abs, rel*math.Abs(want))) {
		t.Errorf("%s: got %.17g, want %.17g, apart by %.3g", name, got, want, diff)
	}
}

// readRows reads a table as one map a row.
func readRows(t *testing.T, text []byte) []map[string]string {
	t.Helper()
	all, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, c := range cells {
			row[all[0][i]] = c
		}
		out = append(out, row)
	}
	return out
}

// number reads a cell that must be a number.
func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}
