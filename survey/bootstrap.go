package survey

import (
	"hash/fnv"
	"math/rand/v2"
	"runtime"
	"sync"
)

// leastReplicates is the number of bootstrap replicates below which an interval is mostly chance, leastUnits the number
// of sampling units of a stratum that resampling needs: with three, replicates have two, and those are often one twice.
const (
	leastReplicates = 200
	leastUnits      = 4
)

// resampler draws surveys from a survey: in every group of strata (see [design]) n_g - 1 of its n_g sampling units, with
// replacement and with all that was read in them, weighed quadrats too. A replicate is evaluated as a survey of its own.
//
// That is the rescaling bootstrap with m_g = n_g - 1, for which the rescaled values are the values themselves: in R
// survey's type = "subbootstrap" each unit has the weight n_g/(n_g - 1) times the number of its draws, and the factor
// cancels in the ratio to size of every stratum. The variance of replicates of a mean is then its usual variance, where
// n_g draws would give (n_g - 1)/n_g of it. A finite population correction is left to the standard error of the survey.
//
// References:
//   - Rao, J. N. K. and Wu, C. F. J.: Resampling inference with complex survey data. Journal of the American
//     Statistical Association 83 (1988) 231-241
//   - Rao, J. N. K., Wu, C. F. J. and Yue, K.: Some recent work on resampling methods for complex surveys. Survey
//     Methodology 18 (1992) 209-217
type resampler struct {
	s     *fieldwork
	units [][]int32 // per group: its sampling units
	quads [][]int32 // per sampling unit: its quadrats
	draws [][]int32 // per replicate: the sampling units drawn, group after group
}

// newResampler draws all replicates from the stream of that name.
func newResampler(s *fieldwork, replicates int, seed uint64, stream string) *resampler {
	d := s.design
	b := &resampler{s: s, units: make([][]int32, len(d.inside)), quads: make([][]int32, d.units), draws: make([][]int32, replicates)}
	for c, g := range d.group {
		b.units[g] = append(b.units[g], int32(c))
	}
	for i, c := range d.unit {
		b.quads[c] = append(b.quads[c], int32(i))
	}
	h := fnv.New64a()
	h.Write([]byte(stream))
	rng := rand.New(rand.NewPCG(seed, h.Sum64()))
	for i := range b.draws {
		for _, units := range b.units {
			for range len(units) - 1 {
				b.draws[i] = append(b.draws[i], units[rng.IntN(len(units))])
			}
		}
	}
	return b
}

// replicate is a drawn survey.
type replicate struct {
	*fieldwork
	pick   []int32   // per quadrat: the quadrat of the survey it is a copy of
	factor []float64 // per quadrat: n_g/(n_g - 1), the rescaling of its weight
}

// replicate lays out the i-th survey that was drawn. A unit drawn twice is two units.
func (b *resampler) replicate(i int) replicate {
	from := b.s.design
	d := &design{strata: append([]stratum(nil), from.strata...), area: from.area, areaSE: from.areaSE, lonely: from.lonely,
		units: len(b.draws[i]), inside: make([]int, len(from.inside))}
	for h := range d.strata {
		d.strata[h].units = 0
	}
	seen := make([]int, len(d.strata)) // the last unit in a stratum, from 1
	f := *b.s
	f.design, f.quads = d, nil
	r := replicate{fieldwork: &f}
	for c, unit := range b.draws[i] {
		g := from.group[unit]
		d.group = append(d.group, g)
		d.inside[g]++
		for _, q := range b.quads[unit] {
			h := from.stratum[q]
			d.stratum, d.unit, d.m2 = append(d.stratum, h), append(d.unit, int32(c)), append(d.m2, from.m2[q])
			r.pick, r.factor = append(r.pick, q), append(r.factor, float64(from.inside[g])/float64(from.inside[g]-1))
			if seen[h] != c+1 {
				seen[h] = c + 1
				d.strata[h].units++
			}
		}
	}
	return r
}

// resampled are the replicates of an estimate: its value and the variance between the sampling units of each.
type resampled struct{ value, variance []float64 }

// evaluate estimates from every replicate, on all cores; the result is the same on any number of them.
func (b *resampler) evaluate(estimate func(r replicate) (value, variance float64)) resampled {
	n := len(b.draws)
	out := resampled{make([]float64, n), make([]float64, n)}
	workers := min(runtime.GOMAXPROCS(0), n)
	var wg sync.WaitGroup
	for first := range workers {
		wg.Go(func() {
			for i := first; i < n; i += workers {
				out.value[i], out.variance[i] = estimate(b.replicate(i))
			}
		})
	}
	wg.Wait()
	return out
}

// picked are the values of a replicate's quadrats.
func (r replicate) picked(x []float64) []float64 {
	if x == nil {
		return nil
	}
	out := make([]float64, len(r.pick))
	for i, q := range r.pick {
		out[i] = x[q]
	}
	return out
}

// readings are those of a replicate's quadrats.
func (r replicate) readings(of readings) readings {
	return readings{cover: r.picked(of.cover), kg: r.picked(of.kg), frond: r.picked(of.frond)}
}

// total is that of values known per quadrat, with its variance.
func (r replicate) total(x []float64) (value, variance float64) {
	t := r.design.total(r.picked(x))
	return t.total, r.design.cov(t.unit, t.unit)
}
