package offtake

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// scenario is a row of testdata/projection.csv, by the names of its columns.
type scenario struct {
	name string
	x    map[string]float64
}

func scenarios(t *testing.T) []scenario {
	t.Helper()
	f, err := os.Open("testdata/projection.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var all []scenario
	for _, row := range rows[1:] {
		s := scenario{row[0], map[string]float64{}}
		for j := 1; j < len(row); j++ {
			s.x[rows[0][j]], err = strconv.ParseFloat(row[j], 64)
			require.NoError(t, err)
		}
		all = append(all, s)
	}
	require.NotEmpty(t, all)
	return all
}

func (c scenario) stand(n int) (Stand, Rules) {
	rng := rand.New(rand.NewPCG(11, 3))
	rules := DefaultRules()
	rules.StormChance, rules.StormSurvival = c.x["storm_chance"], c.x["storm_survival"]
	rules.RestYears = int(c.x["rest_years"])
	return Stand{R: lognormals(rng, n, c.x["r"], c.x["r_sd"]), K: lognormals(rng, n, c.x["k"], c.x["k_sd"]),
		B: lognormals(rng, n, c.x["b"], c.x["b_sd"]), Sigma: repeated(n, c.x["sigma"]), LogRShrink: 0.3,
		Exploitable: c.x["exploitable"], SurveyCV: c.x["survey_cv"], Seed: 5, Stream: c.name}, rules
}

// Source: testdata/projection.py, an independent simulation of 400 000 futures. The tolerances are five Monte Carlo
// standard errors of 20 000 futures: 5 sqrt(p(1-p)/n) for probabilities, 1 % for medians of spread 0.2-0.3, and for the
// largest fraction the error of the 5 % risk over its slope, 2 %; 4 % where the draws of r are wide and it is flat.
func TestAgainstIndependentSimulation(t *testing.T) {
	const n = 20000
	for _, c := range scenarios(t) {
		s, rules := c.stand(n)
		got := Choices(s, rules, []float64{c.x["h"]})[0]
		se5 := func(p float64) float64 { return 5 * math.Sqrt(p*(1-p)/n) }
		approx(t, c.name+" risk", got.Risk, c.x["risk"], 0, se5(c.x["risk"]))
		approx(t, c.name+" ever", got.RiskEver, c.x["risk_ever"], 0, se5(c.x["risk_ever"]))
		approx(t, c.name+" next", got.NextMedian, c.x["next_median"], 0.012, 0)
		approx(t, c.name+" yield", got.YieldPerYear, c.x["yield"], 0.012, 0)
		a := Advise(s, rules)
		approx(t, c.name+" largest fraction", a.RiskFraction, c.x["largest_h"], 0.04, 0)
		approx(t, c.name+" replacement", a.ReplacementKg, c.x["replacement_kg"], 0.03, 0)
	}
}

// Fractions computed beforehand by another simulation, three digits: r, K and the stock lognormal about 0.4 or 0.8, 1
// and 0.7, with cv 0.2 of stock and K, noise 0.2, storms 0.1 at 0.7, 10 years, limit 0.2 K, 5 %. 0.01 allows for its
// Monte Carlo error and ours, and for its first cut having been a fraction of the median stock; three streams of ours
// must all meet it.
func TestWhatTheRuleGives(t *testing.T) {
	const n = 20000
	for _, w := range []struct{ r, cv, h float64 }{
		{0.4, 0.15, 0.187}, {0.4, 0.3, 0.166}, {0.4, 0.5, 0.140},
		{0.8, 0.15, 0.376}, {0.8, 0.3, 0.323}, {0.8, 0.5, 0.263},
	} {
		for seed := range uint64(3) {
			s := someStand(n)
			s.R = lognormals(rand.New(rand.NewPCG(9, seed)), n, w.r, logSD(w.cv))
			s.Seed = 100 + seed
			a := Advise(s, DefaultRules())
			approx(t, fmt.Sprintf("r %g cv %g seed %d", w.r, w.cv, s.Seed), a.RiskFraction, w.h, 0, 0.01)
		}
	}
}

// Without chance a stand follows the closed forms.
func TestProjectionWithoutChance(t *testing.T) {
	s, rules := sureStand(7, 0.5, 1000, 600)
	rules.Horizon = 60
	fan := Fan(s, rules, 0.25*600, 0.25)
	b := 600.0
	for y, f := range fan {
		approx(t, fmt.Sprint("year ", y), f.Median, b, 1e-12, 0)
		assert.Equal(t, f.Lo, f.Hi)
		b = grow(0.75*b, 1000, math.Exp(-0.5))
	}
	approx(t, "settles", fan[60].Median, FixedFraction(0.5, 1000, 1, 1, 0.25), 1e-6, 0)

	rules.RestYears = 2
	rules.Horizon = 150
	h := Pulse(0.5, 1000, 3, 1).Fraction
	fan = Fan(s, rules, h*600, h)
	approx(t, "settles with rest", fan[150].Median, Pulse(0.5, 1000, 3, 1).Best, 1e-6, 0)
}

// The counting loops and the one that follows each draw do the same sums.
func TestCountsAgreeWithFollowing(t *testing.T) {
	for _, cv := range []float64{0, 0.5} {
		for _, rest := range []int{0, 2} {
			s, rules := someStand(1003), DefaultRules()
			s.SurveyCV, s.Exploitable, rules.RestYears, rules.Horizon = cv, 0.8, rest, 10+25*rest
			p := newPaths(s, rules)
			for _, h := range []float64{0, 0.2, 0.5, 0.9, 1} {
				worst := slices.Max(p.below(h*600, h))
				o := p.look(h*600, h)
				want, _ := probability(worst, 1003)
				assert.Equal(t, want, o.risk, "cv %g rest %d h %g", cv, rest, h)
				assert.GreaterOrEqual(t, o.ever, o.risk)
			}
		}
	}
}

func TestEmptyBedIsBelowForEver(t *testing.T) {
	s, rules := sureStand(9, 1.5, 1000, 500)
	p := newPaths(s, rules)
	assert.Equal(t, repeatedInt(rules.Horizon, 9), p.below(500, 0), "all that stands is cut")
	assert.Equal(t, repeatedInt(rules.Horizon, 9), p.below(800, 0), "more than stands is cut")
	assert.Equal(t, repeatedInt(rules.Horizon, 0), p.below(100, 0))
	counts := p.below(100, 1) // all of it at the second cut
	assert.Equal(t, append([]int{0}, repeatedInt(rules.Horizon-1, 9)...), counts)
	for _, f := range Fan(s, rules, 800, 0.1)[1:] {
		assert.Zero(t, f.Hi)
	}
	s.SurveyCV = 0.3
	counts = newPaths(s, rules).below(100, 1)
	assert.Less(t, counts[1], 10)
	assert.IsNonDecreasing(t, counts)
}

func repeatedInt(n, x int) []int {
	y := make([]int, n)
	for i := range y {
		y[i] = x
	}
	return y
}

// One step of one draw in the search for the largest fraction.
func BenchmarkStep(b *testing.B) {
	for _, cv := range []float64{0, 0.3} {
		b.Run(fmt.Sprintf("surveyCV=%g", cv), func(b *testing.B) {
			s, rules := someStand(4000), DefaultRules()
			s.SurveyCV = cv
			p := newPaths(s, rules)
			b.ReportAllocs()
			for b.Loop() {
				p.below(100, 0.18)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(p.n*p.years), "ns/step-draw")
		})
	}
}

// The advice for one stand, and for 60 on all cores: 4000 draws, 10 years.
func BenchmarkAdvise(b *testing.B) {
	s, rules := someStand(4000), DefaultRules()
	s.SurveyCV = 0.2
	b.Run("one", func(b *testing.B) {
		for b.Loop() {
			Advise(s, rules)
		}
	})
	b.Run("sixty", func(b *testing.B) {
		for b.Loop() {
			var next atomic.Int64
			var wg sync.WaitGroup
			for range runtime.GOMAXPROCS(0) {
				wg.Go(func() {
					for next.Add(1) <= 60 {
						Advise(s, rules)
					}
				})
			}
			wg.Wait()
		}
		b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s/60")
	})
}
