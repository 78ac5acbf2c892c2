package survey

import "math"

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
