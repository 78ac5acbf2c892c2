package makedemo

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is spread over a bed adds up to the stock, and the wracks never need more rock than there is.
func TestSpreadAddsUp(t *testing.T) {
	for _, b := range beds {
		r := makeRock(3, b)
		for _, st := range b.stands {
			kd := kinds[st.species]
			top := kd.full * b.area() * r.occupied(b, st.species)
			for _, share := range []float64{0.001, 0.4, 0.95} {
				c, parts := r.spread(stream(3, "test"), b, st.species, share*top, kd.full)
				approx(t, b.id+" "+st.species, sum(parts), share*top, 1e-9, 0)
				again := 0.0
				for h, s := range b.strata {
					for j, p := range r.occ[st.species][h] {
						again += s.m2 / strips * p * kd.full * c[h][j]
					}
				}
				approx(t, b.id+" "+st.species+" by strips", again, share*top, 1e-9, 0)
			}
			none, parts := r.spread(stream(3, "test"), b, st.species, 0, kd.full)
			assert.Nil(t, none)
			assert.Zero(t, sum(parts))
		}
		for h := range b.strata {
			for j := range strips {
				wracks := 0.0
				for sp, occ := range r.occ {
					if kinds[sp].wrack {
						wracks += occ[h][j]
					}
				}
				assert.LessOrEqual(t, wracks, highestShare+1e-12)
			}
		}
	}
}

// Moments of the draws against the closed forms: gamma mean a, variance a; beta mean m, variance m(1-m)/(c+1); lognormal
// of mean 1. 200,000 draws: tolerances are about four standard errors.
func TestDrawsHaveTheirMoments(t *testing.T) {
	rng := stream(1, "moments")
	const n = 200000
	moments := func(draw func() float64) (mean, variance float64) {
		var s1, s2 float64
		for range n {
			x := draw()
			s1 += x
			s2 += x * x
		}
		return s1 / n, s2/n - s1/n*s1/n
	}
	for _, a := range []float64{0.3, 1, 4.5} {
		m, v := moments(func() float64 { return gamma(rng, a) })
		approx(t, "gamma mean", m, a, 0, 4*math.Sqrt(a/n))
		approx(t, "gamma variance", v, a, 0.04, 0)
	}
	for _, mean := range []float64{0.03, 0.5, 0.9} {
		m, v := moments(func() float64 { return beta(rng, mean, patchiness) })
		want := mean * (1 - mean) / (patchiness + 1)
		approx(t, "beta mean", m, mean, 0, 4*math.Sqrt(want/n))
		approx(t, "beta variance", v, want, 0.04, 0)
	}
	m, _ := moments(func() float64 { return meanOne(rng, 0.35) })
	approx(t, "lognormal mean", m, 1, 0, 4*0.36/math.Sqrt(n))
}

func TestReadCover(t *testing.T) {
	for c, want := range map[float64]string{0.002: "0.5", 0.008: "1", 0.034: "3", 0.0961: "10", 0.12: "10", 0.13: "15",
		0.976: "100", 0.9999: "100"} {
		assert.Equal(t, want, readCover(c), "cover %g", c)
	}
}

func TestTidyWeights(t *testing.T) {
	assert.Equal(t, 1.0, tidyGrams(0.2))
	assert.Equal(t, 87.0, tidyGrams(87.4))
	assert.Equal(t, 1230.0, tidyGrams(1234))
	assert.Equal(t, 4300.0, tidyKg(4321))
	assert.Equal(t, 0.0, tidyKg(0))
}
