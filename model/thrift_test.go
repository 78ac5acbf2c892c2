package model

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bedstock/model/offtake"
)

func TestChanceOfBeingBelow(t *testing.T) {
	b := &Basis{Stand: offtake.Stand{K: []float64{100, 100, 100, 200}, B: []float64{39, 40, 41, 79}}}
	assert.Equal(t, 0.5, b.PBelow(0.4), "39 of 100 and 79 of 200")
	assert.Zero(t, b.PBelow(0))
	b.below = [2]below{{0.4, 0.7}, {0.2, 0.1}}
	assert.Equal(t, []float64{0.7, 0.1, 0.75}, []float64{b.PBelow(0.4), b.PBelow(0.2), b.PBelow(0.405)}, "as it was worked out, where it was")
}
