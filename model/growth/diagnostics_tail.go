package growth

import (
	"math/bits"
	"sort"
)

// flags are numbers 0 or 1 of the draws of some half chains, a bit each: sums of their products are counts.
type flags struct {
	n, words int      // draws and words of a half; the last word is empty
	bits     []uint64 // half after half
	share    []float64
}

func newFlags(halves, n int) flags {
	words := (n+63)/64 + 1
	return flags{n, words, make([]uint64, halves*words), make([]float64, halves)}
}

// set gives the draws at these places 1, all others 0.
func (f *flags) set(places []int32) {
	clear(f.bits)
	clear(f.share)
	for _, i := range places {
		c := int(i) / f.n
		k := int(i) - c*f.n
		f.bits[c*f.words+k/64] |= 1 << (k % 64)
		f.share[c]++
	}
	for c := range f.share {
		f.share[c] /= float64(f.n)
	}
}

// at is the k-th of a half.
func (f *flags) at(c, k int) float64 { return float64(f.bits[c*f.words+k/64] >> (k % 64) & 1) }

// pairs is how many have a 1 and so many draws later another.
func (f *flags) pairs(lag int) int {
	sum, skip, shift := 0, lag/64, lag%64
	for at := 0; at < len(f.bits); at += f.words {
		half := f.bits[at : at+f.words]
		later := half[skip:]
		for i, w := range half[:len(later)-1] {
			sum += bits.OnesCount64(w & (later[i]>>shift | later[i+1]<<(64-shift)))
		}
	}
	return sum
}

// spread is that of the flags.
func (f *flags) spread() spread {
	var within float64
	for _, p := range f.share {
		within += p * (1 - p)
	}
	_, between := meanVariance(f.share)
	return spread{within * float64(f.n) / float64(f.n-1) / float64(len(f.share)), between}
}

// covariances gives the autocovariances of the lags 1, 2, 3 ... as sums over all halves. With the share p of a half, and e of
// its first and its last l flags, the sum of the lag l is
//
//	Σ (f_i - p)(f_i+l - p) = Σ f_i f_i+l + p e - p² (n + l)
func (f *flags) covariances() func() float64 {
	lag, ends, squares := 0, 0.0, 0.0
	for _, p := range f.share {
		squares += p * p
	}
	return func() float64 {
		for c, p := range f.share {
			ends += p * (f.at(c, lag) + f.at(c, f.n-1-lag))
		}
		lag++
		return float64(f.pairs(lag)) + ends - squares*float64(f.n+lag)
	}
}

// quantileESS is the effective sample size of the indicator of being at or below the quantile p; that of being above has the
// same.
func (d *diagnosis) quantileESS(p float64) float64 {
	q := d.quantile(p)
	k := sort.Search(len(d.sorted), func(i int) bool { return d.sorted[i] > q })
	few := d.order[:k]
	if k > len(d.order)/2 {
		few = d.order[k:]
	}
	d.tails.set(few)
	return d.ess(d.tails.spread(), d.tails.covariances())
}
