package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestLocated(t *testing.T) {
	assert.True(t, Point{Lon: -30, Lat: 50}.Located())
	assert.False(t, Point{Lon: math.NaN(), Lat: 50}.Located())
}
