package model

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"bedstock/model/growth"
	"bedstock/survey"
)

const (
	paceReturns = 3    // returns with a weight from which a pace can be told
	paceElapsed = 0.1  // share of the season that must have passed
	paceDraws   = 4000 // futures of a season
)

// pace foretells what will be cut by the end of a running season from the returns so far. Returns come as a Poisson process
// with an unknown rate, and each brings as much as one of those so far:
//
//	λ ~ Gamma(n + 1/2, d),   N ~ Poisson(λ (D - d)),   end = C + Σ of N weights drawn from the n so far
//
// with n returns above 0 in the d days that have passed of D, and C kg cut so far; the gamma is Jeffreys' posterior of the
// rate. All is divided by the reported share. It does not know of a rush before the end, of weather or of a quota that is used
// up. NaN with a note where fewer than three returns or a tenth of the season are there to tell.
//
// References:
//   - Gelman, A. et al.: Bayesian Data Analysis, 3rd ed. (2013), section 2.6, for the rate
//   - Panjer, H. H.: Recursive evaluation of a family of compound distributions. ASTIN Bulletin 12 (1981), for the sum
func (b *book) pace(row *LedgerRow, cuts []survey.Cut) {
	nan := math.NaN()
	row.Projected = growth.Interval{Median: nan, Lo: nan, Hi: nan}
	if row.State != SeasonRunning {
		return
	}
	until := b.a.out.Folder.AsOf
	if to := b.a.out.Rules.ReturnsCompleteTo; to != survey.NoDay {
		until = min(until, to)
	}
	passed, all := float64(until-row.From)+1, float64(row.To-row.From)+1
	var weights []float64
	for _, c := range cuts {
		if !c.Cast && c.Kg > 0 {
			weights = append(weights, c.Kg)
		}
	}
	switch {
	case !b.a.out.Folder.CutsKnown:
		row.PaceNote = "cuts are not known"
	case passed < paceElapsed*all:
		row.PaceNote = "the season has only begun"
	case len(weights) < paceReturns:
		row.PaceNote = fmt.Sprintf("too few returns to tell a pace: %d", len(weights))
	case passed >= all:
		end := row.CutKg
		row.Projected = growth.Interval{Median: end, Lo: end, Hi: end}
	default:
		row.Projected = b.foretell(row, weights, passed, all-passed)
		if limit := row.LimitKg(); row.Projected.Hi > limit && !row.Over() {
			row.Notes = append(row.Notes, "at this pace it may go over by the end of the season")
		}
	}
}

// foretell draws the ends of a season.
func (b *book) foretell(row *LedgerRow, weights []float64, passed, ahead float64) growth.Interval {
	h := fnv.New64a()
	fmt.Fprintf(h, "ledger|%s|%s|%s|%s", row.Bed, row.Species, row.Season, row.From)
	src := rand.NewPCG(b.a.out.Seed, h.Sum64())
	rng := rand.New(src)
	rate := distuv.Gamma{Alpha: float64(len(weights)) + 0.5, Beta: passed, Src: src}
	ends := make([]float64, paceDraws)
	for i := range ends {
		n := distuv.Poisson{Lambda: rate.Rand() * ahead, Src: src}.Rand()
		end := Kilos(row.ReturnsMg)
		for range int(n) {
			end += weights[rng.IntN(len(weights))]
		}
		ends[i] = end / b.a.out.Rules.ReportedShare
	}
	tail := (1 - b.a.confidence) / 2
	return growth.Interval{Median: survey.Quantile(ends, 0.5), Lo: survey.Quantile(ends, tail), Hi: survey.Quantile(ends, 1-tail)}
}

// Sentence says how a season stands, for those who watch over it.
func (r LedgerRow) Sentence(today survey.Day) string {
	limit := r.LimitKg()
	if math.IsNaN(r.CutKg) || math.IsNaN(limit) {
		return ""
	}
	of := fmt.Sprintf("%s of %s kg %s cut", Kg(r.CutKg), Kg(limit), "is")
	if r.State != SeasonRunning {
		return of + "."
	}
	s := fmt.Sprintf("%s with %d days to go", of, r.To-today)
	if !math.IsNaN(r.Projected.Median) {
		s += fmt.Sprintf("; at this pace %s to %s kg by the end", Kg(r.Projected.Lo), Kg(r.Projected.Hi))
	}
	return s + "."
}
