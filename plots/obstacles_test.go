package plots

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/plot/vg"
)

// The obstacles near a box are found in their order, and none that lies over it is missed: small and large ones, on and
// off the page, and boxes that are nowhere.
func TestObstaclesNearABox(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	draw := func() vg.Rectangle {
		at := vg.Point{X: vg.Length(600*rng.Float64() - 100), Y: vg.Length(600*rng.Float64() - 100)}
		size := vg.Length(math.Exp(7 * rng.Float64()))
		if rng.IntN(50) == 0 {
			at.X = vg.Length(math.NaN())
		}
		return vg.Rectangle{Min: at, Max: at.Add(vg.Point{X: size * vg.Length(rng.Float64()), Y: size})}
	}
	over := 0
	for range 50 {
		var o obstacles
		for range 200 {
			o.add(obstacle{draw(), rng.Float64()})
		}
		for range 50 {
			box := draw()
			var want, got []float64
			for _, x := range o.all {
				if overlap(box, x.box) > 0 {
					want = append(want, x.weight)
				}
			}
			for _, x := range o.near(box) {
				if overlap(box, x.box) > 0 {
					got = append(got, x.weight)
				}
			}
			over += len(want)
			assert.Equal(t, want, got)
		}
	}
	assert.Greater(t, over, 1000)
}

// What is far from a place is not looked at.
func TestFarObstaclesAreNotLookedAt(t *testing.T) {
	var o obstacles
	for i := range 1000 {
		at := vg.Point{X: vg.Length(50 * i)}
		o.add(obstacle{vg.Rectangle{Min: at, Max: at.Add(vg.Point{X: 10, Y: 10})}, 1})
	}
	n := 0
	for range o.near(vg.Rectangle{Min: vg.Point{X: 500}, Max: vg.Point{X: 540, Y: 10}}) {
		n++
	}
	assert.LessOrEqual(t, n, 3)
}
