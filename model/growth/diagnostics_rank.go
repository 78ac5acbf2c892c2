package growth

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// normalScores is Φ^-1((k - 3/8)/(S + 1/4)) for the ranks k = 1, 1.5, 2, ... S, halves for ties, by symmetry from one half.
func normalScores(s int) []float64 {
	out := make([]float64, max(2*s-1, 0))
	for i := range s {
		z := distuv.UnitNormal.Quantile((1 + float64(i)/2 - 0.375) / (float64(s) + 0.25))
		out[len(out)-1-i], out[i] = -z, z
	}
	return out
}

// spread is the mean variance within a half chain and the variance of the means of the halves.
type spread struct{ within, between float64 }

// rhat is that of halves of n draws.
func (s spread) rhat(n int) float64 {
	return math.Sqrt((s.between + float64(n-1)/float64(n)*s.within) / s.within)
}

// spreadBulk lays out the normal scores of the draws.
func (d *diagnosis) spreadBulk() spread { return d.rankNormal(d.sorted, d.order) }

// spreadFolded lays out those of the distances from the median.
func (d *diagnosis) spreadFolded() spread {
	d.far.merge(d.sorted, d.order)
	return d.rankNormal(d.far.sorted, d.far.order)
}

// rankNormal lays out the normal scores of values that are given from the smallest with their places; ties share the score of
// their mean rank.
func (d *diagnosis) rankNormal(sorted []float64, order []int32) spread {
	for lo := 0; lo < len(sorted); {
		hi := lo + 1
		for hi < len(sorted) && sorted[hi] == sorted[lo] {
			hi++
		}
		score := d.scores[lo+hi-1]
		for ; lo < hi; lo++ {
			d.z[order[lo]] = score
		}
	}
	return d.centre()
}

// centre takes from the scores of each half their mean.
func (d *diagnosis) centre() spread {
	var within float64
	for c := range d.means {
		half := d.z[c*d.n : (c+1)*d.n]
		d.means[c] = total(half) / float64(d.n)
		within += centreSquares(half, d.means[c])
	}
	_, between := meanVariance(d.means)
	return spread{within / float64(d.halves*(d.n-1)), between}
}

// total is the sum of x, in four parts at once.
func total(x []float64) float64 {
	var a, b, c, d float64
	for ; len(x) >= 4; x = x[4:] {
		a, b, c, d = a+x[0], b+x[1], c+x[2], d+x[3]
	}
	for _, v := range x {
		a += v
	}
	return (a + b) + (c + d)
}

// centreSquares takes the mean from x and returns the sum of the squares of what is left, in two parts at once.
func centreSquares(x []float64, mean float64) float64 {
	var a, b float64
	for ; len(x) >= 2; x = x[2:] {
		x[0] -= mean
		x[1] -= mean
		a, b = a+x[0]*x[0], b+x[1]*x[1]
	}
	for i := range x {
		x[i] -= mean
		a += x[i] * x[i]
	}
	return a + b
}

// folding is the distances of values from their median, from the smallest, with the places of the values.
type folding struct {
	sorted []float64
	order  []int32
}

// merge joins the distances of the upper half of an even number of values with those of the lower: the near half of them from
// the median outwards, the far half from both ends inwards. Neither can run out, for either half has as many as it picks.
// Distances are compared by their bits, which order as numbers from 0 do.
func (f folding) merge(sorted []float64, order []int32) {
	s := len(sorted)
	half := s / 2
	med := (sorted[half-1] + sorted[half]) / 2
	far := func(i int) uint64 { return math.Float64bits(math.Abs(sorted[i] - med)) }
	up, down := half, half-1
	top, bottom := s-1, 0
	for k := range half {
		step, near, other := 0, far(up), far(down)
		if near <= other {
			step = 1
		}
		i := down + (up-down)*step
		f.sorted[k], f.order[k] = math.Float64frombits(min(near, other)), order[i]
		up, down = up+step, down-1+step

		step, near, other = 0, far(top), far(bottom)
		if near > other {
			step = 1
		}
		i = bottom + (top-bottom)*step
		f.sorted[s-1-k], f.order[s-1-k] = math.Float64frombits(max(near, other)), order[i]
		top, bottom = top-step, bottom+1-step
	}
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
