package growth

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Lack of fit against R's anova of the means of repeated values. Bates & Watts (1988, sec. 3.7) give for Puromycin the
// sums of squares 498 and 698 with 4 and 6 degrees of freedom (from memory).
func TestLackOfFitAgainstR(t *testing.T) {
	ref, fits := readReference(t), referenceCases(t)
	for name, x := range map[string][]float64{"DNase1": growthData(t)["DNase1"].x, "Puromycin": puromycin.x} {
		l, want := fits[name].LackOfFit(x), ref[name+" lack"]
		for i, got := range []float64{l.SS, l.PureSS, float64(l.DF), float64(l.PureDF), l.F, l.P} {
			approx(t, fmt.Sprintf("%s %d", name, i), got, want[i], 1e-8, 0)
		}
		assert.Empty(t, l.Reason)
	}
}

// With weights the pure error of a pair is w1 w2/(w1 + w2) (y1 - y2)².
func TestLackOfFitWithWeights(t *testing.T) {
	x := []float64{1, 1, 2, 3, 3, 4}
	y := []float64{1, 2, 4, 5, 7, 6}
	w := []float64{1, 3, 1, 2, 2, 1}
	f := LeastSquares(line(x), y, []float64{0, 0}, &LSQSettings{Weights: w})
	l := f.LackOfFit(x)
	approx(t, "pure", l.PureSS, 0.75*1+1*4, 1e-12, 0)
	approx(t, "sum", l.SS+l.PureSS, f.RSS, 1e-12, 0)
	assert.Equal(t, [2]int{2, 2}, [2]int{l.DF, l.PureDF})
}

func TestLackOfFitNeedsRepeats(t *testing.T) {
	x, y := []float64{1, 2, 3, 4}, []float64{1, 2, 2, 4}
	f := LeastSquares(line(x), y, []float64{0, 0}, nil)
	l := f.LackOfFit(x)
	assert.Equal(t, "no value is repeated", l.Reason)
	assert.True(t, math.IsNaN(l.F) && math.IsNaN(l.P))
	two := LeastSquares(line([]float64{1, 1, 2, 2}), y, []float64{0, 0}, nil).LackOfFit([]float64{1, 1, 2, 2})
	assert.Equal(t, "no more distinct points than parameters", two.Reason)
	level := []float64{1, 1, 2, 2, 5, 5}
	even := LeastSquares(line([]float64{1, 1, 2, 2, 3, 3}), level, []float64{0, 0}, nil).LackOfFit(level)
	assert.Equal(t, "repeated values are all equal", even.Reason)
	assert.Panics(t, func() { f.LackOfFit(x[:2]) })
	assert.Panics(t, func() { LogisticCurve.Fit(x[:2], y[:2], nil, nil).LackOfFit(x[:2]) })
}
