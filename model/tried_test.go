package model

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The advised fraction stands once, in its place.
func TestSharesHoldTheAdvice(t *testing.T) {
	assert.Len(t, Shares(math.NaN()), 13)
	assert.Len(t, Shares(0.25), 13)
	assert.Len(t, Shares(0), 13)
	got := Shares(0.12)
	assert.Len(t, got, 14)
	assert.Equal(t, []float64{0.1, 0.12, 0.15}, got[2:5])
	assert.Equal(t, 0.83, Shares(0.83)[13])
	near := Shares(0.1504)
	assert.Len(t, near, 13, "no two that read the same")
	assert.Equal(t, 0.1504, near[3])
	assert.Len(t, Shares(0.152), 14)
	for i := 1; i < len(got); i++ {
		assert.Greater(t, got[i], got[i-1])
	}
}
