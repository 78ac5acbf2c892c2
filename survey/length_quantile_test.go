package survey

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Against the rule "hf7" of R survey (testdata/length/length.R).
func TestWeightedQuantile(t *testing.T) {
	ref := lengthReference(t)
	x := []float64{3, 1, 4, 1, 5, 9, 2, 6, 5, 3}
	w := []float64{2, 1, 1.5, 3, 0.5, 2, 0, 1, 4, 1}
	for _, p := range []float64{0, 0.1, 0.25, 0.5, 0.83, 1} {
		approx(t, fmt.Sprint("hf7 ", p), WeightedQuantile(x, w, p), ref[fmt.Sprintf("hf7 %v", p)], 1e-14, 0)
	}
	approx(t, "one", WeightedQuantile([]float64{7, 8}, []float64{0, 2}, 0.3), 8, 0, 0)
	approx(t, "none", WeightedQuantile([]float64{7}, []float64{0}, 0.3), math.NaN(), 0, 0)
	approx(t, "not a number", WeightedQuantile([]float64{7, math.NaN()}, []float64{1, 1}, 0.3), math.NaN(), 0, 0)
	for what, f := range map[string]func(){
		"p":        func() { WeightedQuantile(x, w, 1.1) },
		"lengths":  func() { WeightedQuantile(x, w[1:], 0.5) },
		"negative": func() { WeightedQuantile(x[:1], []float64{-1}, 0.5) },
		"nan":      func() { WeightedQuantile(x[:1], []float64{math.NaN()}, 0.5) },
	} {
		assert.Panics(t, f, what)
	}
}

// Equal weights give [Quantile]; the scale of weights and the order of values do not matter; quantiles rise with p and
// lie within the values.
func TestWeightedQuantileProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 20).Draw(t, "n")
		x := rapid.SliceOfN(rapid.Map(rapid.IntRange(1, 30), func(i int) float64 { return float64(i) }), n, n).Draw(t, "x")
		w := rapid.SliceOfN(rapid.Float64Range(0.1, 10), n, n).Draw(t, "w")
		p, q := rapid.Float64Range(0, 1).Draw(t, "p"), rapid.Float64Range(0, 1).Draw(t, "q")
		if got, want := WeightedQuantile(x, slices.Repeat([]float64{3}, n), p), Quantile(x, p); math.Abs(got-want) > 1e-9 {
			t.Fatalf("equal weights: %v, want %v", got, want)
		}
		got := WeightedQuantile(x, w, p)
		double := slices.Clone(w)
		for i := range double {
			double[i] *= 4
		}
		back, backW := slices.Clone(x), slices.Clone(w)
		slices.Reverse(back)
		slices.Reverse(backW)
		if WeightedQuantile(x, double, p) != got {
			t.Fatal("scale of weights matters")
		}
		if math.Abs(WeightedQuantile(back, backW, p)-got) > 1e-9 {
			t.Fatal("order matters")
		}
		if got < slices.Min(x) || got > slices.Max(x) || (p < q) && WeightedQuantile(x, w, q) < got-1e-9 {
			t.Fatalf("quantile %v", got)
		}
	})
}
