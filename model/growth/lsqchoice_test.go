package growth

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAkaikeWeights(t *testing.T) {
	// exp(-Δ/2) of Δ = 0, 2, 10 over their sum.
	sum := 1 + math.Exp(-1) + math.Exp(-5)
	w := AkaikeWeights([]float64{12, math.NaN(), 10, 20})
	approx(t, "best", w[2], 1/sum, 1e-14, 0)
	approx(t, "second", w[0], math.Exp(-1)/sum, 1e-14, 0)
	approx(t, "third", w[3], math.Exp(-5)/sum, 1e-14, 0)
	assert.True(t, math.IsNaN(w[1]))
	perfect := AkaikeWeights([]float64{3, math.Inf(-1)})
	assert.Equal(t, []float64{0, 1}, perfect)
	assert.Empty(t, AkaikeWeights(nil))
	none := AkaikeWeights([]float64{math.NaN()})
	assert.True(t, math.IsNaN(none[0]))
}

// AICc needs two values more than parameters and variance, and a fit.
func TestAICcWithFewValues(t *testing.T) {
	x := []float64{1, 2, 3, 4, 5}
	y := []float64{1, 2, 2, 4, 6}
	assert.False(t, math.IsNaN(LeastSquares(line(x), y, []float64{0, 0}, nil).AICc()))
	assert.True(t, math.IsNaN(LeastSquares(line(x[:4]), y[:4], []float64{0, 0}, nil).AICc()))
	assert.True(t, math.IsNaN(LogisticCurve.Fit(x, []float64{1, 2, math.NaN(), 4, 6}, []float64{5, 1, 1}, nil).AICc()))
}
