package survey

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Whatever the data: a shift of y shifts the generalised regression mean and leaves its error, a scale scales both;
// predictions that are off by a constant change nothing; with perfect predictions the error is that of phase one
// alone; with all of phase one measured the mean is that of y.
func TestTwoPhaseGREGProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(3, 12).Draw(rt, "n")
		some := rapid.SliceOfN(rapid.Float64Range(-50, 50), n, n)
		y, m := some.Draw(rt, "y"), some.Draw(rt, "predicted")
		more := rapid.SliceOfN(rapid.Float64Range(-50, 50), 0, 20).Draw(rt, "not measured")
		one := append(append([]float64(nil), m...), more...)
		add := func(x []float64, c, k float64) []float64 {
			out := make([]float64, len(x))
			for i := range x {
				out[i] = c + k*x[i]
			}
			return out
		}
		e := TwoPhaseGREG(y, m, one, 1)
		shifted := TwoPhaseGREG(add(y, 7, 1), m, one, 1)
		approx(t, "shift", shifted.Value, e.Value+7, 1e-9, 1e-9)
		approx(t, "its se", shifted.SE, e.SE, 1e-7, 1e-7)
		scaled := TwoPhaseGREG(add(y, 0, 3), add(m, 0, 3), add(one, 0, 3), 1)
		approx(t, "scale", scaled.Value, 3*e.Value, 1e-9, 1e-9)
		approx(t, "its se", scaled.SE, 3*e.SE, 1e-9, 1e-9)
		off := TwoPhaseGREG(y, add(m, -4, 1), add(one, -4, 1), 1)
		approx(t, "predictions off by a constant", off.Value, e.Value, 1e-9, 1e-9)
		approx(t, "its se", off.SE, e.SE, 1e-7, 1e-7)
		sure := TwoPhaseGREG(y, y, append(append([]float64(nil), y...), more...), 1)
		approx(t, "perfect predictions", sure.SE, math.Sqrt(variance(y)/float64(n+len(more))), 1e-9, 1e-9)
		approx(t, "all measured", TwoPhaseGREG(y, m, m, 1).Value, mean(y), 1e-9, 1e-9)
	})
}

// Whatever the clusters: the two-stage mean lies between the least and the greatest unit, doubling all sizes changes
// neither it nor its error without corrections, and clusters measured whole of all there are have none.
func TestTwoStageMeanProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var sample, twice, whole []Subsample
		lo, hi := math.Inf(1), math.Inf(-1)
		for range rapid.IntRange(2, 6).Draw(rt, "clusters") {
			y := rapid.SliceOfN(rapid.Float64Range(0, 20), 1, 6).Draw(rt, "y")
			size := float64(len(y) + rapid.IntRange(0, 9).Draw(rt, "more"))
			sample = append(sample, Subsample{size, y})
			twice = append(twice, Subsample{2 * size, y})
			whole = append(whole, Subsample{float64(len(y)), y})
			for _, v := range y {
				lo, hi = min(lo, v), max(hi, v)
			}
		}
		e := TwoStageMean(sample, math.Inf(1))
		if e.Value < lo-1e-9 || e.Value > hi+1e-9 {
			rt.Fatalf("mean %g outside %g to %g", e.Value, lo, hi)
		}
		d := TwoStageMean(twice, math.Inf(1))
		approx(t, "sizes doubled", d.Value, e.Value, 1e-12, 1e-12)
		approx(t, "its se", d.SE, e.SE, 1e-9, 1e-12)
		approx(t, "census", TwoStageMean(whole, float64(len(whole))).SE, 0, 0, 0)
	})
}
