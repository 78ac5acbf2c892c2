package offtake

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// calmRules have no storms and a cap that does not bind.
func calmRules(rest int) Rules {
	r := DefaultRules()
	r.StormChance, r.MaxFraction, r.RestYears = 0, 1, rest
	return r
}

func oneDraw(r, k, b float64) Stand {
	return Stand{R: []float64{r}, K: []float64{k}, B: []float64{b}, Sigma: []float64{0}, Exploitable: 1}
}

// A stand at its best stock that is cut every third year at its own best fraction yields Y* each time (Pulse's closed
// form), and one that waits a year more gives more at its first cut.
func TestForesightAtTheBestStock(t *testing.T) {
	rules := calmRules(2)
	ref := Pulse(0.5, 1000, 3, 1)
	f := NewForesight(oneDraw(0.5, 1000, ref.Best), rules, 9)
	first, total := f.Yield([]int{0, 3, 6})
	approx(t, "first", first[0], ref.Yield, 1e-9, 0)
	approx(t, "three cuts", total, 3*ref.Yield, 1e-9, 0)
	later, _ := f.Yield([]int{1, 4, 7})
	assert.Greater(t, later[0], first[0])
	none, zero := f.Yield(nil)
	assert.Nil(t, none)
	assert.Zero(t, zero)
}

// A thin stand gives nothing now and something once it has grown above the limit: there waiting pays.
func TestForesightOfAThinStand(t *testing.T) {
	rules := calmRules(2)
	f := NewForesight(oneDraw(0.5, 1000, 150), rules, 9)
	now, soon := first(f.Yield([]int{0, 3, 6})), first(f.Yield([]int{2, 5, 8}))
	assert.Zero(t, now, "below the limit")
	b := 1 / (1/150.0*math.Exp(-1) + (1-math.Exp(-1))/1000) // two years of growth, closed form
	approx(t, "after two years", soon, b*Pulse(0.5, 1000, 3, 1).Fraction*(b/1000-0.2)/0.2, 1e-9, 0)
}

func first(x []float64, _ float64) float64 { return x[0] }

// The cap of the rules, the part that is long enough and storms all hold; an annual stands as it stands.
func TestForesightWithinTheLimits(t *testing.T) {
	rules := calmRules(2)
	rules.MaxFraction = 0.1
	s := oneDraw(0.5, 1000, 900)
	s.Exploitable = 0.5
	approx(t, "capped", first(NewForesight(s, rules, 9).Yield([]int{0})), 0.1*0.5*900, 1e-12, 0)
	s.Annual = true
	kg := first(NewForesight(s, rules, 9).Yield([]int{0}))
	again, total := NewForesight(s, rules, 9).Yield([]int{3, 6})
	assert.Equal(t, kg, again[0])
	assert.Equal(t, 2*kg, total)
	stormy := calmRules(2)
	stormy.StormChance, stormy.StormSurvival = 0.9, 0.1
	calm := first(NewForesight(oneDraw(2, 1000, 900), calmRules(2), 9).Yield([]int{6}))
	assert.Less(t, first(NewForesight(oneDraw(2, 1000, 900), stormy, 9).Yield([]int{6})), calm)
	for _, years := range [][]int{{-1}, {9}, {3, 3}, {4, 2}} {
		require.Panics(t, func() { NewForesight(oneDraw(0.5, 1000, 900), rules, 9).Yield(years) }, "%v", years)
	}
}
