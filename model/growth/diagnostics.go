package growth

import (
	"math"
	"slices"

	"bedstock/model/internal/quantile"
)

// RHat is the rank-normalised split R-hat of several chains of equal length: the larger of that of the ranks and that
// of the ranks of the distances from the median. Each chain is cut in halves, the draws are replaced by
//
//	z = Φ^-1( (rank - 3/8)/(S + 1/4) )
//
// with S draws in all and mean ranks for ties, and
//
//	R-hat = sqrt( ((N-1)/N W + B/N)/W )
//
// with W the mean variance within a half, B/N the variance of the means of the halves and N the draws in a half. Near 1
// the chains tell the same; 1.01 is the usual bound. It is NaN where a draw is not finite, where all are equal, or with
// fewer than 4 draws a chain.
//
// References:
//   - Vehtari, A., Gelman, A., Simpson, D., Carpenter, B. and Bürkner, P.-C.: Rank-normalization, folding, and
//     localization: an improved R-hat for assessing convergence of MCMC. Bayesian Analysis 16 (2021)
func RHat(chains [][]float64) float64 { return diagnosisOf(chains).rhat() }

// ESSBulk is the effective sample size of the rank-normalised draws: how well the centre is known. See [RHat] for the
// reference and the ranks. Autocorrelations are summed by Geyer's initial monotone sequence.
func ESSBulk(chains [][]float64) float64 { return diagnosisOf(chains).bulk() }

// ESSTail is the smaller of the effective sample sizes of the 5 % and the 95 % quantile: how well the ends are known.
func ESSTail(chains [][]float64) float64 { return diagnosisOf(chains).tail() }

// diagnosis is room to judge one quantity after another by the measures above: its split chains and their order. It serves one
// goroutine at a time.
type diagnosis struct {
	halves int       // number of half chains
	n      int       // draws in each
	scores []float64 // see [normalScores]; only read, and shared
	x      []float64 // half after half
	middle []float64 // what the halves leave out of chains of odd length
	bad    bool
	sorter sorter
	order  []int32   // indices of x from the smallest
	sorted []float64 // x from the smallest
	far    folding
	z      []float64 // normal scores in place of x, less the mean of their half
	means  []float64 // those means
	tails  flags
}

// splitDraws is how many draws the halves of so many chains hold.
func splitDraws(chains, draws int) int { return 2 * chains * (draws / 2) }

// newDiagnosis has room for so many chains of so many draws.
func newDiagnosis(chains, draws int, scores []float64) *diagnosis {
	n, s := draws/2, splitDraws(chains, draws)
	return &diagnosis{halves: 2 * chains, n: n, scores: scores, x: make([]float64, s), sorter: newSorter(s), order: make([]int32, s),
		sorted: make([]float64, s), far: folding{make([]float64, s), make([]int32, s)}, z: make([]float64, s),
		means: make([]float64, 2*chains), tails: newFlags(2*chains, n)}
}

// diagnosisOf is that of one quantity.
func diagnosisOf(chains [][]float64) *diagnosis {
	total := 0
	for _, c := range chains {
		total = len(chains[0])
		if len(c) != total {
			panic("growth: chains of unequal length")
		}
	}
	d := newDiagnosis(len(chains), total, normalScores(splitDraws(len(chains), total)))
	d.read(chains, 1, 0, itself)
	return d
}

// read takes in what of gives of the j-th of each width numbers of the paths, a path a chain.
func (d *diagnosis) read(paths [][]float64, width, j int, of func(float64) float64) {
	d.bad, d.middle = len(d.x) == 0 || d.n < 2, d.middle[:0]
	if d.bad {
		return
	}
	for c, path := range paths {
		total := len(path) / width
		half := d.x[2*c*d.n:]
		for k := range d.n {
			half[k], half[d.n+k] = of(path[k*width+j]), of(path[(total-d.n+k)*width+j])
		}
		if total%2 == 1 {
			d.middle = append(d.middle, of(path[d.n*width+j]))
		}
	}
	for _, v := range d.x {
		if v-v != 0 {
			d.bad = true
			return
		}
	}
	d.sorter.order(d.x, d.order)
	for k, i := range d.order {
		d.sorted[k] = d.x[i]
	}
	d.bad = d.sorted[0] == d.sorted[len(d.sorted)-1]
}

func (d *diagnosis) rhat() float64 {
	if d.bad {
		return math.NaN()
	}
	return max(d.spreadBulk().rhat(d.n), d.spreadFolded().rhat(d.n))
}

func (d *diagnosis) bulk() float64 {
	if d.bad {
		return math.NaN()
	}
	return d.essBulk(d.spreadBulk())
}

func (d *diagnosis) tail() float64 {
	if d.bad {
		return math.NaN()
	}
	return min(d.quantileESS(0.05), d.quantileESS(0.95))
}

// verdict is all of them.
func (d *diagnosis) verdict() verdict {
	if d.bad {
		return verdict{math.NaN(), math.NaN()}
	}
	folded, bulk := d.spreadFolded(), d.spreadBulk() // in this order: the draws' own scores are to stay
	return verdict{max(bulk.rhat(d.n), folded.rhat(d.n)), min(d.essBulk(bulk), d.tail())}
}

// quantile is that of all draws.
func (d *diagnosis) quantile(p float64) float64 {
	all := d.sorted
	if len(d.middle) > 0 {
		all = slices.Concat(d.x, d.middle)
		slices.Sort(all)
	}
	return quantile.Sorted(all, p)
}
