package model

import (
	"math"
	"testing"
)

// approx fails the test unless got and want are equal, both NaN, or no further apart than abs or rel times |want|.
func approx(t testing.TB, name string, got, want, rel, abs float64) {
	t.Helper()
	if got == want || math.IsNaN(got) && math.IsNaN(want) || math.Abs(got-want) <= max(abs, rel*math.Abs(want)) {
		return
	}
	t.Errorf("%s: got %.17g, want %.17g, difference %.3g", name, got, want, got-want)
}
