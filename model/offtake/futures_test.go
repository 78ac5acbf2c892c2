package offtake

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is asked of futures together is what each tells by itself, of stands and cuts from all over what is met: with and
// without surveys and rest, and where a survey that finds too much has all cut.
func TestFuturesAreThoseOfEach(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 14))
	for c := range 60 {
		s, rules, kg, h := randomCase(rng, 203)
		fractions, plans := []float64{0, h, 1}, []Plan{{}, {kg, h}, {0.9 * kg, 0.95}, {1e6, 0.3}}
		f := NewFutures(s, rules)
		assert.Equal(t, Choices(s, rules, fractions), f.Choices(fractions))
		years := []int{1, 2, rules.Horizon}
		glimpses := f.Glimpses(years, plans...)
		assert.Equal(t, glimpses, f.Glimpses(years, plans...), "asked again")
		for i, course := range Ahead(s, rules, plans...) {
			g, name := glimpses[i], fmt.Sprintf("case %d, plan %v: ", c, plans[i])
			risk := 0.0
			for _, y := range course.Years[1:] {
				risk = math.Max(risk, y.Below)
			}
			approx(t, name+"risk", g.Risk, risk, 0, 1e-15)
			approx(t, name+"yearly", g.Yearly, course.Yearly.Median, 1e-12, 0)
			for j, y := range years {
				want := course.Years[y].Stock
				approx(t, name+"stock", g.Stock[j].Median, want.Median, 1e-11, 0)
				approx(t, name+"lower end", g.Stock[j].Lo, want.Lo, 1e-11, 0)
				approx(t, name+"upper end", g.Stock[j].Hi, want.Hi, 1e-11, 0)
			}
			for y, m := range f.Medians(plans[i]) {
				approx(t, name+"median", m, course.Years[y].Stock.Median, 1e-11, 0)
			}
		}
		f.Free()
	}
}

// The parts of a page ask the same futures at once and give them back when they have done: each is told what one alone is.
func TestSeveralAskTheSameFutures(t *testing.T) {
	s, rules := someStand(203), DefaultRules()
	alone := NewFutures(s, rules)
	medians, glimpses, choices := alone.Medians(Plan{}), alone.Glimpses([]int{1}, Plan{10, 0.1}), alone.Choices([]float64{0.2})
	shared := NewFutures(s, rules)
	var asking sync.WaitGroup
	for range 4 {
		asking.Go(func() {
			for range 20 {
				assert.Equal(t, medians, shared.Medians(Plan{}))
				assert.Equal(t, glimpses, shared.Glimpses([]int{1}, Plan{10, 0.1}))
				shared.Free()
				assert.Equal(t, choices, shared.Choices([]float64{0.2}))
			}
		})
	}
	asking.Wait()
}

func TestFuturesOfAnAnnual(t *testing.T) {
	s, rules := someStand(9), DefaultRules()
	s.Annual = true
	f := NewFutures(s, rules)
	defer f.Free()
	assert.Nil(t, f.Glimpses([]int{1}, Plan{10, 0.1}))
	assert.Nil(t, f.Medians(Plan{10, 0.1}))
	c := f.Choices([]float64{0.25})[0]
	approx(t, "kg", c.Kg, 0.25*s.exploitableQ(rules), 1e-15, 0)
	assert.True(t, math.IsNaN(c.Risk) && math.IsNaN(c.NextMedian) && math.IsNaN(c.YieldPerYear))
	assert.Panics(t, func() { f.Glimpses([]int{1}, Plan{-1, 0}) })
}
