package growth

import "math"

// changes is the log density of log w given the stocks. The variance of a change is σ² w² dt, so that their sum of squares
// is all that those without another variance beside it tell.
func (c *poolChain) changes() func(logW float64) float64 {
	type change struct{ sq, dt, extra float64 }
	var more []change
	n, sq, scale := 0.0, 0.0, 1.0
	for _, ch := range c.beds {
		g := ch.g
		scale = g.sigma
		g.steps(ch.x, ch.w)
		for t := range g.links {
			l := &g.links[t]
			if l.free {
				continue
			}
			d := ch.x[fixed+t+1] - ch.w.m[t]
			if ch.storms[t] {
				d -= l.logQ
			}
			if l.extra > 0 {
				more = append(more, change{d * d, l.dt, l.extra})
				continue
			}
			n++
			sq += d * d / l.dt
		}
	}
	return func(logW float64) float64 {
		w := math.Exp(logW)
		v := scale * scale * w * w
		lp := logW - 0.5*w*w - n*logW - 0.5*sq/v
		for _, m := range more {
			s := v*m.dt + m.extra
			lp -= 0.5 * (m.sq/s + math.Log(s))
		}
		return lp
	}
}
