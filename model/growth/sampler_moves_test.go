package growth

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Both moves leave a density as it is that is far from the t they are taken from: a normal of three coordinates, correlated, of
// which one does not move.
func TestMovesLeaveTheDensityAsItIs(t *testing.T) {
	// Given y1 = 0.7 the others are normal with the means 0.5 + 0.6·0.7 and -0.4 0.7 - 0.3, sds 0.5 and 0.9, correlation 0.8.
	mean := []float64{0.5 + 0.6*0.7, -0.3 - 0.4*0.7}
	sd := []float64{0.5, 0.9}
	for name, move := range map[string]func(*mover, int, float64, func() float64) (float64, bool){
		"independent": (*mover).independent, "ellipse": (*mover).ellipse} {
		m := newMover(rand.NewPCG(3, 7), 3)
		m.y = []float64{0, 0.7, 0}
		density := func(y []float64) float64 {
			a, b := (y[0]-mean[0])/sd[0], (y[2]-mean[1])/sd[1]
			return -0.5 * (a*a - 2*0.8*a*b + b*b) / (1 - 0.64)
		}
		lp := density(m.y)
		const n = 100000
		x, z := make([]float64, n), make([]float64, n)
		for i := range n {
			lp, _ = move(&m, 1, lp, func() float64 { return density(m.yn) })
			approx(t, "density", lp, density(m.y), 0, 1e-12)
			x[i], z[i] = m.y[0], m.y[2]
		}
		require.Equal(t, 0.7, m.y[1])
		approx(t, name+" mean", stat.Mean(x, nil), mean[0], 0, 0.02)
		approx(t, name+" mean", stat.Mean(z, nil), mean[1], 0, 0.02)
		approx(t, name+" sd", stat.StdDev(x, nil), sd[0], 0.03, 0)
		approx(t, name+" sd", stat.StdDev(z, nil), sd[1], 0.03, 0)
		approx(t, name+" correlation", stat.Correlation(x, z, nil), 0.8, 0, 0.02)
		slices.Sort(z)
		for _, p := range []float64{0.01, 0.1, 0.9, 0.99} {
			want := mean[1] + sd[1]*distuv.UnitNormal.Quantile(p)
			approx(t, name+" quantile", z[int(p*n)], want, 0, 0.06)
		}
	}
}

// Storms drawn from their conditional, then by a jump and an ellipse with all else, come as often, and leave as much, as the
// conditional alone draws them: the density by which the moves divide is that by which the numbers give them.
func TestStormsComeAsOftenAsTheSurveysSay(t *testing.T) {
	r := testRun(t)
	bed := &r.beds[0]
	few := slices.IndexFunc(bed.g.links, func(l link) bool { return l.p > 0 })
	require.GreaterOrEqual(t, few, 0)
	uses := []func(c *chances){
		func(*chances) {},
		func(c *chances) { c.p[few] = 0.6 },
		func(c *chances) { c.tilt = [fixed]float64{3, -2, 1} },
	}
	rates := make([][]float64, len(uses))
	for i, use := range uses {
		f := bed.frame
		own := *f.chances
		own.p = slices.Clone(own.p)
		use(&own)
		f.chances = &own
		c := r.chains[0].beds[0]
		came, r0 := 0.0, 0.0
		const n = 40000
		for range n {
			c.step(&f, func() {})
			r0 += c.x[0]
			if c.storms[few] {
				came++
			}
		}
		rates[i] = []float64{came / n, r0 / n}
	}
	t.Log(rates)
	for _, v := range rates {
		approx(t, "storms", v[0], rates[0][0], 0, 0.012)
		approx(t, "log r", v[1], rates[0][1], 0, 0.02)
	}
}

// The numbers give the storms back that they were drawn for.
func TestNumbersGiveTheStormsBack(t *testing.T) {
	r := testRun(t)
	f := &r.beds[0].frame
	c := r.chains[1].beds[0]
	seen := map[bool]int{}
	for range 300 {
		c.step(f, func() {})
		c.g.drawStorms(c.x, c.storms, c.rng, c.w)
		want := slices.Clone(c.storms)
		c.numbers(f)
		lp := c.follow(f, c.x)
		require.Equal(t, want, c.storms)
		by, prod := f.chances.factor(c.x), 1.0
		for k, came := range want {
			p := f.chances.at(k, by)
			if !came {
				p = 1 - p
			}
			prod *= p
			seen[came]++
		}
		approx(t, "probability", lp, math.Log(prod), 0, 1e-12)
	}
	require.Greater(t, seen[true], 10)
}

// The tilt of storms that come as log r rises is found over beds that each tell little.
func TestTilt(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	var beds []*seen
	for range 60 {
		s := newSeen(2)
		var xs [][]float64
		mean := make([]float64, fixed)
		for range 500 {
			x := []float64{0.2 * rng.NormFloat64(), 0.1 * rng.NormFloat64(), 0.3 * rng.NormFloat64()}
			xs = append(xs, x)
			for i, v := range x {
				mean[i] += v / 500
			}
		}
		for _, x := range xs {
			by := 1 + 1.5*(x[0]-mean[0]) - 0.8*(x[2]-mean[2])
			s.add(x, mean, []bool{rng.Float64() < 0.2*by, rng.Float64() < 0.1*by})
		}
		beds = append(beds, s)
	}
	k := tilt(beds)
	approx(t, "by log r", k[0], 1.5, 0, 0.3)
	approx(t, "by log K", k[1], 0, 0, 0.4)
	approx(t, "by w", k[2], -0.8, 0, 0.2)
	assert.Equal(t, [fixed]float64{}, tilt([]*seen{newSeen(0)}))
}
