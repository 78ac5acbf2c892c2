package model

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"

	"bedstock/model/growth"
)

// cutFactors are what a reported cut is multiplied by in each draw of a posterior: one over the reported share, as the
// surveys leave it where it is not exactly known.
func (a *Assessment) cutFactors(p growth.Posterior) []float64 {
	if p.Draws.Has(growth.CutFactor) {
		return p.Draws.Col(growth.CutFactor)
	}
	return slices.Repeat([]float64{1 / a.Rules.ReportedShare}, p.Draws.Len())
}

// reportedFactors are draws of what a reported cut must be multiplied by: one over the reported share, which is lognormal
// with its median and the coefficient of variation reported_cv, before any survey. The share is one for all years, beds and
// species, so that a draw's factor is the same wherever it is used; a share above 1, as where wet weights are overstated, is
// possible.
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
