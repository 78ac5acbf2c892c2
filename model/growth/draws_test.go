package growth

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestColsOfDraws(t *testing.T) {
	d := Draws{Chains: 3, N: 100, Names: []string{"r", "K", "B0", "B1"}}
	for i := range d.Len() {
		d.X = append(d.X, float64(i), 1000+float64(i), 2000+float64(i), 3000+float64(i))
	}
	cols := d.Cols("B1", "r")
	assert.Len(t, cols, 2)
	for i := range d.Len() {
		assert.Equal(t, 3000+float64(i), cols[0][i])
		assert.Equal(t, float64(i), cols[1][i])
	}
	assert.Equal(t, cols[0], d.Col("B1"))
	few := d.oneIn(7, []string{"K", "B0"})
	assert.Len(t, few[0], 43)
	for i := range few[0] {
		assert.Equal(t, 1000+7*float64(i), few[0][i])
		assert.Equal(t, 2000+7*float64(i), few[1][i])
	}
	before := slices.Clone(d.X)
	cols[0][0] = -1
	assert.Equal(t, before, d.X, "a copy")
	assert.PanicsWithValue(t, `growth: no draws named "B2"`, func() { d.Cols("r", "B2") })
}
