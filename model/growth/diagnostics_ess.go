package growth

import "math"

// ess is the effective sample size of values of a spread, by Geyer's initial monotone sequence over the autocovariances pooled
// over the half chains; next gives those of the lags 1, 2, 3 ... as sums of products over all halves.
func (d *diagnosis) ess(s spread, next func() float64) float64 {
	n, m := float64(d.n), float64(d.halves)
	total := s.within*(n-1)/n + s.between
	if total == 0 {
		return math.NaN()
	}
	rho := func() float64 { return 1 - (s.within-next()/(n*m))/total }
	return n * m / math.Max(geyer(rho, d.n), 1/math.Log10(n*m))
}

// geyer sums autocorrelations, given from lag 1 on, over pairs of lags while the pairs stay positive, each pair held at most as
// large as the one before it; the first term of the pair that ends the sum is added once if it is positive.
//
// References:
//   - Geyer, C. J.: Practical Markov chain Monte Carlo. Statistical Science 7 (1992)
func geyer(next func() float64, n int) float64 {
	even, odd := 1.0, next()
	tau, last := -1.0, math.Inf(1)
	for lag := 0; lag < n-5 && even+odd > 0; lag += 2 {
		pair := math.Min(even+odd, last)
		tau += 2 * pair
		last = pair
		even = next()
		odd = next()
	}
	if even > 0 {
		tau += even
	}
	return tau
}

// essBulk is that of the scores laid out.
func (d *diagnosis) essBulk(s spread) float64 {
	lag, ready := 1, []float64(nil)
	var sums [together]float64
	return d.ess(s, func() float64 {
		if len(ready) == 0 {
			sums = [together]float64{}
			for c := range d.halves {
				products(d.z[c*d.n:(c+1)*d.n], lag, &sums)
			}
			lag, ready = lag+together, sums[:]
		}
		v := ready[0]
		ready = ready[1:]
		return v
	})
}

// together is for how many lags sums of products are worked out at once: an addition waits for the one before it, and others
// fill the time.
const together = 4

// products adds the sums of the products of x with itself at the lags lag, lag+1 ... to sums.
func products(x []float64, lag int, sums *[together]float64) {
	m := max(len(x)-lag-together+1, 0)
	if m > 0 {
		y0, y1, y2, y3 := x[lag:][:m], x[lag+1:][:m], x[lag+2:][:m], x[lag+3:][:m]
		s0, s1, s2, s3 := sums[0], sums[1], sums[2], sums[3]
		for i, v := range x[:m] {
			s0 += v * y0[i]
			s1 += v * y1[i]
			s2 += v * y2[i]
			s3 += v * y3[i]
		}
		*sums = [together]float64{s0, s1, s2, s3}
	}
	for k := range sums {
		for i := m; i+lag+k < len(x); i++ {
			sums[k] += x[i] * x[i+lag+k]
		}
	}
}
