package model

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// reportedFactors are draws of what a reported cut must be multiplied by: one over the reported share, which is lognormal
// with its median and the coefficient of variation reported_cv. The share is one for all years, beds and species, so that
// a draw's factor is the same wherever it is used; a share above 1, as where wet weights are overstated, is possible.
//
//	cut = reported/share,   log share ~ N(log reported_share, log(1 + reported_cv²))
func (a *Assessment) reportedFactors(n int) []float64 {
	h := fnv.New64a()
	h.Write([]byte("reported share"))
	rng := rand.New(rand.NewPCG(a.Seed, h.Sum64()))
	sd := math.Sqrt(math.Log1p(a.Rules.ReportedCV * a.Rules.ReportedCV))
	out := make([]float64, n)
	for i := range out {
		out[i] = 1 / a.Rules.ReportedShare
		if sd > 0 {
			out[i] *= math.Exp(-sd * rng.NormFloat64())
		}
	}
	return out
}
