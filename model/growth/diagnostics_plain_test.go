package growth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// drawChains are correlated chains of any of these kinds: level, drifting, tied, with a far outlier, repeated draw by draw.
func drawChains(t *rapid.T) [][]float64 {
	n := rapid.IntRange(4, 300).Draw(t, "draws")
	kind := rapid.SampledFrom([]string{"level", "drifting", "tied", "outlier", "repeated"}).Draw(t, "kind")
	a := rapid.Float64Range(-0.9, 0.95).Draw(t, "correlation")
	chains := make([][]float64, rapid.IntRange(1, 5).Draw(t, "chains"))
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
	for c := range chains {
		chains[c] = make([]float64, n)
		x := rng.NormFloat64()
		for k := range n {
			if kind != "repeated" || k%2 == 0 {
				x = a*x + rng.NormFloat64()
			}
			chains[c][k] = x
			switch kind {
			case "drifting":
				chains[c][k] += float64(c) + 3*float64(k)/float64(n)
			case "tied":
				chains[c][k] = math.Round(x)
			}
		}
	}
	if kind == "outlier" {
		chains[0][0] = 1e12
	}
	return chains
}

// plain works out everything as its definition is written, by sorting, floats and one lag after the other.
type plain struct {
	halves [][]float64
	open   *bool // a pair of lags is 0 but for rounding, so that the sum may end with it or not
}

func plainOf(chains [][]float64) plain {
	p := plain{open: new(bool)}
	for _, c := range chains {
		p.halves = append(p.halves, c[:len(c)/2], c[len(c)-len(c)/2:])
	}
	return p
}

func (p plain) each(of func(float64) float64) plain {
	out := plain{open: p.open}
	for _, h := range p.halves {
		var y []float64
		for _, v := range h {
			y = append(y, of(v))
		}
		out.halves = append(out.halves, y)
	}
	return out
}

func (p plain) scores() plain {
	all := slices.Concat(p.halves...)
	slices.Sort(all)
	return p.each(func(v float64) float64 {
		lo, _ := slices.BinarySearch(all, v)
		hi := lo
		for hi < len(all) && all[hi] == v {
			hi++
		}
		return distuv.UnitNormal.Quantile((float64(lo+1+hi)/2 - 0.375) / (float64(len(all)) + 0.25))
	})
}

func (p plain) folded() plain {
	all := slices.Concat(p.halves...)
	slices.Sort(all)
	med := (all[len(all)/2-1] + all[len(all)/2]) / 2
	return p.each(func(v float64) float64 { return math.Abs(v - med) })
}

func (p plain) variances() (within, between float64) {
	var means, variances []float64
	for _, h := range p.halves {
		m, v := stat.MeanVariance(h, nil)
		means, variances = append(means, m), append(variances, v)
	}
	return stat.Mean(variances, nil), stat.Variance(means, nil)
}

func (p plain) rhat() float64 {
	w, b := p.variances()
	n := float64(len(p.halves[0]))
	return math.Sqrt(((n-1)/n*w + b) / w)
}

func (p plain) ess() float64 {
	n, m := len(p.halves[0]), len(p.halves)
	w, b := p.variances()
	if w+b == 0 {
		return math.NaN()
	}
	s, lag, before := float64(n*m), 0, 1.0
	tau := geyer(func() float64 {
		lag++
		var sum float64
		for _, h := range p.halves {
			mean := stat.Mean(h, nil)
			for i := range n - lag {
				sum += (h[i] - mean) * (h[i+lag] - mean)
			}
		}
		rho := 1 - (w-sum/s)/(w*float64(n-1)/float64(n)+b)
		*p.open = *p.open || lag%2 == 1 && math.Abs(before+rho) < 1e-12
		before = rho
		return rho
	}, n)
	return s / math.Max(tau, 1/math.Log10(s))
}

func (p plain) tail(all []float64, at float64) float64 {
	all = slices.Clone(all)
	slices.Sort(all)
	h := at * float64(len(all)-1)
	lo := int(h)
	q := all[lo] + (h-float64(lo))*(all[min(lo+1, len(all)-1)]-all[lo])
	return p.each(func(v float64) float64 {
		if v <= q {
			return 1
		}
		return 0
	}).ess()
}

// Ranks by digits, counts of bits and lags worked out together give what the definitions give, and a room that served other
// draws before gives the same to the last digit.
func TestDiagnosticsAsDefined(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		chains := drawChains(t)
		all := slices.Concat(chains...)
		p := plainOf(chains)
		if x := slices.Concat(p.halves...); slices.Min(x) == slices.Max(x) {
			t.Skip("all equal")
		}
		same := func(name string, got, want float64) {
			if *p.open {
				t.Skip("nothing to agree on")
			}
			if math.IsNaN(want) || math.IsInf(want, 0) {
				require.Equal(t, math.IsNaN(want), math.IsNaN(got), name)
				return
			}
			require.InEpsilon(t, want, got, 1e-9, name)
		}
		same("rhat", RHat(chains), max(p.scores().rhat(), p.folded().scores().rhat()))
		same("bulk", ESSBulk(chains), p.scores().ess())
		same("tail", ESSTail(chains), min(p.tail(all, 0.05), p.tail(all, 0.95)))

		room := newDiagnosis(len(chains), len(chains[0]), normalScores(splitDraws(len(chains), len(chains[0]))))
		room.read(chains, 1, 0, math.Abs)
		room.verdict()
		room.read(chains, 1, 0, itself)
		require.Equal(t, fmt.Sprint(verdict{RHat(chains), min(ESSBulk(chains), ESSTail(chains))}), fmt.Sprint(room.verdict())) // NaN too
	})
}
