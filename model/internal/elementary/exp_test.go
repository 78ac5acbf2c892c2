package elementary

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
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
	assert.Less(t, worstMiss(t, 0, Exp), 0.51)
}

func TestExpm1IsExactToTwoUnits(t *testing.T) {
	assert.Less(t, worstMiss(t, 1, Expm1), 2.0)
}

// worstMiss is how far a function is from e^x - c at most, in units of the last place.
func worstMiss(t *testing.T, c float64, of func([]float64)) (worst float64) {
	rng := rand.New(rand.NewPCG(8, 9))
	for range 5000 {
		spread := [...]float64{1e-9, 0.2, 1, 30, 230}[rng.IntN(5)]
		x := []float64{0, math.Ln2 / 256, spread * (2*rng.Float64() - 1) * 3, spread * rng.NormFloat64()}
		if x[3] > 700 || x[3] < -700 {
			continue
		}
		y := slices.Clone(x)
		of(y)
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
		y := []float64{x, -1, x, 2}
		Exp(y)
		assert.Equal(t, []float64{math.Exp(x), y[1], math.Exp(x), y[3]}, y, "%g", x)
		assert.InEpsilon(t, math.Exp(-1), y[1], 1e-15)
		y = []float64{x}
		Expm1(y)
		if want := math.Expm1(x); want != y[0] {
			assert.InEpsilon(t, want, y[0], 1e-15, "less 1: %g", x)
		}
	}
	y := []float64{math.NaN()}
	Exp(y)
	assert.True(t, math.IsNaN(y[0]))
}

func BenchmarkExp(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	x, y := make([]float64, 4000), make([]float64, 4000)
	for i := range x {
		x[i] = 0.2 * rng.NormFloat64()
	}
	for b.Loop() {
		copy(y, x)
		for i := 0; i < len(y); i += 4 { // as many as are asked for at a time
			Exp(y[i : i+4])
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/4000, "ns/exp")
}
