package elementary

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The logarithm against e^y to 150 bits: where e^y exceeds x by the share d, y is too large by d.
func TestLogIsExactToTwoUnits(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 10))
	worst := 0.0
	for range 20000 {
		x := math.Exp([...]float64{0.5, 2, 30, 200}[rng.IntN(4)] * rng.NormFloat64())
		if !(x > 1e-290 && x < 1e290) {
			continue
		}
		y := Log(x)
		e := exactly(y)
		d, _ := e.Sub(e, big.NewFloat(x)).Quo(e, big.NewFloat(x)).Float64()
		worst = max(worst, math.Abs(d)/(math.Nextafter(math.Abs(y), math.Inf(1))-math.Abs(y)))
	}
	t.Logf("largest error %.4f of a unit in the last place", worst)
	assert.Less(t, worst, 2.0)
}

// Where the series is taken, down to numbers next to 1.
func TestLogNearOne(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 11))
	worst := 0.0
	for range 20000 {
		r := math.Ldexp(2*rng.Float64()-1, -4-rng.IntN(50))
		y := Log(1 + r)
		e := exactly(y)
		x := big.NewFloat(1 + r)
		d, _ := e.Sub(e, x).Quo(e, x).Float64()
		if y != 0 {
			worst = max(worst, math.Abs(d)/(math.Nextafter(math.Abs(y), math.Inf(1))-math.Abs(y)))
		}
	}
	t.Logf("largest error %.4f of a unit in the last place", worst)
	assert.Less(t, worst, 0.7)
	assert.Zero(t, Log(1))
}

// At the edges of every interval of the table and of its range.
func TestLogAtTheEdges(t *testing.T) {
	for i := range logSteps + 1 {
		edge := math.Float64frombits(logFrom + uint64(i)<<45)
		for _, x := range []float64{edge, math.Nextafter(edge, 0), math.Nextafter(edge, 2), 1024 * edge, edge / 1024} {
			assert.InDelta(t, math.Log(x), Log(x), 2e-15*math.Max(1, math.Abs(math.Log(x))), "%v", x)
		}
	}
	for _, x := range []float64{0, math.Copysign(0, -1), -1, 1, math.SmallestNonzeroFloat64, math.MaxFloat64, 0x1p-1022, math.Inf(1), math.Inf(-1), 0.9375, 1.0625} {
		if want := math.Log(x); math.IsNaN(want) {
			assert.True(t, math.IsNaN(Log(x)), "%v", x)
		} else if want != Log(x) {
			assert.InEpsilon(t, want, Log(x), 1e-15, "%v", x)
		}
	}
	assert.True(t, math.IsNaN(Log(math.NaN())))
}

func BenchmarkLog(b *testing.B) {
	x, near := make([]float64, 1024), make([]float64, 1024)
	for i := range x {
		x[i], near[i] = math.Exp(10*rand.NormFloat64()), 1+(rand.Float64()-0.5)/8
	}
	for name, of := range map[string]func(float64) float64{"ours": Log, "math": math.Log} {
		for where, x := range map[string][]float64{"all": x, "near 1": near} {
			b.Run(name+"/"+where, func(b *testing.B) {
				sum := 0.0
				for i := 0; b.Loop(); i++ {
					sum += of(x[i&1023])
				}
				_ = sum
			})
		}
	}
}
