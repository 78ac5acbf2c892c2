package offtake

import (
	"fmt"
	"math"
	"slices"
)

// Choice is what one way of cutting leads to, for the table from which people choose.
type Choice struct {
	Fraction     float64 // of the exploitable stock, at this and every later cut
	Kg           float64 // this year: Fraction of the stock_quantile of the exploitable stock
	Risk, RiskSE float64 // highest yearly probability below the limit over the horizon, Monte Carlo standard error
	RiskEver     float64 // probability of being below at least once
	NextMedian   float64 // kg standing a year on
	NextLo       float64 // its interval of the rules' level
	NextHi       float64
	YieldPerYear float64 // kg a year over the horizon, median
}

// Choices follows the stand under each of the fractions, all under the same chances. For an annual only Fraction and Kg
// are to be had, the others are NaN. It panics on a stand or rules that cannot be worked with and on a fraction outside
// 0-1.
func Choices(s Stand, rules Rules, fractions []float64) []Choice {
	f := NewFutures(s, rules)
	defer f.Free()
	return f.Choices(fractions)
}

// Choices are those of [Choices].
func (f *Futures) Choices(fractions []float64) []Choice {
	f.mu.Lock()
	defer f.mu.Unlock()
	q := f.s.exploitableQ(f.rules)
	find := func(h float64) int {
		return slices.IndexFunc(f.choices, func(c Choice) bool { return c.Fraction == h })
	}
	var plans []Plan
	first := len(f.choices)
	for _, h := range fractions {
		mustFraction(h)
		if find(h) < 0 {
			nan := math.NaN()
			f.choices = append(f.choices, Choice{h, h * q, nan, nan, nan, nan, nan, nan, nan})
			plans = append(plans, Plan{h * q, h})
		}
	}
	for i, o := range f.looks(plans, 0) {
		c := &f.choices[first+i]
		c.Risk, c.RiskSE, c.RiskEver = o.risk, o.se, o.ever
		c.NextMedian, c.NextLo, c.NextHi = o.stockNext(f.rules.Level)
		c.YieldPerYear = o.yield()
	}
	out := make([]Choice, len(fractions))
	for i, h := range fractions {
		out[i] = f.choices[find(h)]
	}
	return out
}

// Choice is what following the advice leads to, as one of the [Choices].
func (a Advice) Choice() Choice {
	return Choice{a.TakenFraction(), a.AdvisedKg, a.Risk, a.RiskSE, a.RiskEver, a.NextMedian, a.NextLo, a.NextHi, a.YieldPerYear}
}

func mustFraction(h float64) {
	if !(h >= 0 && h <= 1) {
		panic(fmt.Sprintf("offtake: fraction %g is not from 0 to 1", h))
	}
}

// RecoveryCurve is the growth (kg) within a year from each stock of the grid (kg) left standing: the median over the
// draws of r (per year) and k (kg), and the interval that holds the share level of them.
//
//	recovery = 1/( e^-r/S + (1 - e^-r)/k ) - S
//
// It is 0 at S = 0, and negative above k. It panics unless r and k are as many and not none, and level is in (0, 1).
func RecoveryCurve(r, k, grid []float64, level float64) (median, lo, hi []float64) {
	if len(r) != len(k) || len(r) == 0 {
		panic(fmt.Sprintf("offtake: %d and %d draws of r and K", len(r), len(k)))
	}
	if !(level > 0 && level < 1) {
		panic(fmt.Sprintf("offtake: level %g is not between 0 and 1", level))
	}
	decay := make([]float64, len(r))
	for i := range r {
		decay[i] = math.Exp(-r[i])
	}
	median, lo, hi = make([]float64, len(grid)), make([]float64, len(grid)), make([]float64, len(grid))
	gains := make([]float64, len(r))
	for j, s := range grid {
		for i := range r {
			gains[i] = grow(s, k[i], decay[i]) - s
		}
		x := spanOf(gains, level)
		median[j], lo[j], hi[j] = x.Median, x.Lo, x.Hi
	}
	return median, lo, hi
}
