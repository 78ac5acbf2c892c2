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
	assert.Less(t, worstMiss(t, 0, (*tile).exp), 0.51)
}

func TestExpm1IsExactToTwoUnits(t *testing.T) {
	assert.Less(t, worstMiss(t, 1, (*tile).expm1), 2.0)
}

// worstMiss is how far a function is from e^x - c at most, in units of the last place.
func worstMiss(t *testing.T, c float64, of func(*tile)) (worst float64) {
	rng := rand.New(rand.NewPCG(8, 9))
	for range 5000 {
		spread := [...]float64{1e-9, 0.2, 1, 30, 230}[rng.IntN(5)]
		x := tile{0, math.Ln2 / 256, spread * (2*rng.Float64() - 1) * 3, spread * rng.NormFloat64()}
		if x[3] > 700 || x[3] < -700 {
			continue
		}
		y := x
		of(&y)
		for l := range y {
			want := exactly(x[l])
			miss, _ := want.Sub(want, big.NewFloat(c)).Sub(want, big.NewFloat(y[l])).Float64()
			worst = max(worst, math.Abs(miss)/(math.Nextafter(math.Abs(y[l]), math.Inf(1))-math.Abs(y[l])))
		}
	}
	t.Logf("largest error %.4f of a unit in the last place", worst)
	return worst
}

func TestExpOutsideOfItsRange(t *testing.T) {
	far := []float64{0, math.Copysign(0, -1), 700, -700, 710, -745, -746, -1e300, 1e300, math.Inf(1), math.Inf(-1), math.SmallestNonzeroFloat64}
	for _, x := range far {
		y := tile{x, -1, x, 2}
		y.exp()
		assert.Equal(t, tile{math.Exp(x), y[1], math.Exp(x), y[3]}, y, "%g", x)
		approx(t, "beside it", y[1], math.Exp(-1), 1e-15, 0)
		y = tile{x}
		y.expm1()
		approx(t, "less 1", y[0], math.Expm1(x), 1e-15, 0)
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
