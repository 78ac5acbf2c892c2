package growth

import (
	"math"

	"pgregory.net/rapid"
)

// approxIn is approx within a property.
func approxIn(t *rapid.T, name string, got, want, rel, abs float64) {
	t.Helper()
	if got == want || math.IsNaN(got) && math.IsNaN(want) || math.Abs(got-want) <= max(abs, rel*math.Abs(want)) {
		return
	}
	t.Errorf("%s: got %.17g, want %.17g, difference %.3g", name, got, want, got-want)
}
