package offtake

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// oneTo is 1, 2, ... n, in an order that is not sorted; n no multiple of 3.
func oneTo(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = float64((i*3)%n + 1)
	}
	return x
}

func TestPressureFindings(t *testing.T) {
	for _, w := range []struct {
		cut     float64
		finding Finding
		p       float64
	}{
		{975.5, AboveRecovery, 0.975}, {974.5, CannotTell, 0.974}, {25.5, BelowRecovery, 0.025},
		{26.5, CannotTell, 0.026}, {25, BelowRecovery, 0.024}, {2000, AboveRecovery, 1}, {0, NothingCut, 0},
	} {
		v := Pressure(w.cut, oneTo(1000), math.NaN())
		assert.Equal(t, w.finding, v.Finding, "%g", w.cut)
		assert.Equal(t, w.p, v.PAbove, "%g", w.cut)
		assert.Empty(t, v.Note)
	}
}

func TestPressureNumbers(t *testing.T) {
	v := Pressure(100, oneTo(1001), 0.7)
	approx(t, "recovery", v.RecoveryKg, 501, 1e-14, 0)
	approx(t, "lo", v.RecoveryLo, 26, 1e-14, 0)
	approx(t, "hi", v.RecoveryHi, 976, 1e-14, 0)
	approx(t, "ratio", v.Ratio, 100.0/501, 1e-14, 0)
	approx(t, "ratio lo", v.RatioLo, 100.0/976, 1e-14, 0)
	approx(t, "ratio hi", v.RatioHi, 100.0/26, 1e-14, 0)
	approx(t, "cut", v.CutKg, 100, 0, 0)
	assert.Equal(t, StillAboveBest, v.Note)
	assert.Empty(t, Pressure(100, oneTo(1001), 0.49).Note)
}

func TestPressureWithoutSureRecovery(t *testing.T) {
	recovery := oneTo(1000)
	for i, g := range recovery {
		recovery[i] = g - 26 // 26 of 1000 did not grow
	}
	v := Pressure(100, recovery, math.NaN())
	assert.True(t, math.IsNaN(v.Ratio) && math.IsNaN(v.RatioLo) && math.IsNaN(v.RatioHi))
	assert.Equal(t, CannotTell, v.Finding)
	for i := range recovery {
		recovery[i]++ // 25 of 1000
	}
	v = Pressure(100, recovery, math.NaN())
	assert.True(t, v.Ratio > 0 && v.RatioLo > 0 && v.RatioHi > v.Ratio)
}

func TestPressureOfAnUncertainCut(t *testing.T) {
	v := PressureDraws([]float64{1, 5, 3}, []float64{2, 4, 3}, math.NaN())
	approx(t, "above", v.PAbove, 1.0/3, 1e-15, 0)
	approx(t, "cut", v.CutKg, 3, 0, 0)
	approx(t, "ratio", v.Ratio, 1, 0, 0)
	assert.Panics(t, func() { PressureDraws([]float64{1}, []float64{2, 4}, 0) })
	assert.Panics(t, func() { Pressure(-1, oneTo(5), 0) })
	assert.Panics(t, func() { Pressure(1, []float64{math.NaN()}, 0) })
}

func TestPressureNotAssessed(t *testing.T) {
	v := Pressure(math.NaN(), oneTo(10), math.NaN())
	assert.Equal(t, PressureNotAssessed, v.Finding)
	assert.True(t, math.IsNaN(v.PAbove))
	assert.Equal(t, PressureNotAssessed, Pressure(5, nil, math.NaN()).Finding)
}
