package offtake

import (
	"math"
	"testing"
)

// approx passes when got and want are equal, both NaN, or differ by at most max(abs, rel*|want|).
func approx(t *testing.T, name string, got, want, rel, abs float64) {
	t.Helper()
	if got == want || math.IsNaN(got) && math.IsNaN(want) {
		return
	}
	if d := math.Abs(got - want); !(d <= math.Max(abs, rel*math.Abs(want))) {
		t.Errorf("%s: got %.17g, want %.17g, difference %.3g", name, got, want, got-want)
	}
}
