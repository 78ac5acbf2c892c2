package model

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"

	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

const (
	paceReturns = 3    // returns with a weight from which a pace can be told
	paceElapsed = 0.1  // share of the season's open days that must have passed
	paceDraws   = 4000 // futures of a season
)

// pace foretells what will be cut by the end of a running season from the returns so far. Returns come as a Poisson process
// with an unknown rate, and what each brings is drawn from those so far with unknown weights:
//
//	λ ~ Gamma(n + 1/2, d),   p ~ Dirichlet(1, ..., 1),   N ~ Poisson(λ D),   end = (C + Σ of N weights drawn with p) / share
//
// with the n returns above 0 of the d open days that have passed, D open days ahead, C kg cut so far and share the reported
// share, uncertain where reported_cv says so. The gamma is Jeffreys' posterior of the rate, the Dirichlet the Bayesian
// bootstrap. Days on which the stand is closed are no open days, and days after returns_complete_to are ahead: what is
// returned of them so far is only the least that the season ends at. Returns are taken to come one by one; a pace that
// follows the tides, a rush before the end or a quota that is used up is not seen. NaN with a note where fewer than three
// returns or a tenth of the open days are there to tell.
//
// References:
//   - Gelman, A. et al.: Bayesian Data Analysis, 3rd ed. (2013), section 2.6, for the rate
//   - Rubin, D. B.: The Bayesian bootstrap. Annals of Statistics 9 (1981), for the weights
func (b *book) pace(u *Unit, row *LedgerRow, cuts []survey.Cut) {
	row.Projected = growth.Interval{Median: math.NaN(), Lo: math.NaN(), Hi: math.NaN()}
	if row.State != SeasonRunning || row.Shut() {
		return
	}
	until := b.out.On
	if to := b.a.out.Rules.ReturnsCompleteTo; to != survey.NoDay {
		until = min(until, to)
	}
	row.passed, row.ahead = b.openDays(u, row.From, until), b.openDays(u, max(until+1, row.From), row.To)
	for _, c := range cuts {
		if !c.Cast && c.Kg > 0 && c.To <= until {
			row.weights = append(row.weights, c.Kg)
			row.inMg += milligrams(c.Kg)
		}
	}
	if row.PaceNote = b.paceUnknown(row.weights, row.passed, row.ahead); row.PaceNote != "" {
		return
	}
	name := fmt.Sprintf("ledger|%s|%s|%s|%s", row.Bed, row.Species, row.Season, row.From)
	ends := b.ends(name, []future{{row.weights, row.passed, row.ahead}}, row.inMg, row.ReturnsMg)
	row.Projected, row.OverChance = b.summary(ends, row.LimitKg())
}

// paceUnknown says why no pace can be told; empty: it can.
func (b *book) paceUnknown(weights []float64, passed, ahead float64) string {
	switch {
	case !b.a.out.Folder.CutsKnown:
		return "cuts are not known"
	case passed < paceElapsed*(passed+ahead) || passed == 0:
		return "too early to tell a pace"
	case len(weights) < paceReturns:
		return fmt.Sprintf("too few returns to tell a pace: %d of %d", len(weights), paceReturns)
	}
	return ""
}

// openDays counts the days from one to another, both included, on which a stand is not closed.
func (b *book) openDays(u *Unit, from, to survey.Day) float64 {
	n, closures := 0, b.a.closures(u)
	for day := from; day <= to; day++ {
		if !slices.ContainsFunc(closures, func(c survey.Closure) bool { return c.From <= day && day <= c.To }) {
			n++
		}
	}
	return float64(n)
}

// future is what tells how much more of a stand is cut.
type future struct {
	weights       []float64 // kg of each return so far
	passed, ahead float64   // open days
}

// ends draws what the season ends at, kg: the returns that are in (mg) and the futures of the stands, at least all returns
// there are (mg), over the reported share.
func (b *book) ends(name string, futures []future, in, least int64) []float64 {
	h := fnv.New64a()
	h.Write([]byte(name))
	src := rand.NewPCG(b.a.out.Seed, h.Sum64())
	if b.factors == nil {
		b.factors = b.a.out.reportedFactors(paceDraws)
	}
	out := make([]float64, paceDraws)
	for i := range out {
		out[i] = Kilos(in)
	}
	for _, f := range futures {
		f.add(out, src)
	}
	for i := range out {
		out[i] = math.Max(out[i], Kilos(least)) * b.factors[i]
	}
	return out
}

// add draws the returns ahead into each of the ends. Without a return so far none is drawn.
func (f future) add(ends []float64, src rand.Source) {
	if len(f.weights) == 0 || f.ahead == 0 || f.passed == 0 {
		return
	}
	rng := rand.New(src)
	rate := distuv.Gamma{Alpha: float64(len(f.weights)) + 0.5, Beta: f.passed, Src: src}
	p := make([]float64, len(f.weights))
	for i := range ends {
		n := int(distuv.Poisson{Lambda: rate.Rand() * f.ahead, Src: src}.Rand())
		sum := 0.0
		for j := range p {
			sum += rng.ExpFloat64()
			p[j] = sum
		}
		for range n {
			j := sort.SearchFloat64s(p, sum*rng.Float64())
			ends[i] += f.weights[min(j, len(p)-1)]
		}
	}
}

// summary is the interval of what a season ends at, and the chance that it is above what may be cut; NaN where that is not
// known.
func (b *book) summary(ends []float64, limit float64) (growth.Interval, float64) {
	over := math.NaN()
	if !math.IsNaN(limit) {
		n := 0
		for _, x := range ends {
			if x > limit*(1+1e-9) {
				n++
			}
		}
		over = float64(n) / float64(len(ends))
	}
	tail := (1 - b.a.confidence) / 2
	return growth.Interval{Median: offtake.Quantile(ends, 0.5), Lo: offtake.Quantile(ends, tail), Hi: offtake.Quantile(ends, 1-tail)}, over
}
