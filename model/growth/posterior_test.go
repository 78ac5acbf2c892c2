package growth

import (
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSampleShape(t *testing.T) {
	s, prior, season, plots, set := fiveSurveys()
	set.Draws = 2000
	p := Sample(s, prior, season, plots, set)
	require.Equal(t, "ok", p.Status, p.Reason)
	assert.Equal(t, []string{"r", "K", "sigma", "B0", "B1", "B2", "B3", "B4"}, p.Draws.Names)
	assert.Equal(t, 2000, p.Draws.Len())
	assert.Equal(t, 4, p.Draws.Chains)
	assert.Len(t, p.Draws.X, 2000*8)
	assert.LessOrEqual(t, p.RHat, 1.01)
	assert.GreaterOrEqual(t, p.ESS, 400.0)
	assert.Less(t, p.R.Lo, p.R.Median)
	assert.Less(t, p.R.Median, p.R.Hi)
	for _, v := range p.Draws.X {
		require.True(t, v > 0 && !math.IsInf(v, 0))
	}
	set.Draws = 1002 // three chains divide it
	p = Sample(s, prior, season, plots, set)
	assert.Equal(t, 1002, p.Draws.Len())
	assert.Equal(t, 3, p.Draws.Chains)
}

func TestSampleSameOnAnyCores(t *testing.T) {
	s, prior, season, plots, set := fiveSurveys()
	before := runtime.GOMAXPROCS(1)
	one := Sample(s, prior, season, plots, set)
	runtime.GOMAXPROCS(2)
	two := Sample(s, prior, season, plots, set)
	runtime.GOMAXPROCS(before)
	assert.Equal(t, one, two)
	set.Seed++
	assert.NotEqual(t, one.Draws.X[0], Sample(s, prior, season, plots, set).Draws.X[0])
	set.Seed--
	set.Stream = "another"
	assert.NotEqual(t, one.Draws.X[0], Sample(s, prior, season, plots, set).Draws.X[0])
}

// With one survey that says next to nothing the posterior is the prior.
func TestVagueSurveyLeavesThePrior(t *testing.T) {
	s, prior, season, plots, set := fiveSurveys()
	s.Surveys = s.Surveys[:1]
	s.Surveys[0].CV, s.Surveys[0].PSU, s.Surveys[0].Shared = 1e6, 0, nil
	h, _, _ := newHold(prior, plots, season, set)
	g, _, _ := build(s, &h, season, set.withDefaults(), nil)
	// The sd of the log is 5.3, against a prior's of 0.8; the estimate is put where the prior expects it.
	tau := g.obs[0].tau
	s.Surveys[0].Kg = math.Exp(g.logK.mean + math.Log(0.6) - tau*tau/2)
	set.Draws = 16000
	p := Sample(s, prior, season, plots, set)
	require.Equal(t, "ok", p.Status, p.Reason)
	x := logDraws(p)
	for j, want := range []normal{g.logR, g.logK, {0, 0}, {g.logK.mean + math.Log(0.6), math.Hypot(g.logK.sd, 0.6)}} {
		if j == 2 {
			continue
		}
		m, v := meanVariance(x[j])
		tol := 4 * want.sd / math.Sqrt(p.ESS)
		approx(t, p.Draws.Names[j]+" mean", m, want.mean, 0, tol)
		approx(t, p.Draws.Names[j]+" sd", math.Sqrt(v), want.sd, 0, tol)
	}
	m, v := meanVariance(x[2]) // half-normal: mean s sqrt(2/π), rms s
	approx(t, "sigma mean", m, 0.3*math.Sqrt(2/math.Pi), 0, 4*0.18/math.Sqrt(p.ESS))
	approx(t, "sigma rms", math.Sqrt(m*m+v), 0.3, 0, 4*0.3/math.Sqrt(p.ESS))
	plotsLeave := g.logR.sd / math.Hypot(logSD(prior.RCV), set.SigmaR) // of the table's sd
	assert.Less(t, plotsLeave, 0.95)
	approx(t, "shrink", p.LogRShrink, plotsLeave, 0, 4/math.Sqrt(p.ESS))
	approx(t, "median r", p.R.Median, p.PriorR.Median, 0.08, 0)
	approx(t, "lower r", p.R.Lo, p.PriorR.Lo, 0.12, 0)
	approx(t, "upper K", p.K.Hi, p.PriorK.Hi, 0.12, 0)
	assert.Contains(t, p.Warnings, "one survey found it: r and K are little more than what was held before it")
}

func TestCutsNotKnown(t *testing.T) {
	s, prior, season, plots, set := fiveSurveys()
	s.CutsKnown = false
	set.Draws = 8000
	p := Sample(s, prior, season, plots, set)
	require.Equal(t, "ok", p.Status, p.Reason)
	h, _, _ := newHold(prior, plots, season, set)
	after := h.bedR().normal()
	approx(t, "shrink", p.LogRShrink, after.sd/math.Hypot(logSD(prior.RCV), set.SigmaR), 0, 0.08)
	approx(t, "r", p.R.Median, p.PriorR.Median, 0.06, 0)
	stock := p.Draws.Col("B4")
	assert.InDelta(t, math.Log(38000), math.Log(summary(stock, 0.95).Median), 0.15)
	assert.Contains(t, p.Warnings, "cuts are not known: the surveys tell the stock, and r stays as held before them")
	// Cuts of any size are then of no account.
	s.Cuts = []Pulse{{T: 50.6, Kg: 1e9}}
	assert.Equal(t, p.Draws.X, Sample(s, prior, season, plots, set).Draws.X)
}

// Many sharp surveys of a stand that grows as the map says tell r.
func TestSurveysTellR(t *testing.T) {
	_, prior, season, _, set := fiveSurveys()
	const r, K = 0.9, 60000.0
	s := Series{Area: 10000, Occ: 0.7, CutsKnown: true}
	B := 40000.0
	for i := range 8 {
		T := 50.4 + float64(i)
		s.Surveys = append(s.Surveys, Observation{T: T, Kg: B, CV: 0.06, DF: 20})
		cut := Pulse{T: T + 0.2, Kg: []float64{25000, 2000}[i%2]}
		s.Cuts = append(s.Cuts, cut)
		B = Advance(B, T, T+1, r, K, season, s.Cuts, nil)
	}
	set.StormChance = 0
	p := Sample(s, prior, season, nil, set)
	require.Equal(t, "ok", p.Status, p.Reason)
	assert.Less(t, p.LogRShrink, 0.5)
	approx(t, "r", p.R.Median, r, 0.12, 0)
	approx(t, "K", p.K.Median, K, 0.12, 0)
	// A reported share of a half doubles the cuts, which asks for more growth.
	set.ReportedShare = 0.6
	assert.Greater(t, Sample(s, prior, season, nil, set).R.Median, 1.2*p.R.Median)
}

func TestNotEstimable(t *testing.T) {
	s, prior, season, plots, set := fiveSurveys()
	base := s.Surveys
	for reason, change := range map[string]func(*Series, *Prior){
		"no survey": func(s *Series, _ *Prior) { s.Surveys = nil },
		"no survey gives a stock with a standard error": func(s *Series, _ *Prior) {
			for i := range s.Surveys {
				s.Surveys[i].DF = 0
			}
		},
		"no survey found it": func(s *Series, _ *Prior) {
			for i := range s.Surveys {
				s.Surveys[i].Kg = 0
			}
		},
		"no prior for r of this species":                   func(_ *Series, p *Prior) { p.R = math.NaN() },
		"no prior for K of this species":                   func(_ *Series, p *Prior) { p.K = 0 },
		"the area where the species can grow is not known": func(s *Series, _ *Prior) { s.Occ = 0 },
		"the recorded cuts are larger than any stock that growth and surveys allow": func(s *Series, _ *Prior) {
			s.Cuts = []Pulse{{T: 50.6, Kg: 1e300}}
		},
	} {
		one, p := s, prior
		one.Surveys = append([]Observation(nil), base...)
		change(&one, &p)
		got := Sample(one, p, season, plots, set)
		assert.Equal(t, "not estimable", got.Status)
		assert.Equal(t, reason, got.Reason)
		assert.Zero(t, got.Draws.Len())
		assert.True(t, math.IsNaN(got.RHat) && math.IsNaN(got.ESS))
	}
}

// A survey without a standard error has a state but no say; one that found none needs a density.
func TestUnusableSurveys(t *testing.T) {
	s, prior, season, plots, set := fiveSurveys()
	s.Surveys[2].CV = math.NaN()
	s.Surveys[3].Kg = 0
	for i := range s.Surveys {
		s.Surveys[i].Dense = math.NaN()
	}
	p := Sample(s, prior, season, plots, set)
	require.Equal(t, "ok", p.Status, p.Reason)
	assert.Len(t, p.Draws.Names, 8)
	assert.Len(t, p.Warnings, 2)
}

// Two steps a chain cannot converge, and that is said.
func TestNotConverged(t *testing.T) {
	s, prior, season, plots, set := fiveSurveys()
	set.Draws = 40
	p := sample(s, prior, season, plots, set, effort{warmUp: []int{5}, points: 40, attempts: 2})
	assert.Equal(t, "not converged", p.Status)
	assert.Regexp(t, `^R-hat \d+\.\d{3} \(at most 1\.01\), effective draws \d+ \(at least 400\)$`, p.Reason)
	assert.Equal(t, 40, p.Draws.Len())
}

// Series of any kind, possible or not, give positive draws or a reason.
func TestSampleOddSeries(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	pick := func(from ...float64) float64 { return from[rng.IntN(len(from))] }
	seen := map[string]int{}
	for n := range 150 {
		s := Series{Area: pick(1, 1e3, 1e6), Occ: pick(0.01, 0.5, 1), CutsKnown: rng.IntN(5) > 0}
		T := 50.0
		for range 1 + rng.IntN(5) {
			s.Surveys = append(s.Surveys, Observation{T: T, Kg: s.Area * pick(0, 1e-6, 0.5, 3, 8, 1e4),
				CV: pick(0, 0.02, 0.2, 0.5, 3, math.NaN()), DF: pick(1, 5, 1e6, math.Inf(1)), PSU: rng.IntN(20),
				Dense: pick(0, 1, 8, math.NaN()), Shared: []Shared{{"a", pick(0, 0.1, 1)}, {pick3(rng), 0.2}}})
			s.Cuts = append(s.Cuts, Pulse{T + rng.Float64(), s.Area * pick(0, 0.1, 1, 5)})
			s.Events = append(s.Events, Storm{T + rng.Float64(), pick(math.NaN(), 0.01, 0.5, 1)})
			T += pick(0, 0.01, 1, 3, 20)
		}
		set := Settings{Seed: uint64(n), Draws: 40, StormChance: pick(0, 0.1, 5), StormSurvival: pick(0.01, 0.7, 1),
			SigmaProcess: pick(1e-3, 0.3, 3), SigmaR: pick(0, 0.3), SigmaK: pick(0, 0.5)}
		prior := Prior{R: pick(0.01, 0.5, 10), RCV: pick(0, 0.3, 3), K: pick(0.1, 8), KCV: pick(0, 0.4, 3)}
		p := sample(s, prior, Season{pick(0, 0.5, 1), 0.3}, nil, set, effort{warmUp: []int{20, 20}, points: 80, attempts: 1})
		seen[p.Status]++
		if p.Status == "not estimable" {
			assert.NotEmpty(t, p.Reason)
			continue
		}
		for _, v := range p.Draws.X {
			if !(v > 0) || math.IsInf(v, 0) {
				t.Fatalf("series %d: a draw of %v", n, v)
			}
		}
	}
	assert.Greater(t, seen["not estimable"], 5)
	assert.Greater(t, seen["not converged"], 50)
}

func pick3(rng *rand.Rand) string { return []string{"x", "y", "z"}[rng.IntN(3)] }

func TestSamplePanics(t *testing.T) {
	s, prior, season, plots, set := fiveSurveys()
	assert.Panics(t, func() { bad := set; bad.ReportedShare = 2; Sample(s, prior, season, plots, bad) })
	assert.Panics(t, func() { bad := set; bad.Chains = -1; Sample(s, prior, season, plots, bad) })
	s.Surveys[0].T = 60
	assert.Panics(t, func() { Sample(s, prior, season, plots, set) })
}
