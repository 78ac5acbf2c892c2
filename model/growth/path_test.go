package growth

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestSeasonIntegral(t *testing.T) {
	s := Season{Amplitude: 0.8, Peak: 0.3}
	for _, c := range [][2]float64{{50.1, 50.4}, {55.9, 58.2}, {50, 51}, {-3.2, 2.7}, {54.4, 54.4}, {54.5, 54.1}} {
		// Simpson's rule with 2000 panels, exact to about 1e-13 here.
		const n = 2000
		h := (c[1] - c[0]) / n
		var sum float64
		for i := range n {
			a := c[0] + h*float64(i)
			sum += h / 6 * (s.Rate(a) + 4*s.Rate(a+h/2) + s.Rate(a+h))
		}
		approx(t, "integral", s.Integral(c[0], c[1]), sum, 1e-11, 1e-12)
	}
	approx(t, "whole years", s.Integral(50.37, 53.37), 3, 1e-14, 0)
	approx(t, "a day", s.Integral(55.3, 55.3+1/365.25), 1.8/365.25, 2e-4, 0) // at the peak g = 1 + a
	assert.Panics(t, func() { Season{Amplitude: 1.1}.Integral(0, 1) })
}

// Seasonal pulses with r0 (1 + cos 2πt), r0 = 0.8, K = 10: S* 4.013123, Y* 1.973753, computed independently.
func TestSeasonalPulseOptimum(t *testing.T) {
	s := Season{Amplitude: 1}
	S, Y := 4.013123, 1.973753
	approx(t, "S*", Advance(S+Y, 50, 51, 0.8, 10, s, []Pulse{{T: 50, Kg: Y}}, nil)-Y, S, 0, 2e-6)
}

func TestPathOrder(t *testing.T) {
	s := Season{Amplitude: 0.6, Peak: 0.2}
	cuts := []Pulse{{T: 51.5, Kg: 20}, {T: 50.5, Kg: 30}, {T: 50, Kg: 10}, {T: 52, Kg: 1000}, {T: 49.9, Kg: 1000}}
	storms := []Storm{{T: 50.5, Left: 0.5}, {T: 51, Left: math.NaN()}, {T: 49, Left: 0.1}}
	r, K := 0.7, 200.0
	B := 150.0
	grow := func(a, b float64) { B = 1 / Grow(1/B, r*s.Integral(a, b), 1/K) }
	B -= 10
	grow(50, 50.5)
	B = 0.5*B - 30 // storms come before takes of the day
	grow(50.5, 51)
	B *= 0.7
	grow(51, 51.5)
	B -= 20
	grow(51.5, 52)
	p := NewPath(s, 50, 52, cuts, storms, 0.7)
	approx(t, "stock", 1/p.Advance(1/150.0, r, 1/K), B, 1e-12, 0)
	assert.Zero(t, testing.AllocsPerRun(10, func() { p.Advance(1/150.0, r, 1/K) }))
}

func TestPathRefuses(t *testing.T) {
	s := Season{}
	assert.Panics(t, func() { NewPath(s, 2, 1, nil, nil, 0.7) })
	assert.Panics(t, func() { NewPath(s, 0, 1, []Pulse{{T: 0.5, Kg: -1}}, nil, 0.7) })
	assert.Panics(t, func() { NewPath(s, 0, 1, []Pulse{{T: 0.5, Kg: math.NaN()}}, nil, 0.7) })
	assert.Panics(t, func() { NewPath(s, 0, 1, nil, []Storm{{T: 0.5, Left: 1.5}}, 0.7) })
	assert.Panics(t, func() { Advance(1, 0, 1, 1, 1, s, nil, []Storm{{T: 0.5, Left: math.NaN()}}) })
	approx(t, "cut to nothing", Advance(10, 0, 1, 1, 20, s, []Pulse{{T: 0.1, Kg: 15}}, nil), 0, 0, 0)
	approx(t, "a cut of what is there", Advance(10, 0, 1, 1, 20, s, []Pulse{{T: 0, Kg: 10}}, nil), 0, 0, 0)
}

// A way may be cut anywhere into two; the slope is that of differences.
func TestPathProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := Season{Amplitude: rapid.Float64Range(0, 1).Draw(rt, "a"), Peak: rapid.Float64Range(0, 1).Draw(rt, "tp")}
		var cuts []Pulse
		for range rapid.IntRange(0, 4).Draw(rt, "cuts") {
			cuts = append(cuts, Pulse{rapid.Float64Range(50, 53).Draw(rt, "t"), rapid.Float64Range(0, 15).Draw(rt, "kg")})
		}
		storms := []Storm{{rapid.Float64Range(50, 53).Draw(rt, "storm"), rapid.Float64Range(0.3, 1).Draw(rt, "left")}}
		mid := rapid.Float64Range(50, 53).Draw(rt, "mid")
		r := rapid.Float64Range(0.05, 3).Draw(rt, "r")
		whole := NewPath(s, 50, 53, cuts, storms, 1)
		a, b := NewPath(s, 50, mid, cuts, storms, 1), NewPath(s, mid, 53, cuts, storms, 1)
		u := 1 / rapid.Float64Range(1, 150).Draw(rt, "B")
		want := whole.Advance(u, r, 0.01)
		got := b.Advance(a.Advance(u, r, 0.01), r, 0.01)
		if want < 100 { // near extinction differences of large numbers
			approxIn(rt, "two parts", got, want, 1e-8, 0)
			end, slope := whole.advanceSlope(u, whole.decays(nil, r), 0.01)
			approxIn(rt, "end", end, want, 1e-12, 0)
			if want < 1 {
				h := 1e-6 * u
				num := (whole.Advance(u+h, r, 0.01) - whole.Advance(u-h, r, 0.01)) / (2 * h)
				approxIn(rt, "slope", slope, num, 1e-3, 1e-9)
			}
		}
	})
}
