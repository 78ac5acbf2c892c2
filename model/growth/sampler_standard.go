package growth

import "math"

// standard is the change of coordinates in which every log B after the first is replaced by its standardised change
//
//	z = (log B - m - J log q)/s
//
// and all else goes unchanged. It follows the exact map, however bent, and so is good where σ is small or the surveys are
// vague, where [chart] is not.
type standard struct{ g *target }

// forward fills x from v and returns log |dx/dv|; -Inf where a take left nothing.
func (c standard) forward(v, x []float64, storms []bool, w *work) float64 {
	g := c.g
	copy(x, v)
	invK := g.setMap(v, w)
	scale := 1.0
	for t := range g.links {
		l := &g.links[t]
		if b := x[fixed+t]; w.mapB[t] != b {
			w.mapB[t], w.m[t] = b, l.step(b, w, invK)
		}
		m, s := w.m[t], w.s[t]
		if math.IsInf(m, -1) {
			return m
		}
		if storms[t] {
			m += l.logQ
		}
		x[fixed+t+1] = m + s*v[fixed+t+1]
		scale *= s
	}
	return w.log(scale)
}

// inverse fills v from x and returns log |dx/dv|.
func (c standard) inverse(x, v []float64, storms []bool, w *work) float64 {
	g := c.g
	copy(v, x)
	g.steps(x, w)
	scale := 1.0
	for t := range g.links {
		m := w.m[t]
		if storms[t] {
			m += g.links[t].logQ
		}
		v[fixed+t+1] = (x[fixed+t+1] - m) / w.s[t]
		scale *= w.s[t]
	}
	return w.log(scale)
}
