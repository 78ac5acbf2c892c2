package offtake_test

import (
	"fmt"

	"bedstock/model/offtake"
)

// A stand whose numbers are known and which meets no storms is cut down to the stock of most yield at once, if the
// rules let it be.
func ExampleAdvise() {
	same := func(x float64) []float64 { return []float64{x, x, x, x} }
	rules := offtake.DefaultRules()
	rules.StormChance = 0
	rules.MaxFraction = 1
	a := offtake.Advise(offtake.Stand{R: same(0.5), K: same(1000), B: same(700), Sigma: same(0), Exploitable: 1}, rules)
	best := offtake.Pulse(0.5, 1000, 1, 1)
	fmt.Printf("%.0f kg, limited by %s: %.0f kg stay, best are %.0f\n",
		a.AdvisedKg, a.LimitedBy, 700-a.ReplacementKg, best.Left)
	// Output: 262 kg, limited by replacement: 438 kg stay, best are 438
}
