package growth

import "math"

// quantileESS is the effective sample size of the indicator of being at or below the quantile p.
func (d *diagnosis) quantileESS(p float64) float64 {
	n, at := len(d.x), func(i int) float64 { return d.x[d.order[i]] }
	if d.all != nil {
		n, at = len(d.all), func(i int) float64 { return d.all[i] }
	}
	h := p * float64(n-1)
	lo := int(h)
	q := at(lo)
	if lo+1 < n {
		q += (h - float64(lo)) * (at(lo+1) - q)
	}
	ind := make([]float64, len(d.x))
	for i, v := range d.x {
		if v <= q {
			ind[i] = 1
		}
	}
	return d.ess(ind)
}

// ess is the effective sample size of values laid out as d.x, by Geyer's initial monotone sequence over the
// autocovariances pooled over the half chains.
func (d *diagnosis) ess(z []float64) float64 {
	n, m := float64(d.n), float64(d.halves)
	centred := make([]float64, len(z))
	means := make([]float64, d.halves)
	for c := range means {
		part := z[c*d.n : (c+1)*d.n]
		means[c], _ = meanVariance(part)
		for i, v := range part {
			centred[c*d.n+i] = v - means[c]
		}
	}
	autocov := func(lag int) float64 {
		var sum float64
		for c := 0; c < d.halves; c++ {
			part := centred[c*d.n : (c+1)*d.n]
			for i, v := range part[lag:] {
				sum += v * part[i]
			}
		}
		return sum / (n * m)
	}
	a0 := autocov(0)
	within := a0 * n / (n - 1)
	_, between := meanVariance(means)
	total := a0 + between
	if total == 0 {
		return math.NaN()
	}
	rho := func(lag int) float64 { return 1 - (within-autocov(lag))/total }
	return n * m / math.Max(geyer(rho, d.n), 1/math.Log10(n*m))
}

// geyer sums autocorrelations over pairs of lags while the pairs stay positive, each pair held at most as large as the
// one before it; the first term of the pair that ends the sum is added once if it is positive.
//
// References:
//   - Geyer, C. J.: Practical Markov chain Monte Carlo. Statistical Science 7 (1992)
func geyer(rho func(int) float64, n int) float64 {
	even, odd := 1.0, rho(1)
	tau, last := -1.0, math.Inf(1)
	lag := 0
	for lag < n-5 && even+odd > 0 {
		pair := math.Min(even+odd, last)
		tau += 2 * pair
		last = pair
		lag += 2
		even, odd = rho(lag), rho(lag+1)
	}
	if even > 0 {
		tau += even
	}
	return tau
}
