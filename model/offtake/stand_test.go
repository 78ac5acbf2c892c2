package offtake

import (
	"math"
	"math/rand/v2"
)

// lognormals are n draws about a median with a standard deviation of the log.
func lognormals(rng *rand.Rand, n int, median, sd float64) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = median * math.Exp(sd*rng.NormFloat64())
	}
	return x
}

func repeated(n int, x float64) []float64 {
	y := make([]float64, n)
	for i := range y {
		y[i] = x
	}
	return y
}

// logSD of a lognormal with coefficient of variation cv.
func logSD(cv float64) float64 { return math.Sqrt(math.Log1p(cv * cv)) }

// someStand is an ordinary, well informed stand of n draws: r 0.4 a year, K 1000 kg, B 700 kg.
func someStand(n int) Stand {
	rng := rand.New(rand.NewPCG(7, 7))
	return Stand{R: lognormals(rng, n, 0.4, logSD(0.15)), K: lognormals(rng, n, 1000, logSD(0.2)),
		B: lognormals(rng, n, 700, logSD(0.2)), Sigma: repeated(n, 0.2), Exploitable: 1, LogRShrink: 0.3,
		Seed: 1, Stream: "bed|species"}
}

// sureStand is one whose numbers are known and which meets no chance.
func sureStand(n int, r, k, b float64) (Stand, Rules) {
	rules := DefaultRules()
	rules.StormChance = 0
	return Stand{R: repeated(n, r), K: repeated(n, k), B: repeated(n, b), Sigma: repeated(n, 0), Exploitable: 1,
		LogRShrink: 0.3, Seed: 1, Stream: "sure"}, rules
}
