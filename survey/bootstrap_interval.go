package survey

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// leastDefined is the share of replicates that must have a value: one without a weighed quadrat has none.
const leastDefined = 0.95

// interval is the studentised bootstrap interval of an estimate from its replicates,
//
//	Lo = max(0, Value - q(1 - α/2) SE),   Hi = Value - q(α/2) SE
//
// with q the quantiles of the pivot over the replicates,
//
//	z = (B* - Value + Σ_j ε_j) / sqrt(v* + Σ_j v_j* )
//
// B* and v* being a replicate's value and variance. ε_j are the errors that do not come from the sampling units (of a
// conversion from outside, of the bed's area), drawn with their variances v_j; v_j* are these variances as they would
// be estimated: in proportion to B*², and with a finite df_j times χ²/df_j. The interval is second-order right also
// for skewed totals; percentile intervals of so few units are too narrow (testdata/interval/README.md).
//
// A replicate all of whose units are alike has v* = 0 and a pivot without bound. Where more than α/4 of the replicates
// are so, or more than a twentieth have no value, the interval is not known: the estimate comes back as it was, known
// false.
//
// References:
//   - Rao, J. N. K. and Wu, C. F. J.: Resampling inference with complex survey data. Journal of the American
//     Statistical Association 83 (1988) 231-241, section 3
//   - Davison, A. C. and Hinkley, D. V.: Bootstrap Methods and their Application. Cambridge (1997), section 5.2
func (b resampled) interval(e Estimate, others []part, rng *rand.Rand) (out Estimate, ends upperEnd, known bool) {
	alpha := 1 - e.Level
	pivots := make([]float64, 0, len(b.value))
	unbounded := 0
	for i, value := range b.value {
		diff, v := value-e.Value, b.variance[i]
		for _, p := range others {
			diff += math.Sqrt(p.v) * rng.NormFloat64()
			v += p.again(rng) * value * value / (e.Value * e.Value)
		}
		switch z := diff / math.Sqrt(v); {
		case math.IsInf(z, 0):
			unbounded++
			pivots = append(pivots, math.Copysign(math.MaxFloat64, z))
		case diff == 0 && v == 0:
			pivots = append(pivots, 0)
		case !math.IsNaN(z):
			pivots = append(pivots, z)
		}
	}
	if float64(len(pivots)) < leastDefined*float64(len(b.value)) || float64(unbounded) > alpha/4*float64(len(pivots)) {
		return e, upperEnd{}, false
	}
	e.Lo = max(0, e.Value-Quantile(pivots, 1-alpha/2)*e.SE)
	e.Hi = e.Value - Quantile(pivots, alpha/2)*e.SE
	e.Kind = "bootstrap"
	chance := 2 * math.Sqrt(alpha/2*(1-alpha/2)/float64(len(pivots)))
	near := e.Value - Quantile(pivots, min(0.5, alpha/2+chance))*e.SE
	far := e.Value - Quantile(pivots, max(0, alpha/2-chance))*e.SE
	return e, upperEnd{near, far}, true
}

// upperEnd are the values between which the upper end of a bootstrap interval lies by the chance of its replicates, two
// standard errors of the quantile to either side.
type upperEnd struct{ near, far float64 }

// unsettled says so where other draws could move the upper end by more than half of its distance from the estimate.
func (s upperEnd) unsettled(e Estimate) string {
	if e.Kind != "bootstrap" || s.far-s.near <= (e.Hi-e.Value)/2 {
		return ""
	}
	upTo := "without bound"
	if s.far < unbound*e.Value {
		upTo = fmt.Sprintf("to %.2g kg", s.far)
	}
	return fmt.Sprintf("upper end of the bootstrap interval not settled: by the chance of its draws from %.2g kg %s; raise "+
		"bootstrap_draws, and lay more transects next time", s.near, upTo)
}

// unbound is the multiple of an estimate from which an upper end says nothing.
const unbound = 1e6

// again is the variance as it might have been estimated another time.
func (p part) again(rng *rand.Rand) float64 {
	if math.IsInf(p.df, 1) || !(p.df > 0) {
		return p.v
	}
	return p.v * distuv.ChiSquared{K: p.df, Src: rng}.Rand() / p.df
}

// others are the errors of kg that do not come from the sampling units: those of a conversion from outside, of weight by
// frond length that was fitted to other fronds, and of the bed's area.
func (b *resampler) others(kg Estimate, w weight, r readings) []part {
	out := append([]part(nil), w.shared...)
	if v := b.s.curveError(w, r); v > 0 {
		out = append(out, part{v, math.Inf(1)})
	}
	area := kg.SE*kg.SE - w.own.v
	for _, p := range w.shared {
		area -= p.v
	}
	if area > 1e-12*kg.SE*kg.SE {
		out = append(out, part{area, math.Inf(1)})
	}
	return out
}

// curveError is the part of the own variance that resampling the sampling units does not move.
func (s *fieldwork) curveError(w weight, r readings) float64 {
	if w.fit == nil {
		return max(0, w.own.v-w.sampled)
	}
	if w.conversion == byRatio {
		return 0
	}
	weights := s.design.total(coverOrKg(r)).weight
	return quadratic(s.regress(r, s.weighings(r, w.fronds, weights), *w.fit, w.fronds, weights).d, w.fit.cov)
}

// newOthersStream is the stream of the errors that do not come from the sampling units.
func newOthersStream(seed uint64, st *Stock) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte("bootstrap, other errors|" + st.Bed + "|" + st.Species + "|" + st.Survey))
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}
