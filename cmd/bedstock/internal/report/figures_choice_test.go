package report

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model"
	"bedstock/model/offtake"
)

// The page tells of the choices that its figure was drawn from, and they are those that would be worked out for it alone.
func TestChoicesOfThePageAreThoseOfItsFigure(t *testing.T) {
	a := demoOnce()
	seen := 0
	for _, f := range demoFigures() {
		if f.Kind != KindYield {
			continue
		}
		u := &a.Units[f.unit]
		shares := model.Shares(u.AdvisedShare())
		drawn := choicesAt(shares, f.choices)
		require.Len(t, drawn, len(shares), "%s, %s", u.Bed, u.Species)
		assert.Equal(t, offtake.Choices(u.Basis.Stand, a.Rules.OfftakeOf(u.Pair), shares), drawn, "%s, %s", u.Bed, u.Species)
		seen++
	}
	assert.Greater(t, seen, 10)
	assert.Nil(t, choicesAt([]float64{0, 0.123}, []offtake.Choice{{Fraction: 0}, {Fraction: 0.1}}))
}
