package offtake

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// noiseOf are the factors of the years' noise and storms: what the years do to a stand that does not grow.
func noiseOf(s Stand, rules Rules) (all []tile) {
	s.R = repeated(len(s.B), 0)
	for _, y := range newPaths(s, rules).year {
		all = append(all, y.keep)
	}
	return all
}

// errorsOf are those of the surveys.
func errorsOf(s Stand, rules Rules) []tile { return newPaths(s, rules).miss }

// Storms are those of the chance of a stream as any number below it.
func TestStormsAreWhereTheStreamIsBelowTheirChance(t *testing.T) {
	s, rules := someStand(1003), DefaultRules()
	c := drawn.of(chancesOf(s, rules))
	for y := range rules.Horizon {
		rng := rand.New(c.streamOf("storm", y))
		for i := range len(s.B) {
			storm := c.storm[i/lanes*rules.Horizon+y]>>(i%lanes)&1 == 1
			assert.Equal(t, rng.Float64() < rules.StormChance, storm, "draw %d, year %d", i, y)
		}
	}
}

func TestChancesStayWhenMoreAreAsked(t *testing.T) {
	s, rules := someStand(103), DefaultRules()
	s.SurveyCV = 0.3
	more, longer := s, rules
	more.R, more.K, more.B, more.Sigma = repeated(150, 1), repeated(150, 1), repeated(150, 1), repeated(150, 0.2)
	longer.Horizon = 17
	for name, chances := range map[string]func(Stand, Rules) []tile{"noise": noiseOf, "survey": errorsOf} {
		a, b := chances(s, rules), chances(more, longer)
		for i := range 103 {
			for y := range rules.Horizon {
				assert.Equal(t, a[i/lanes*10+y][i%lanes], b[i/lanes*17+y][i%lanes], "%s of draw %d, year %d", name, i, y)
			}
		}
	}
}

// 20 000 draws of 10 years: means are known to 1/sqrt(200 000) of the spread, and five of these are allowed.
func TestChancesAreWhatTheySay(t *testing.T) {
	const n = 20000
	s, rules := someStand(n), DefaultRules()
	s.SurveyCV = 0.3
	tol := 5 / math.Sqrt(n*10)
	var sum, sum2, storms, miss, miss2 float64
	g, w := noiseOf(s, rules), errorsOf(s, rules)
	rules.StormChance = 0
	calm := noiseOf(s, rules)
	for j := range g {
		for l := range lanes {
			z := -math.Log(calm[j][l]) / 0.2
			sum, sum2 = sum+z, sum2+z*z
			if g[j][l] != calm[j][l] {
				approx(t, "a storm", g[j][l], calm[j][l]/0.7, 1e-14, 0)
				storms++
			}
			if j%10 == 0 { // the first cut is in kg
				assert.Zero(t, w[j][l])
				continue
			}
			e := math.Log(w[j][l]) / 0.3
			miss, miss2 = miss+e, miss2+e*e
		}
	}
	m := float64(len(g) * lanes)
	approx(t, "mean of noise", sum/m, 0, 0, tol)
	approx(t, "variance of noise", sum2/m, 1, 0, tol*math.Sqrt2)
	approx(t, "storms a year", storms/m, 0.1, 0, tol*0.3)
	approx(t, "mean of the surveys' error", miss/m/0.9, 0, 0, tol)
	approx(t, "its variance", miss2/m/0.9, 1, 0, tol*math.Sqrt2)
}
