package growth

import "math"

// mixture is a mixture of normals.
type mixture struct {
	parts  []normal
	weight []float64 // sum 1
}

// spreads is the number of spreads between beds over which a prior is summed.
const spreads = 200

// speciesR is what is held of the mean of log r after the plots, and bedR of log r of one bed, before the surveys: over the
// spread between beds, which the plots tell of too.
//
//	log r ~ N(log R, log(1+cv²));  φ ~ half-normal;  y_i ~ N(log r + δ, se_i² + φ²);  δ ~ N(0, 0.5²);  log r_b ~ N(log r, φ²)
//
// Given φ the plots weigh as one value Σwy/Σw with the variance 1/Σw + 0.5², w_i = 1/(se_i² + φ²).
func (h *hold) speciesR() mixture {
	return h.over(level{h: h, m: h.logR, scale: h.phi, plots: true}, func(n normal, _ float64) normal { return n })
}

func (h *hold) bedR() mixture {
	return h.over(level{h: h, m: h.logR, scale: h.phi, plots: true}, widened)
}

// bedK is what is held of log K of a bed with the offset log(area occ): log K_b ~ N(log(k area occ), log(1+cv²) + ω²).
func (h *hold) bedK(offset float64) mixture {
	m := h.over(level{h: h, m: h.logK, scale: h.omega}, widened)
	for i := range m.parts {
		m.parts[i].mean += offset
	}
	return m
}

// widened is what a mean and a spread about it say of one bed.
func widened(n normal, spread float64) normal { return normal{n.mean, math.Hypot(n.sd, spread)} }

// over sums over the spread by the rule of midpoints, up to five times its scale.
func (h *hold) over(l level, part func(n normal, spread float64) normal) mixture {
	var m mixture
	top := math.Inf(-1)
	for i := range spreads {
		s := l.scale * 5 * (float64(i) + 0.5) / spreads
		n, lp := l.mean(s)
		m.parts, m.weight = append(m.parts, part(n, s)), append(m.weight, lp)
		top = max(top, lp)
	}
	sum := 0.0
	for i, lp := range m.weight {
		m.weight[i] = math.Exp(lp - top)
		sum += m.weight[i]
	}
	for i := range m.weight {
		m.weight[i] /= sum
	}
	return m
}

// normal has the mean and the sd of the mixture.
func (m mixture) normal() normal {
	var mean, v float64
	for i, p := range m.parts {
		mean += m.weight[i] * p.mean
	}
	for i, p := range m.parts {
		v += m.weight[i] * (p.sd*p.sd + (p.mean-mean)*(p.mean-mean))
	}
	return normal{mean, math.Sqrt(v)}
}

// interval is the median and the interval of exp of the mixture at the level.
func (m mixture) interval(level float64) Interval {
	return Interval{Median: math.Exp(m.quantile(0.5)), Lo: math.Exp(m.quantile((1 - level) / 2)), Hi: math.Exp(m.quantile((1 + level) / 2))}
}

// quantile by halving.
func (m mixture) quantile(p float64) float64 {
	n := m.normal()
	lo, hi := n.mean-20*n.sd, n.mean+20*n.sd
	for range 80 {
		mid := (lo + hi) / 2
		below := 0.0
		for i, q := range m.parts {
			below += m.weight[i] * 0.5 * math.Erfc((q.mean-mid)/(q.sd*math.Sqrt2))
		}
		if below < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
