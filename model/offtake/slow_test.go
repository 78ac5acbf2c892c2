package offtake

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// slowly follows every draw of a stand by the plain yearly map of its stock in kg, one year after the other: cut, grow,
// noise, storm. It shares nothing with the projection: not the variable, not the chances, not the order of the loops.
// A first cut of kg is the same in all draws, a later one the fraction h of the exploitable stock as a survey with its
// error finds it.
func slowly(rng *rand.Rand, s Stand, rules Rules, kg, h float64) (below []float64, ever, next, cut float64) {
	n := float64(len(s.B))
	below = make([]float64, rules.Horizon)
	for i, stock := range s.B {
		once := false
		for year := range rules.Horizon {
			take := 0.0
			switch {
			case year == 0:
				take = kg
			case year%(1+rules.RestYears) == 0:
				take = h * s.Exploitable * stock * math.Exp(s.SurveyCV*rng.NormFloat64())
			}
			take = math.Min(take, stock)
			cut += take / float64(rules.Horizon) / n
			stock -= take
			stock = s.K[i] * stock * math.Exp(s.R[i]) / (s.K[i] + stock*(math.Exp(s.R[i])-1))
			stock *= math.Exp(s.Sigma[i] * rng.NormFloat64())
			if rng.Float64() < rules.StormChance {
				stock *= rules.StormSurvival
			}
			if stock < rules.LimitOfK*s.K[i] {
				below[year] += 1 / n
				once = true
			}
			if year == 0 {
				next += stock / n
			}
		}
		if once {
			ever += 1 / n
		}
	}
	return below, ever, next, cut
}

// randomCase is a stand with rules from all over what is met, and a way to cut it.
func randomCase(rng *rand.Rand, n int) (s Stand, rules Rules, kg, h float64) {
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	rules = DefaultRules()
	rules.Horizon = 3 + rng.IntN(10)
	rules.RestYears = rng.IntN(3)
	rules.StormChance, rules.StormSurvival = between(0, 0.4), between(0.4, 1)
	rules.LimitOfK = between(0.1, 0.3)
	s = Stand{R: lognormals(rng, n, between(0.1, 1.5), between(0, 0.5)), K: lognormals(rng, n, 1000, between(0, 0.3)),
		B: lognormals(rng, n, between(200, 1000), between(0, 0.4)), Sigma: lognormals(rng, n, between(0.02, 0.35), 0.2),
		Exploitable: between(0.2, 1), LogRShrink: 0.3, Seed: rng.Uint64(), Stream: "fast"}
	if rng.IntN(3) > 0 {
		s.SurveyCV = between(0.05, 0.6)
	}
	h = between(0, 0.7)
	return s, rules, h * s.Exploitable * between(100, 600), h
}

// Fast and slow are two samples of as many futures of the same draws, so that a share of them differs by at most four
// times sqrt(2 p (1-p)/n); the draws being the same makes it less. Beyond that 3/n allows for shares of a few futures.
// Some 400 shares are compared. Means are compared
// by four times the standard error of their difference.
func TestAgainstSlowSimulation(t *testing.T) {
	const n = 4000
	rng := rand.New(rand.NewPCG(2024, 6))
	for c := range 50 {
		s, rules, kg, h := randomCase(rng, n)
		below, ever, next, cut := slowly(rng, s, rules, kg, h)
		p := newPaths(s, rules)
		name := fmt.Sprintf("case %d (rest %d, survey CV %.2f)", c, rules.RestYears, s.SurveyCV)
		allowed := func(share float64) float64 { return 4*math.Sqrt(2*share*(1-share)/n) + 3.0/n }
		for y, count := range p.below(kg, h) {
			approx(t, fmt.Sprintf("%s below the limit after year %d", name, y+1), float64(count)/n, below[y], 0, allowed(below[y]))
		}
		o := p.look(kg, h)
		approx(t, name+" below at least once", o.ever, ever, 0, allowed(ever))
		m, se := meanOf(o.stock[0])
		approx(t, name+" mean stock next year", m, next, 0, 4*math.Sqrt2*se)
		m, se = meanOf(o.taken)
		approx(t, name+" mean yield", m/o.years, cut, 1e-12, 4*math.Sqrt2*se/o.years)
	}
}

// meanOf numbers, with its standard error.
func meanOf(x []float64) (mean, se float64) {
	n := float64(len(x))
	var sum, sum2 float64
	for _, v := range x {
		sum += v
		sum2 += v * v
	}
	mean = sum / n
	return mean, math.Sqrt(math.Max(sum2/n-mean*mean, 0) / n)
}
