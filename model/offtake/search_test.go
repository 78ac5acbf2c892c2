package offtake

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// halved is the largest fraction by halving, every draw counted each time.
func halved(p *paths, q, risk float64) (h float64, ok bool) {
	within := func(step int) bool {
		h := float64(step) / steps
		return slices.Max(p.below(h*q, h)) <= int(risk*float64(p.n)+1e-9)
	}
	lo, hi := 0, steps
	if !within(lo) {
		return 0, false
	}
	if within(hi) {
		return 1, true
	}
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; within(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return float64(lo) / steps, true
}

// Leaving out what is settled, and guessing where the risk is broken by far, finds the same fraction.
func TestSearchAgreesWithHalving(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	none, all := 0, 0
	for i := range 60 {
		n := []int{1, 3, 7, 130, 1001, 4000}[i%6]
		s, rules := someStand(n), DefaultRules()
		s.Stream = fmt.Sprint(i)
		s.SurveyCV = []float64{0, 0.2, 0.7}[i%3]
		s.Exploitable = []float64{1, 0.6, 0.05}[i/3%3]
		rules.RestYears = i % 2
		rules.Horizon = []int{2, 10, 60}[i/2%3]
		rules.Risk = []float64{0.001, 0.05, 0.3}[i/4%3]
		scale := 0.2 + 1.5*rng.Float64()
		for j := range s.B {
			s.B[j] *= scale
		}
		p := newPaths(s, rules)
		q := s.exploitableQ(rules)
		want, wantOK := halved(p, q, rules.Risk)
		h, ok := p.largestFraction(q, rules.Risk)
		assert.Equal(t, wantOK, ok, "stand %d", i)
		assert.Equal(t, want, h, "stand %d", i)
		switch {
		case !ok:
			none++
		case h == 1:
			all++
		}
	}
	assert.Less(t, none+all, 50, "most have an edge")
	t.Logf("without any fraction %d, all may be cut %d", none, all)
}
