package offtake

import (
	"math"
	"slices"

	"bedstock/model/internal/quantile"
)

// capFraction is the fraction of the exploitable stock that may be cut at most: the smaller of the rule's and the
// species', and the less the data inform r the nearer to the weak cap, which is the smallest of these, the weak fraction
// and the best fraction of a slow stand, 1 - e^(-r10/2) with r10 the 10 % quantile of r:
//
//	f = (1-w) min(rule, species) + w min(rule, species, weak fraction, 1 - e^(-r10/2)),  w = [weakness]
func capFraction(s Stand, rules Rules) (fraction, weak float64) {
	fraction = rules.MaxFraction
	if s.MaxFraction > 0 {
		fraction = min(fraction, s.MaxFraction)
	}
	if weak = weakness(s, rules); weak > 0 {
		r10 := Quantile(s.R, 0.1)
		fraction += weak * (min(fraction, rules.WeakFraction, -math.Expm1(-r10/2)) - fraction)
	}
	return fraction, weak
}

// capFractionSE is the Monte Carlo standard error of the fraction f of the cap, from that of the ratio q of the spreads of
// log r, which is that of the standard deviation of a large normal sample (a textbook result, from memory):
//
//	SE(f) = (f(q - SE(q)) - f(q + SE(q)))/2,  SE(q) = q/sqrt(2 n)
//
// with n the effective number of the draws.
func capFractionSE(s Stand, rules Rules) float64 {
	q := s.LogRShrink
	se := q * s.wider() / math.Sqrt(2*float64(len(s.B)))
	low, high := s, s
	low.LogRShrink, high.LogRShrink = q+se, q-se
	if weakness(low, rules) == weakness(high, rules) {
		return 0 // far from where the weak cap comes in
	}
	least, _ := capFraction(low, rules)
	most, _ := capFraction(high, rules)
	return (most - least) / 2
}

// weakness is how far the weak cap holds, from 0 to 1: for an annual and where nothing is known of r wholly, else as
// far as the ratio of the spread of log r after and before the data has come from weak_spread - weak_ramp to
// weak_spread. The ratio has a Monte Carlo error of some hundredths, which at a bare bound would let the offtake of one
// stand jump from seed to seed.
func weakness(s Stand, rules Rules) float64 {
	switch d := s.LogRShrink - (rules.WeakSpread - rules.WeakRamp); {
	case s.Annual, !(d < rules.WeakRamp) && s.LogRShrink > rules.WeakSpread, math.IsNaN(d):
		return 1
	case d <= 0:
		return 0
	default:
		return d / rules.WeakRamp
	}
}

// Cap is the most that may be cut whatever the projection says:
//
//	cap = fraction * q,  q = exploitable share * min(stock_quantile of the draws, SurveyQ)
//
// in kg. What stands is what was measured: where little is measured, or much is expected, the draws may lean on the
// species table, and the survey's own lower figure then holds. It panics on a stand or rules that cannot be worked with.
func Cap(s Stand, rules Rules) (kg, fraction, q float64) {
	mustFit(s, rules)
	fraction, _ = capFraction(s, rules)
	q = s.exploitableQ(rules)
	return fraction * q, fraction, q
}

// exploitableQ is the quantile (kg) that the cap and the risk limit are fractions of.
func (s Stand) exploitableQ(rules Rules) float64 {
	q := Quantile(s.B, rules.StockQuantile)
	if s.SurveyQ > 0 {
		q = min(q, s.SurveyQ)
	}
	return s.Exploitable * q
}

// wider is the factor by which the Monte Carlo standard errors of dependent draws exceed those of independent ones.
func (s Stand) wider() float64 {
	if n := float64(len(s.B)); s.ESS > 0 && s.ESS < n {
		return math.Sqrt(n / s.ESS)
	}
	return 1
}

// lowStock is the mean over draws of the share of the way from limit to trigger at which the stock stands, 0-1.
func lowStock(s Stand, rules Rules) float64 {
	sum := 0.0
	for i, b := range s.B {
		sum += lowStockFactor(b/s.K[i], rules.LimitOfK, rules.TriggerOfK)
	}
	return sum / float64(len(s.B))
}

// belowNow is the share of the draws that are below the limit before anything is cut.
func belowNow(s Stand, rules Rules) float64 {
	n := 0
	for i, b := range s.B {
		if b < rules.LimitOfK*s.K[i] {
			n++
		}
	}
	p, _ := probability(n, len(s.B))
	return p
}

// spare is, draw by draw, the largest cut (kg) after which the stand, at the time of the next cut, is where
// it should be: at the stock for most yield if it is there or above it today, else on the way to it. Negative: it will
// not be there even uncut. -Inf: whatever is left standing, or in a draw that storms outrun (G <= 1).
//
// The year map is affine in v = limit/B, so that over the years to the next cut v -> alpha v + beta, and
//
//	cut = B - limit alpha / (limit/m - beta)
//
// reaches exactly the stock m.
func (p *paths) spare(s Stand, rules Rules) []float64 {
	period := float64(p.every)
	storms := math.Log(StormFactor(rules.StormChance, rules.StormSurvival, period))
	p.spared, p.best = sized(p.spared, p.n), sized(p.best, p.n)
	cuts, best := p.spared, p.best
	bestStocks(best, s.R, s.K, period, storms)
	for i, b := range p.b[:p.n] {
		cuts[i] = math.Inf(-1)
		if !(storms+s.R[i]*period > 0) {
			continue
		}
		target := mark(b, best[i], period, rules.RebuildYears)
		alpha, beta := p.untilNextCut(i)
		if room := p.floor[i]/target - beta; room > 0 {
			cuts[i] = b - p.floor[i]*alpha/room
		}
	}
	return cuts
}

// mark is where a stand of b kg should be at the next cut, period years on: at the stock for most yield if it is there or
// above it, else on its way there over the years of rebuilding.
func mark(b, best, period, rebuild float64) float64 {
	pace := 1.0
	if rebuild > period {
		pace = period / rebuild
	}
	return min(best, b+(best-b)*pace)
}

// untilNextCut is the map of draw i from just after a cut to just before the next: v -> alpha v + beta.
func (p *paths) untilNextCut(i int) (alpha, beta float64) {
	alpha = 1
	for y := range p.every {
		keep, gain := p.at(i, y)
		alpha *= keep
		beta = beta*keep + gain
	}
	return alpha, beta
}

// atLeast is the largest number that at least the share p of the numbers reach. It reorders them.
func atLeast(x []float64, p float64) float64 {
	need := int(math.Ceil(p*float64(len(x)) - 1e-9))
	return quantile.Pick(x, len(x)-max(need, 1))
}

// fractionSE is the Monte Carlo standard error of the largest fraction h, relative to it: that of the probability,
// over the slope of the probability near h.
func (p *paths) fractionSE(q, h, risk float64) float64 {
	const step = 0.05
	up := float64(slices.Max(p.below(h*(1+step)*q, h*(1+step))))
	down := float64(slices.Max(p.below(h*(1-step)*q, h*(1-step))))
	slope := (up - down) / float64(p.n) / (2 * step)
	return p.wider * math.Sqrt(risk*(1-risk)/float64(p.n)) / slope
}
