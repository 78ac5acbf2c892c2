package growth

import (
	"math"
	"slices"

	"bedstock/model/internal/elementary"
)

// looked is what was worked out for a chart, r, K, σ and the cut, and then for the storms and the errors shared with other
// beds. Proposals that leave them as they are share it.
type looked struct {
	outlook
	chart                *chart
	logR, logK, cut, raw float64 // raw: w of σ = scale w
	storms               []bool
	off                  []float64
	p                    []float64 // precision of the change to each stock, 0 of the first
	d, sd                []float64 // variance of each stock given the one before, and its root
	logDet               float64   // log |dx/dv|
	first                float64   // gradient of the first stock, and those of the errors, without what K tells
	later                []float64
	c                    []float64 // room for the errors less c0
}

func newLooked(n, links, k int) looked {
	room := func() []float64 { return make([]float64, n) }
	return looked{outlook: newOutlook(n, k), storms: make([]bool, links), off: room(), p: room(), d: room(), sd: room(), later: make([]float64, k), c: make([]float64, k)}
}

// look works out what w has of the chart. q is x or v: both begin with log r, log K and w.
func (c *chart) look(q []float64, storms []bool, w *work) {
	f := &w.looked
	same := f.chart == c && (c.g.free || f.logR == q[0] && f.logK == q[1] && f.raw == q[2] && f.cut == w.cut)
	if same && slices.Equal(f.storms, storms) && slices.Equal(f.off, w.off) {
		if f.logK != q[1] {
			c.begin(q[1], w)
		}
		return
	}
	if !same {
		c.linear(q, w)
		c.precisions(q[2], w)
	}
	f.chart, f.logR, f.logK, f.raw, f.cut = c, q[0], q[1], q[2], w.cut
	copy(f.storms, storms)
	copy(f.off, w.off)
	c.gradients(q[1], storms, w)
}

// precisions passes from the last survey to the first.
func (c *chart) precisions(raw float64, w *work) {
	g, f, k := c.g, &w.looked, c.k
	copy(f.j, c.base.j)
	copy(f.g, c.base.g)
	copy(f.full, c.base.full)
	sigma := g.sigma * raw
	det, logDet := 1.0, 0.0
	for t := g.n - 1; t >= 0; t-- {
		p := 0.0
		if t > 0 {
			if l := &g.links[t-1]; l.free {
				p = 1 / (freeSD * freeSD)
			} else {
				p = 1 / (sigma*sigma*l.dt + l.extra + chartFloor)
			}
		}
		d := 1 / (p + f.j[t])
		f.p[t], f.d[t], f.sd[t] = p, d, math.Sqrt(d)
		det *= d
		row := f.g[t*k : t*k+k]
		for i, x := range row {
			for j := range i + 1 {
				f.full[i*k+j] -= x * row[j] * d
			}
		}
		if t > 0 {
			slope := w.charted[t-1][1]
			tell := slope * p * d
			f.j[t-1] += slope * tell * f.j[t]
			for i, x := range row {
				f.g[(t-1)*k+i] += tell * x
			}
		}
		if det < 1e-200 || det > 1e200 {
			logDet += math.Log(det)
			det = 1
		}
	}
	f.logDet = 0.5*(logDet+elementary.Log(det)) - f.factor(k)
}

// factor replaces the lower triangle of the errors' precision by its Cholesky factor and returns its log determinant.
func (a *outlook) factor(k int) float64 {
	logDet := 0.0
	for i := range k {
		row := a.full[i*k : i*k+k]
		for j := range i {
			sum := row[j]
			for m := range j {
				sum -= row[m] * a.full[j*k+m]
			}
			row[j] = sum / a.full[j*k+j]
		}
		d := row[i]
		for m := range i {
			d -= row[m] * row[m]
		}
		row[i] = math.Sqrt(d)
		logDet += math.Log(row[i])
	}
	return logDet
}

// gradients passes once more.
func (c *chart) gradients(logK float64, storms []bool, w *work) {
	g, f, k := c.g, &w.looked, c.k
	copy(f.h, c.base.h)
	copy(f.he, c.base.he)
	for t, off := range w.off {
		if off != 0 {
			f.h[t] -= off * c.p[t]
			for _, i := range g.obs[t].errs {
				f.he[i] -= off * c.p[t]
			}
		}
	}
	for t := g.n - 1; t > 0; t-- {
		m, slope := w.charted[t-1][0], w.charted[t-1][1]
		a := m - c.at[fixed+t]
		if storms[t-1] {
			a += g.links[t-1].logQ
		}
		tell := f.p[t] * f.d[t]
		f.h[t-1] += slope * tell * (f.h[t] - f.j[t]*a)
		by := f.d[t]*f.h[t] + tell*a
		for i, x := range f.g[t*k : t*k+k] {
			f.he[i] -= x * by
		}
	}
	f.first = f.h[0]
	copy(f.later, f.he)
	c.begin(logK, w)
}

// begin is what K tells: of the first stock, and with it of the errors.
func (c *chart) begin(logK float64, w *work) {
	f, k := &w.looked, c.k
	f.logK = logK
	f.h[0] = f.first - (c.at[fixed]-logK-logFirst)/(firstSD*firstSD)
	by := f.d[0] * f.h[0]
	for i, x := range f.g[:k] {
		f.he[i] = f.later[i] - x*by
	}
	for i := range k {
		row := f.full[i*k : i*k+k]
		for m := range i {
			f.he[i] -= row[m] * f.he[m]
		}
		f.he[i] /= row[i]
	}
}
