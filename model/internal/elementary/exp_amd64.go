package elementary

import "math"

// expLess is expPlain, two numbers at a time.
func expLess(t []float64, c float64) { expPlain(t[expPairs(t, c, &expOf):], c) }

// expPairs does what expPlain does, to the last bit, until a pair of which one lies outside of its range, and says how many it did.
//
//go:noescape
func expPairs(t []float64, c float64, of *constants) (done int)

// constants of the exponential, twice each.
type constants struct {
	most, sign, perStep, whole, stepA, stepB, half, c3, c4, c5 [2]float64
}

var expOf = constants{twice(most), twice(math.Float64frombits(1<<63 - 1)), twice(perStep), twice(whole), twice(stepA), twice(stepB),
	twice(0.5), twice(c3), twice(c4), twice(c5)}

func twice(x float64) [2]float64 { return [2]float64{x, x} }
