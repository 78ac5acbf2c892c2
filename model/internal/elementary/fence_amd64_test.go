//go:build unix

package elementary

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedstock/model/internal/fence"
)

func TestExpKeepsToItsNumbers(t *testing.T) {
	for n := range 20 {
		x := fence.Before(t, make([]float64, n))
		for i := range x {
			x[i] = float64(i)
		}
		Exp(x)
		for i := range x {
			assert.InEpsilon(t, math.Exp(float64(i)), x[i], 1e-15)
		}
	}
}
