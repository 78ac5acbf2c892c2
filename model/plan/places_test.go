package plan

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// bent is a bed like a boomerang with a pool in it, in m; 6000 m2 and 400 m2 of pool.
func bent() *Outline {
	return NewOutline([][]XY{
		{{0, 0}, {100, 0}, {160, 60}, {160, 110}, {130, 110}, {70, 50}, {0, 50}},
		{{20, 10}, {40, 10}, {40, 30}, {20, 30}},
	})
}

// flat tells the places of a plane as if they were degrees.
func flat(f Frame) Ground {
	return Ground{Frame: f, Place: func(p XY) (float64, float64) { return p.X, p.Y }, Strata: []string{""}, Shares: []float64{1}}
}

func insideRings(rings [][]XY, p XY) bool {
	in := false
	for _, r := range rings {
		for i := range r {
			a, b := r[i], r[(i+1)%len(r)]
			if a.Y > p.Y != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				in = !in
			}
		}
	}
	return in
}

func TestOutlineArea(t *testing.T) {
	o := bent()
	shoelace := 0.0
	for _, r := range [][]XY{{{0, 0}, {100, 0}, {160, 60}, {160, 110}, {130, 110}, {70, 50}, {0, 50}}} {
		for i, p := range r {
			q := r[(i+1)%len(r)]
			shoelace += (p.X*q.Y - q.X*p.Y) / 2
		}
	}
	assert.InDelta(t, shoelace-400, o.Area(), 1e-6)
	from, to, length := NewOutline([][]XY{{{0, 0}, {200, 0}, {200, 40}, {0, 40}}}).Line(0.25)
	assert.InDelta(t, 40, length, 1e-9)
	assert.InDelta(t, 50, from.X, 1e-9, "transects run across the long way")
	assert.InDelta(t, 40, math.Abs(to.Y-from.Y), 1e-9)
}

// Every place has the same chance: quadrats of 4000 plans of one bed, each with 3 transects of 4 quadrats, fall on cells
// in proportion to their ground. Quadrats of a plan keep apart, so that the counts vary less than those of independent
// ones and the chi-square test errs on the safe side only upwards: it must find nothing at the 1 % level. To see that it
// can find something, transects drawn evenly along the axis, however long, are refused by it.
func TestEveryPlaceHasTheSameChance(t *testing.T) {
	o := bent()
	rings := [][]XY{{{0, 0}, {100, 0}, {160, 60}, {160, 110}, {130, 110}, {70, 50}, {0, 50}}, {{20, 10}, {40, 10}, {40, 30}, {20, 30}}}
	const side = 20.0
	cells := map[[2]int]float64{} // ground of each cell, by fine points
	points := 0.0
	for x := 0.25; x < 160; x += 0.5 {
		for y := 0.25; y < 110; y += 0.5 {
			if insideRings(rings, XY{x, y}) {
				cells[[2]int{int(x / side), int(y / side)}]++
				points++
			}
		}
	}
	chi2 := func(counts map[[2]int]float64, n float64) (float64, float64) {
		sum, df := 0.0, -1.0
		for c, share := range cells {
			if e := n * share / points; e >= 5 {
				sum += (counts[c] - e) * (counts[c] - e) / e
				df++
			}
		}
		return sum, distuv.ChiSquared{K: df}.Quantile(0.99)
	}
	counts, n := map[[2]int]float64{}, 0.0
	for seed := range uint64(4000) {
		strata := LayOut("bed", []Layer{{Area: o.Area()}}, []Ground{flat(o)}, Effort{4, 1, []int{3}}, false, seed)
		for _, tr := range strata[0].Transects {
			for _, q := range tr.Quadrats {
				p := XY{q.At.Lon, q.At.Lat}
				require.True(t, insideRings(rings, p), "%v", p)
				counts[[2]int{int(p.X / side), int(p.Y / side)}]++
				n++
			}
		}
	}
	got, bound := chi2(counts, n)
	t.Logf("chi-square %.1f, 99 %% bound %.1f", got, bound)
	assert.Less(t, got, bound)

	rng, wrong := rand.New(rand.NewPCG(1, 2)), map[[2]int]float64{}
	for range int(n) {
		x := o.x[0] + rng.Float64()*(o.x[len(o.x)-1]-o.x[0])
		i := sortedAt(o.x, x) - 1
		d := x - o.x[i]
		u := (o.sum[i] + d*(o.lo[i]+(o.hi[i]-o.lo[i])*d/(o.x[i+1]-o.x[i])/2)) / o.Area()
		p := o.At(u, rng.Float64())
		wrong[[2]int{int(p.X / side), int(p.Y / side)}]++
	}
	got, bound = chi2(wrong, n)
	assert.Greater(t, got, bound)
}

// The mean of a smooth surface over the bed is told better by balanced transects than by ones drawn independently: with
// eight transects of five quadrats the variance of the mean over 600 plans is less than half.
func TestBalance(t *testing.T) {
	o := bent()
	surface := func(p XY) float64 { return math.Sin(p.X/40) + p.Y/60 }
	rng := rand.New(rand.NewPCG(7, 7))
	var balanced, random []float64
	for seed := range uint64(600) {
		strata := LayOut("bed", []Layer{{Area: o.Area()}}, []Ground{flat(o)}, Effort{5, 1, []int{8}}, false, seed)
		a, b := 0.0, 0.0
		for _, tr := range strata[0].Transects {
			u := rng.Float64()
			for _, q := range tr.Quadrats {
				a += surface(XY{q.At.Lon, q.At.Lat}) / 40
				b += surface(o.At(u, rng.Float64())) / 40
			}
		}
		balanced, random = append(balanced, a), append(random, b)
	}
	vb, vr := varianceOf(balanced), varianceOf(random)
	t.Logf("variance of the mean: %.5f balanced, %.5f independent", vb, vr)
	assert.Less(t, vb, vr/2)
	assert.InDelta(t, meanOf(random), meanOf(balanced), 0.02)
}

func meanOf(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v / float64(len(x))
	}
	return s
}

func varianceOf(x []float64) float64 {
	m, s := meanOf(x), 0.0
	for _, v := range x {
		s += (v - m) * (v - m) / float64(len(x)-1)
	}
	return s
}

// The same seed gives the same places, another seed or bed others; names are unique and every transect has its weighings.
func TestLayOutIsReproducible(t *testing.T) {
	layers := []Layer{{Label: "low", Area: 10}, {Label: "mid+up", Area: 20}}
	grounds := []Ground{flat(Strip{100, 10}), {Strata: []string{"mid", "up"}, Shares: []float64{0.3, 0.7}}}
	e := Effort{5, 2, []int{3, 4}}
	one := LayOut("a", layers, grounds, e, false, 1)
	flatOf := func(s []Stratum) (out []float64) {
		for _, st := range s {
			for _, tr := range st.Transects {
				for _, q := range tr.Quadrats {
					out = append(out, q.At.AlongShare, q.At.UpShare)
				}
			}
		}
		return out
	}
	assert.Equal(t, flatOf(one), flatOf(LayOut("a", layers, grounds, e, false, 1)))
	assert.NotEqual(t, flatOf(one), flatOf(LayOut("a", layers, grounds, e, false, 2)))
	assert.NotEqual(t, flatOf(one), flatOf(LayOut("b", layers, grounds, e, false, 1)))
	seen := map[string]bool{}
	for _, st := range one {
		for i, tr := range st.Transects {
			weighed := 0
			per := map[string]int{}
			for _, q := range tr.Quadrats {
				assert.False(t, seen[q.Quadrat])
				seen[q.Quadrat] = true
				per[q.Stratum]++
				if q.Weigh {
					weighed++
				}
			}
			assert.Equal(t, 2, weighed)
			if st.Stratum == "mid+up" {
				assert.Positive(t, per["mid"]*per["up"], strconv.Itoa(i))
				assert.False(t, tr.Quadrats[0].At.Located())
			} else {
				assert.InDelta(t, 100*tr.From.AlongShare, tr.From.Along, 1e-9)
				assert.InDelta(t, 10*tr.Quadrats[0].At.UpShare, tr.Quadrats[0].At.Up, 1e-9)
			}
		}
	}
	assert.Len(t, seen, 35)
	loose := LayOut("a", layers[:1], grounds[:1], Effort{5, 2, []int{3}}, true, 1)
	require.Len(t, loose[0].Transects, 1)
	assert.Empty(t, loose[0].Transects[0].Transect)
	assert.Len(t, loose[0].Transects[0].Quadrats, 15)
}

// The shares of a Halton run fall evenly: of 2^k consecutive terms each of 2^k equal parts has one.
func TestSpreadOver(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 50 {
		var in [16]int
		for _, u := range spreadOver(16, 2, rng) {
			in[int(u*16)]++
		}
		for _, n := range in {
			assert.Equal(t, 1, n)
		}
	}
	assert.Equal(t, 0.625, mirrored(5, 2))
}
