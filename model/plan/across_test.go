package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Of transects that run through two strata every place has the same chance in each of them. Two wedges make up a bed of
// 200 by 60 m; their border rises from 10 m to 50 m, so that two thirds of the lower one lie in its right half. Quadrats
// of 1500 plans fall there in that proportion, and into each stratum in proportion to its ground. A number fixed in each
// stratum, as where strata are not drawn, puts half of them there.
func TestSameChanceAcrossStrata(t *testing.T) {
	const plans = 1500
	frame := NewOutline([][]XY{{{0, 0}, {200, 0}, {200, 50}, {0, 10}}, {{0, 10}, {200, 50}, {200, 60}, {0, 60}}})
	g := flat(frame)
	g.Strata, g.Shares = []string{"low", "high"}, []float64{0.5, 0.5}
	low := func(x, y float64) bool { return y < 10+x/5 }
	g.Of = func(x, y float64) int {
		if low(x, y) {
			return 0
		}
		return 1
	}
	e := Effort{Quadrats: 4, Weigh: 2, Transects: []int{3}}
	layer := []Layer{{Label: "low+high", Area: 12000}}
	var count [2]float64
	wide := 0.0
	for seed := range uint64(plans) {
		for _, tr := range LayOut("b", layer, []Ground{g}, e, false, seed)[0].Transects {
			for _, q := range tr.Quadrats {
				assert.Equal(t, low(q.At.Lon, q.At.Lat), q.Stratum == "low")
				if q.Stratum == "low" {
					count[0]++
					if q.At.Lon > 100 {
						wide++
					}
				} else {
					count[1]++
				}
			}
		}
	}
	assert.Equal(t, 12.0*plans, count[0]+count[1])
	assert.InDelta(t, 0.5, count[0]/(12*plans), 0.01) // 2.7 standard errors of independent quadrats
	assert.InDelta(t, 2./3, wide/count[0], 0.015)     // 3 of them
	g.Of = nil
	wide, count[0] = 0, 0
	for seed := range uint64(plans) {
		for _, tr := range LayOut("b", layer, []Ground{g}, e, false, seed)[0].Transects {
			for _, q := range tr.Quadrats {
				if q.Stratum == "low" {
					count[0]++
					if q.At.Lon > 100 {
						wide++
					}
				}
			}
		}
	}
	assert.InDelta(t, 0.5, wide/count[0], 0.02)
}
