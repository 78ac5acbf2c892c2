package offtake

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// A third every year is the best fraction at r = -2 ln(2/3) = 0.81093 and runs a stand out at r = -ln(2/3) = 0.405465.
func TestAuditOfAThird(t *testing.T) {
	s, rules := sureStand(4, 0, 1000, 500)
	rules.MaxFraction = 1.0 / 3
	s.R = []float64{0.405, 0.406, 0.810, 0.812}
	a := Audit(s, rules)
	assert.Equal(t, 0.25, a.PRunsOut)
	assert.Equal(t, 0.75, a.PAboveBest)
	assert.Equal(t, "Set against regrowth alone, cutting 33 % of what may be cut every year would probably not run the bed out "+
		"(about 25 chances in 100), and would likely be more than gives the most over the years "+
		"(about 75 chances in 100). How low it may fall from what stands now is another question.", a.Sentence)

	s.Exploitable = 0.5 // a sixth of the whole stock: best at r = 0.3646, runs out at 0.1823
	s.R = []float64{0.182, 0.183, 0.364, 0.365}
	a = Audit(s, rules)
	approx(t, "of the whole stock", a.OfStock, 1.0/6, 1e-15, 0)
	assert.Equal(t, 0.25, a.PRunsOut)
	assert.Equal(t, 0.75, a.PAboveBest)
	assert.Contains(t, a.Sentence, "(17 % of the whole stock)")
}

func TestAuditCountsStorms(t *testing.T) {
	s, rules := sureStand(2, 0.42, 1000, 500)
	assert.Zero(t, Audit(s, rules).PRunsOut)
	rules.StormChance, rules.StormSurvival = 0.1, 0.7 // G = 0.965 e^0.42: runs out from 0.319 on
	assert.Equal(t, 1.0, Audit(s, rules).PRunsOut)
	s.R, rules.MaxFraction = repeated(2, 0.03), 0 // G < 1: it runs out even uncut
	assert.Equal(t, 1.0, Audit(s, rules).PRunsOut)
	s.Annual = true
	assert.True(t, math.IsNaN(Audit(s, rules).PRunsOut))
}

// Far from the edge and near it the same holds as of the fractions themselves.
func TestAuditComparesAsTheFractionsDo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.OneOf(rapid.Float64Range(0, 1), rapid.SampledFrom([]float64{0, 1, 1 - 1e-6, 1 - 1e-15})).Draw(t, "fraction")
		s, rules := sureStand(1, 0, 1000, 500)
		rules.MaxFraction = f
		edge := -math.Log1p(-f) * rapid.SampledFrom([]float64{1, 2}).Draw(t, "last or best")
		s.R[0] = rapid.OneOf(rapid.Float64Range(0, 80),
			rapid.Map(rapid.Float64Range(-1e-8, 1e-8), func(x float64) float64 { return min(max(edge+x, 0), 1e3) }),
			rapid.Just(min(edge, 1e3))).Draw(t, "r")
		a := Audit(s, rules)
		assert.Equal(t, f >= lastFraction(s.R[0]), a.PRunsOut == 1)
		assert.Equal(t, f > bestFraction(s.R[0]), a.PAboveBest == 1)
	})
}

func TestChancesInWords(t *testing.T) {
	for p, want := range map[float64]string{0: "less than 1 chance in 100", 0.004: "less than 1 chance in 100",
		0.012: "about 1 chance in 100", 0.5: "about 50 chances in 100", 1: "more than 99 chances in 100"} {
		assert.Equal(t, want, chance(p))
	}
	for p, want := range map[float64]string{0.999: "almost certainly", 0.95: "very likely", 0.7: "likely",
		0.5: "as likely as not", 0.2: "probably not", 0.05: "very probably not", 0.001: "almost certainly not"} {
		assert.Equal(t, want, likely(p))
	}
}
