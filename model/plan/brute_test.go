package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// smallProblem is a bed of up to three strata and three species.
func smallProblem(rng *rand.Rand) Problem {
	p := Problem{
		Costs:  Costs{Quadrat: 1 + rng.Float64()*8, Weigh: rng.Float64() * 20, Transect: rng.Float64() * 30, Visit: 30, Tide: 180},
		Limits: Limits{Transects: 2, MostTransect: 7, MostQuadrats: 4},
	}
	for range 1 + rng.IntN(3) {
		l := Layer{Area: 50 + rng.Float64()*200}
		switch rng.IntN(4) {
		case 0:
			l.Units = float64(3 + rng.IntN(10))
		case 1:
			l.Units, l.Size = float64(3+rng.IntN(10)), float64(3+rng.IntN(10))
		}
		p.Layers = append(p.Layers, l)
	}
	for range 1 + rng.IntN(3) {
		u := Subject{Total: 100 + rng.Float64()*400, Need: rng.IntN(8)}
		for range p.Layers {
			w := rng.ExpFloat64()
			u.Spreads = append(u.Spreads, Spread{Between: rng.ExpFloat64(), Within: w, Rest: w * rng.Float64()})
		}
		p.Subjects = append(p.Subjects, u)
	}
	return p
}

// every calls f for every effort within the limits.
func every(p Problem, f func(e Effort)) {
	for m := 1; m <= p.mostQuadrats(); m++ {
		for g := 1; g <= m; g++ {
			n := make([]int, len(p.Layers))
			var lay func(h int)
			lay = func(h int) {
				if h == len(n) {
					f(Effort{m, g, append([]int(nil), n...)})
					return
				}
				hi := p.Limits.MostTransect
				if u := p.Layers[h].Units; u > 0 {
					hi = min(hi, int(u))
				}
				for n[h] = p.Limits.Transects; n[h] <= hi; n[h]++ {
					lay(h + 1)
				}
			}
			lay(0)
		}
	}
}

// worstCV is the largest sampling CV; infinite where too few are weighed.
func worstCV(p Problem, e Effort) float64 {
	worst := 0.0
	for _, u := range p.Subjects {
		if e.Weigh < e.Quadrats && e.Weigh*e.All() < u.Need {
			return math.Inf(1)
		}
		worst = max(worst, u.SampleCV(p.Layers, e))
	}
	return worst
}

func TestAllEffortsTried(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	none := 0
	for range 200 {
		p := smallProblem(rng)
		target := 0.1 + rng.Float64()*0.8
		budget := rng.Float64() * 1200
		leastWork, leastCV := math.Inf(1), math.Inf(1)
		every(p, func(e Effort) {
			cv, work := worstCV(p, e), p.Costs.Work(e)
			if cv <= target {
				leastWork = min(leastWork, work)
			}
			if work <= budget {
				leastCV = min(leastCV, cv)
			}
		})
		e, ok := p.Least(p.alike(target))
		require.Equal(t, !math.IsInf(leastWork, 1), ok)
		if ok {
			assert.InDelta(t, leastWork, p.Costs.Work(e), 1e-9)
			assert.LessOrEqual(t, worstCV(p, e), target*(1+1e-9))
		} else {
			none++
		}
		e, ok = p.LeastCV(budget)
		require.Equal(t, !math.IsInf(leastCV, 1), ok)
		if ok {
			assert.InEpsilon(t, leastCV+1e-6, worstCV(p, e)+1e-6, 1e-8)
			assert.LessOrEqual(t, p.Costs.Work(e), budget*(1+1e-9))
		}
	}
	assert.Less(t, none, 150, "targets that can be met are tried")
}

// Of many strata transects are added one by one: with one species that is the best there is.
func TestManyStrata(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 1))
	p := Problem{Costs: Costs{Quadrat: 5, Transect: 10, Tide: 180}, Limits: Limits{Transects: 2, MostTransect: 400, MostQuadrats: 3}}
	u := Subject{Total: 900}
	for range 7 {
		p.Layers = append(p.Layers, Layer{Area: 50 + rng.Float64()*200})
		u.Spreads = append(u.Spreads, Spread{Between: rng.ExpFloat64(), Within: rng.ExpFloat64()})
	}
	p.Subjects = []Subject{u}
	e, ok := p.Least([]float64{0.12})
	require.True(t, ok)
	assert.LessOrEqual(t, worstCV(p, e), 0.12)
	for h := range e.Transects { // no transect can be spared, nor moved for a lower variance
		for k := range e.Transects {
			f := Effort{e.Quadrats, e.Weigh, append([]int(nil), e.Transects...)}
			if f.Transects[h] == 2 {
				continue
			}
			f.Transects[h]--
			if h == k {
				assert.Greater(t, worstCV(p, f), 0.12)
				continue
			}
			f.Transects[k]++
			assert.GreaterOrEqual(t, worstCV(p, f), worstCV(p, e))
		}
	}
}

func TestShareOfBudget(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 1))
	beds := []Problem{smallProblem(rng), smallProblem(rng), smallProblem(rng)}
	for i := range beds {
		beds[i].Limits.MostTransect = 40
	}
	last := math.Inf(1)
	for _, minutes := range []float64{900, 1500, 2400, 3600} {
		efforts, need, ok := Share(beds, Budget{Minutes: minutes})
		require.True(t, ok, "%v", need)
		spent, worst := 0.0, 0.0
		for i, p := range beds {
			spent += p.Costs.Minutes(p.Costs.Work(efforts[i]))
			worst = max(worst, worstCV(p, efforts[i]))
		}
		assert.LessOrEqual(t, spent, minutes)
		assert.Less(t, worst, last)
		last = worst
	}
	efforts, _, ok := Share(beds, Budget{Tides: 9})
	require.True(t, ok)
	tides := 0
	for i, p := range beds {
		tides += p.Costs.Tides(p.Costs.Work(efforts[i]))
	}
	assert.LessOrEqual(t, tides, 9)
	_, need, ok := Share(beds, Budget{Tides: 2})
	assert.False(t, ok)
	assert.GreaterOrEqual(t, need.Tides, 3)
}
