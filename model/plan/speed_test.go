package plan

import (
	"math/rand/v2"
	"testing"
)

// A bed of five strata and four species that pull in different ways.
func BenchmarkLeastCV(b *testing.B) {
	rng := rand.New(rand.NewPCG(6, 1))
	p := Problem{Costs: Costs{Quadrat: 5, Weigh: 10, Transect: 15, Visit: 45, Tide: 180}, Limits: DefaultLimits()}
	for range 5 {
		p.Layers = append(p.Layers, Layer{Area: 50 + rng.Float64()*200})
	}
	for range 4 {
		u := Subject{Total: 900}
		for range 5 {
			w := rng.ExpFloat64()
			u.Spreads = append(u.Spreads, Spread{Between: rng.ExpFloat64(), Within: w, Rest: w / 2})
		}
		p.Subjects = append(p.Subjects, u)
	}
	for b.Loop() {
		p.LeastCV(6000)
	}
}
