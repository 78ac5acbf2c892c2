package offtake

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

func TestCapFraction(t *testing.T) {
	s, rules := sureStand(10, 0.4, 1000, 700)
	for _, w := range []struct {
		name     string
		change   func()
		fraction float64
		weak     float64
	}{
		{"rule", func() {}, 0.33, 0},
		{"species", func() { s.MaxFraction = 0.17 }, 0.17, 0},
		{"informed just enough", func() { s.LogRShrink = 0.6 }, 0.17, 0},
		{"a quarter of the way", func() { s.LogRShrink = 0.625 }, 0.165, 0.25},
		{"no ramp", func() { rules.WeakRamp, s.LogRShrink = 0, 0.7 }, 0.17, 0},
		{"no ramp, above", func() { s.LogRShrink = 0.7001 }, 0.15, 1},
		{"all of the way", func() { rules.WeakRamp, s.LogRShrink = 0.1, 0.7 }, 0.15, 1},
		{"hardly informed", func() { s.LogRShrink = 0.71 }, 0.15, 1},
		{"not known", func() { s.LogRShrink = math.NaN() }, 0.15, 1},
		{"slow and hardly informed", func() { s.R = repeated(10, 0.2) }, 1 - math.Exp(-0.1), 1},
		{"annual", func() { s.LogRShrink, s.Annual, s.R = 0.1, true, repeated(10, 2) }, 0.15, 1},
		{"species below the weak fraction", func() { s.MaxFraction = 0.05 }, 0.05, 1},
	} {
		w.change()
		f, weak := capFraction(s, rules)
		approx(t, w.name, f, w.fraction, 1e-13, 0)
		approx(t, w.name, weak, w.weak, 1e-13, 0)
	}
}

func TestCapTakesTheQuantile(t *testing.T) {
	s, rules := sureStand(6, 0.4, 1000, 0)
	s.B = []float64{50, 10, 40, 20, 30, 60}
	s.Exploitable = 0.5
	kg, f, q := Cap(s, rules)
	approx(t, "20 % quantile of the exploitable stock", q, 10, 1e-14, 0) // type 7 of 10..60: at position 1
	approx(t, "kg", kg, 0.33*10, 1e-14, 0)
	approx(t, "fraction", f, 0.33, 0, 0)
	assert.Equal(t, []float64{50, 10, 40, 20, 30, 60}, s.B, "left as it was")
}

// With nothing uncertain, a stand at its best stock can give its best yield and no more.
func TestReplacementWithoutChance(t *testing.T) {
	for _, rest := range []int{0, 3} {
		ref := Pulse(0.5, 1000, float64(rest+1), 1)
		s, rules := sureStand(5, 0.5, 1000, ref.Best)
		rules.RestYears = rest
		approx(t, "at the best stock", Advise(s, rules).ReplacementKg, ref.Yield, 1e-9, 0)
		s.B = repeated(5, 900)
		approx(t, "above it down to S*", Advise(s, rules).ReplacementKg, 900-ref.Left, 1e-9, 0)

		thin, pace := 300.0, float64(rest+1)/rules.RebuildYears
		s.B = repeated(5, thin)
		kg := Advise(s, rules).ReplacementKg
		end := thin - kg
		for range rest + 1 {
			end = grow(end, 1000, math.Exp(-0.5))
		}
		approx(t, "a thin one gains", end, thin+(ref.Best-thin)*pace, 1e-9, 0)
	}
}

// What is found in closed form holds when the stand is followed year by year.
func TestReplacementHoldsWithItsProbability(t *testing.T) {
	for _, prob := range []float64{0.5, 0.8} {
		s, rules := someStand(1500), DefaultRules()
		rules.RestYears, rules.ReplacementProbability = 1, prob
		p := newPaths(s, rules)
		share := func(kg float64) float64 {
			met := 0
			for i, b := range s.B {
				best := Pulse(s.R[i], s.K[i], 2, StormFactor(0.1, 0.7, 2)).Best
				target := best
				if b < best {
					target = b + (best-b)*2/rules.RebuildYears
				}
				left := max(b-kg, 0)
				for y := range 2 {
					keep, _ := p.at(i, y)
					left = grow(left, s.K[i], math.Exp(-s.R[i])) * math.Exp(-s.R[i]) / keep
				}
				if left >= target*(1-1e-12) {
					met++
				}
			}
			return float64(met) / 1500
		}
		kg := Advise(s, rules).ReplacementKg
		assert.GreaterOrEqual(t, share(kg), prob)
		assert.Less(t, share(kg*1.001+0.5), prob)
	}
}

func TestReplacementOfAStandThatStormsOutrun(t *testing.T) {
	s, rules := sureStand(5, 0.05, 1000, 900)
	rules.StormChance, rules.StormSurvival = 0.3, 0.5
	a := Advise(s, rules)
	assert.Zero(t, a.ReplacementKg)
	assert.Zero(t, a.AdvisedKg)
	assert.Contains(t, a.Warnings[1], "even if nothing is cut")
}

func TestAtLeast(t *testing.T) {
	x := []float64{4, 1, 3, 2}
	for _, w := range []struct{ p, want float64 }{{0.25, 4}, {0.5, 3}, {0.51, 2}, {0.75, 2}, {0.99, 1}, {0.01, 4}} {
		assert.Equal(t, w.want, atLeast(slices.Clone(x), w.p), "%g", w.p)
	}
}

func TestLargestFractionIsTheEdge(t *testing.T) {
	s, rules := someStand(4000), DefaultRules()
	s.SurveyCV = 0.2
	p := newPaths(s, rules)
	h, ok := p.largestFraction(600, 0.05)
	assert.True(t, ok)
	assert.LessOrEqual(t, slices.Max(p.below(h*600, h)), 200)
	h += 1.0 / steps
	assert.Greater(t, slices.Max(p.below(h*600, h)), 200)

	_, ok = p.largestFraction(600, 0.0001)
	assert.False(t, ok, "broken without a cut")
	h, ok = p.largestFraction(0, 0.05)
	assert.True(t, ok)
	assert.Greater(t, h, 0.1, "nothing is cut at first, later ones count")
	h, _ = p.largestFraction(600, 1)
	assert.Equal(t, 1.0, h)
}

// Repeating an advice with other chances scatters as its standard error says: 200 repeats give the spread to 5 %, and
// the slope of a coarse count adds as much again.
func TestFractionSE(t *testing.T) {
	var sum, sum2, se float64
	const m = 200
	for i := range m {
		s, rules := someStand(800), DefaultRules()
		s.Seed = uint64(i)
		rng := rand.New(stream(s.Seed, "draws"))
		s.R, s.K, s.B = lognormals(rng, 800, 0.4, 0.3), lognormals(rng, 800, 1000, 0.2), lognormals(rng, 800, 700, 0.2)
		p := newPaths(s, rules)
		h, ok := p.largestFraction(600, 0.05)
		assert.True(t, ok)
		sum, sum2, se = sum+h, sum2+h*h, se+p.fractionSE(600, h, 0.05)/m
	}
	mean := sum / m
	spread := math.Sqrt(sum2/m-mean*mean) / mean
	approx(t, "relative standard error", se, spread, 0.25, 0)
}

// Where the weak cap comes in step by step, the chance in the ratio of the spreads is in the error of the offtake: it is
// that by which advices from other draws differ.
func TestChanceInTheWeakCapIsTold(t *testing.T) {
	rules := DefaultRules()
	s := someStand(4000)
	s.ESS = 500
	assert.Zero(t, capFractionSE(s, rules), "much is known")
	s.LogRShrink = 0.9
	assert.Zero(t, capFractionSE(s, rules), "little is")
	s.LogRShrink = 0.65
	rng, fractions := rand.New(rand.NewPCG(5, 5)), []float64{}
	for range 400 {
		drawn := s
		drawn.LogRShrink = stat.StdDev(normals(rng, 500, 0.65), nil)
		f, _ := capFraction(drawn, rules)
		fractions = append(fractions, f)
	}
	assert.InEpsilon(t, stat.StdDev(fractions, nil), capFractionSE(s, rules), 0.15)

	rules.Risk = 0.9
	a := Advise(s, rules)
	require.Equal(t, ByCap, a.LimitedBy)
	assert.Equal(t, 2, a.Digits)
	assert.Contains(t, strings.Join(a.Warnings, "; "), "ask for more with --draws")
	s.ESS = 0
	s.R, s.K, s.B, s.Sigma = lots(s.R), lots(s.K), lots(s.B), lots(s.Sigma)
	a = Advise(s, rules)
	assert.Equal(t, 3, a.Digits)
	assert.NotContains(t, strings.Join(a.Warnings, "; "), "--draws")
}

// lots repeats the draws, for an advice that is surer of its chances.
func lots(x []float64) []float64 { return slices.Repeat(x, 4) }

func normals(rng *rand.Rand, n int, sd float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = sd * rng.NormFloat64()
	}
	return out
}
