package growth

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
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
func RHat(chains [][]float64) float64 {
	d := newDiagnosis(chains)
	return d.rhat()
}

// ESSBulk is the effective sample size of the rank-normalised draws: how well the centre is known. See [RHat] for the
// reference and the ranks. Autocorrelations are summed by Geyer's initial monotone sequence.
func ESSBulk(chains [][]float64) float64 {
	d := newDiagnosis(chains)
	return d.bulk()
}

// ESSTail is the smaller of the effective sample sizes of the 5 % and the 95 % quantile: how well the ends are known.
func ESSTail(chains [][]float64) float64 {
	d := newDiagnosis(chains)
	return d.tail()
}

// diagnosis holds the split chains of one quantity and their order, shared by the measures above.
type diagnosis struct {
	halves int       // number of half chains
	n      int       // draws in each
	x      []float64 // half after half
	order  []int32   // indices of x from the smallest
	all    []float64 // every draw from the smallest, where halves leave one out of a chain of odd length; else nil
	bad    bool
	score  []float64 // normal scores by position, when there are no ties
	z      []float64 // normal scores of x
}

func newDiagnosis(chains [][]float64) *diagnosis {
	d := &diagnosis{halves: 2 * len(chains)}
	if len(chains) == 0 || len(chains[0]) < 4 {
		d.bad = true
		return d
	}
	total := len(chains[0])
	d.n = total / 2
	for _, c := range chains {
		if len(c) != total {
			panic("growth: chains of unequal length")
		}
		d.x = append(d.x, c[:d.n]...)
		d.x = append(d.x, c[total-d.n:]...)
	}
	if total%2 == 1 {
		d.all = slices.Concat(chains...)
		slices.Sort(d.all)
	}
	for _, v := range d.x {
		d.bad = d.bad || math.IsNaN(v) || math.IsInf(v, 0)
	}
	d.order = sortedIndex(d.x)
	d.bad = d.bad || d.x[d.order[0]] == d.x[d.order[len(d.order)-1]]
	return d
}

// normalScores is Φ^-1((k - 3/8)/(S + 1/4)) for k = 1..S, by symmetry from one half.
func (d *diagnosis) normalScores() []float64 {
	if d.score == nil {
		s := len(d.x)
		d.score = make([]float64, s)
		for k := 0; k < (s+1)/2; k++ {
			z := distuv.UnitNormal.Quantile((float64(k+1) - 0.375) / (float64(s) + 0.25))
			d.score[k], d.score[s-1-k] = z, -z
		}
	}
	return d.score
}

// rankNormal replaces the values y, whose order is given, by their normal scores; ties share the score of their mean
// rank.
func (d *diagnosis) rankNormal(y []float64, order []int32) []float64 {
	score := d.normalScores()
	z := make([]float64, len(y))
	for lo := 0; lo < len(order); {
		hi := lo + 1
		for hi < len(order) && y[order[hi]] == y[order[lo]] {
			hi++
		}
		s := score[lo]
		if hi > lo+1 {
			mean := (float64(lo+1) + float64(hi)) / 2
			s = distuv.UnitNormal.Quantile((mean - 0.375) / (float64(len(y)) + 0.25))
		}
		for ; lo < hi; lo++ {
			z[order[lo]] = s
		}
	}
	return z
}

// scores are the normal scores of the draws.
func (d *diagnosis) scores() []float64 {
	if d.z == nil {
		d.z = d.rankNormal(d.x, d.order)
	}
	return d.z
}

// folded is the distance from the median with its order, merged from the two sides.
func (d *diagnosis) folded() ([]float64, []int32) {
	s := len(d.x)
	med := (d.x[d.order[(s-1)/2]] + d.x[d.order[s/2]]) / 2
	y := make([]float64, s)
	for i, v := range d.x {
		y[i] = math.Abs(v - med)
	}
	up := 0
	for up < s && d.x[d.order[up]] < med {
		up++
	}
	down := up - 1
	order := make([]int32, 0, s)
	for len(order) < s {
		if down < 0 || up < s && y[d.order[up]] <= y[d.order[down]] {
			order = append(order, d.order[up])
			up++
		} else {
			order = append(order, d.order[down])
			down--
		}
	}
	return y, order
}

func (d *diagnosis) rhat() float64 {
	if d.bad {
		return math.NaN()
	}
	bulk := d.plainRHat(d.scores())
	y, order := d.folded()
	return math.Max(bulk, d.plainRHat(d.rankNormal(y, order)))
}

func (d *diagnosis) plainRHat(z []float64) float64 {
	means := make([]float64, d.halves)
	var within float64
	for c := range means {
		m, v := meanVariance(z[c*d.n : (c+1)*d.n])
		means[c] = m
		within += v / float64(d.halves)
	}
	_, between := meanVariance(means)
	n := float64(d.n)
	return math.Sqrt((between + (n-1)/n*within) / within)
}

func (d *diagnosis) bulk() float64 {
	if d.bad {
		return math.NaN()
	}
	return d.ess(d.scores())
}

func (d *diagnosis) tail() float64 {
	if d.bad {
		return math.NaN()
	}
	return math.Min(d.quantileESS(0.05), d.quantileESS(0.95))
}

// meanVariance is the mean and the variance with divisor n-1; 0 for a single value.
func meanVariance(x []float64) (mean, variance float64) {
	for _, v := range x {
		mean += v
	}
	mean /= float64(len(x))
	for _, v := range x {
		variance += (v - mean) * (v - mean)
	}
	if len(x) > 1 {
		variance /= float64(len(x) - 1)
	}
	return mean, variance
}
