package offtake

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// exactly is e^x to 150 bits, by the series of e^(x/2^12).
func exactly(x float64) *big.Float {
	small := new(big.Float).SetPrec(200).SetMantExp(new(big.Float).SetPrec(200).SetFloat64(x), -12)
	sum, term := big.NewFloat(1).SetPrec(200), big.NewFloat(1).SetPrec(200)
	for n := 1; n < 25; n++ {
		term.Mul(term, small)
		term.Quo(term, big.NewFloat(float64(n)))
		sum.Add(sum, term)
	}
	for range 12 {
		sum.Mul(sum, sum)
	}
	return sum
}

func TestExpIsExactToHalfAUnit(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 9))
	worst := 0.0
	for range 5000 {
		spread := [...]float64{1e-9, 0.2, 1, 30, 230}[rng.IntN(5)]
		x := tile{0, math.Ln2 / 256, spread * (2*rng.Float64() - 1) * 3, spread * rng.NormFloat64()}
		if x[3] > 700 || x[3] < -700 {
			continue
		}
		y := x
		y.exp()
		for l := range y {
			miss, _ := new(big.Float).Sub(big.NewFloat(y[l]), exactly(x[l])).Float64()
			worst = max(worst, math.Abs(miss)/(math.Nextafter(y[l], math.Inf(1))-y[l]))
		}
	}
	t.Logf("largest error %.4f of a unit in the last place", worst)
	assert.Less(t, worst, 0.51)
}

func TestExpOutsideOfItsRange(t *testing.T) {
	far := []float64{0, math.Copysign(0, -1), 700, -700, 709.7, 710, -745, -746, -1e300, 1e300, math.Inf(1), math.Inf(-1), math.SmallestNonzeroFloat64}
	for _, x := range far {
		y := tile{x, -1, x, 2}
		y.exp()
		assert.Equal(t, tile{math.Exp(x), y[1], math.Exp(x), y[3]}, y, "%g", x)
		approx(t, "beside it", y[1], math.Exp(-1), 1e-15, 0)
	}
	y := tile{math.NaN()}
	y.exp()
	assert.True(t, math.IsNaN(y[0]))
}

func BenchmarkExp(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	x, y := make([]tile, 1000), make([]tile, 1000)
	for i := range x {
		for l := range x[i] {
			x[i][l] = 0.2 * rng.NormFloat64()
		}
	}
	for b.Loop() {
		copy(y, x)
		for i := range y {
			y[i].exp()
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/4000, "ns/exp")
}
