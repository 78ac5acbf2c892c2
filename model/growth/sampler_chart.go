package growth

import (
	"math"
	"slices"
)

// chart is a change of coordinates in which the stocks and the shared errors are near standard normal whatever r, K, σ
// and the storms are:
//
//	x = x0 + P^-1 h + L^-T y,   P = L L^T
//
// for the stocks and errors, with log r, log K and w unchanged. P(r, K, σ) and h(r, K, σ, J) are the precision and the
// gradient at x0 of the normal that the density is when every change is linear about x0 and every survey normal. The
// chart follows the deterministic path of the stocks as σ nears 0 and the data as it grows, as a Kalman smoother does.
// P has an arrow's shape, a band for the stocks and full rows for the errors, and is factorised along the band.
//
// An inexact chart costs time, not truth: the sampler works on the exact density and the exact Jacobian.
type chart struct {
	g    *target
	at   []float64 // x0
	u    []float64 // inverse stocks at x0
	k    int       // shared errors
	p    []float64 // precision of each survey, 0 where it found none
	base arrow     // without the links
}

// chartFloor is the least variance of a change in the chart, which keeps P well conditioned.
const chartFloor = 1e-5

func newChart(g *target, at []float64) *chart {
	c := &chart{g: g, at: slices.Clone(at), u: make([]float64, g.n), k: len(g.errSD), p: make([]float64, g.n),
		base: newArrow(g.n, len(g.errSD))}
	for j, sd := range g.errSD {
		c.base.full[j*c.k+j] = 1 / (sd * sd)
		c.base.h[g.n+j] = -at[fixed+g.n+j] / (sd * sd)
	}
	c.base.diag[0] = 1 / (firstSD * firstSD)
	for t := range g.obs {
		c.u[t] = math.Exp(-at[fixed+t])
		c.laySight(t)
	}
	return c
}

// laySight adds a survey, a t as the normal of the same information.
func (c *chart) laySight(t int) {
	g, b, o := c.g, &c.base, &c.g.obs[t]
	switch {
	case o.none:
		held := o.rate / c.u[t]
		b.diag[t] += held
		b.h[t] -= held
	case o.found:
		p := 1 / (o.width * o.width)
		if !math.IsInf(o.df, 1) {
			p *= (o.df + 1) / (o.df + 3)
		}
		c.p[t] = p
		e := o.residual(c.at[fixed+t], c.at[fixed+g.n:])
		b.diag[t] += p
		b.h[t] += e * p
		for _, i := range o.errs {
			b.cross[t*c.k+i] += p
			b.h[g.n+i] += e * p
			for _, j := range o.errs {
				b.full[i*c.k+j] += p
			}
		}
	}
}

// factored is what the factor in w was worked out for. Proposals that leave r, K and σ as they are share it.
type factored struct {
	chart                *chart
	logR, logK, cut, raw float64 // raw: w of σ = scale w
	storms               []bool
	off                  []float64
	p                    []float64 // precision of each link
	logDet               float64
	x                    []float64 // room for stocks and errors less those of x0
}

func newFactored(n, links, k int) factored {
	return factored{storms: make([]bool, links), off: make([]float64, n), p: make([]float64, links), x: make([]float64, n+k)}
}

// factorise lays P and h into the arrow of w and factorises; its h becomes L^-1 h. It returns log |L|. q is x or v: both
// begin with log r, log K and w.
func (c *chart) factorise(q []float64, storms []bool, w *work) float64 {
	f := &w.factored
	if f.chart != c || f.logR != q[0] || f.logK != q[1] || f.raw != q[2] || f.cut != w.cut {
		f.chart, f.logR, f.logK, f.raw, f.cut = c, q[0], q[1], q[2], w.cut
		f.logDet = c.matrix(q, w)
	} else if slices.Equal(f.storms, storms) && slices.Equal(f.off, w.off) {
		return f.logDet
	}
	copy(f.storms, storms)
	copy(f.off, w.off)
	c.side(q[1], storms, w)
	w.arrow.solve(c.g.n, c.k)
	return f.logDet
}

// matrix lays P into the arrow and factorises it.
func (c *chart) matrix(q []float64, w *work) float64 {
	g, a := c.g, &w.arrow
	copy(a.diag, c.base.diag)
	clear(a.next)
	copy(a.cross, c.base.cross)
	copy(a.full, c.base.full)
	c.linear(q[0], q[1], w)
	sigma := g.sigma * q[2]
	for t := range g.links {
		l, slope := &g.links[t], w.charted[t][1]
		v := freeSD * freeSD
		if !l.free {
			v = sigma*sigma*l.dt + l.extra + chartFloor
		}
		p := 1 / v
		w.factored.p[t] = p
		a.diag[t] += p * slope * slope
		a.diag[t+1] += p
		a.next[t] -= p * slope
	}
	return a.cholesky(g.n, c.k)
}

// side lays h.
func (c *chart) side(logK float64, storms []bool, w *work) {
	g, a := c.g, &w.arrow
	copy(a.h, c.base.h)
	for t, off := range w.off {
		if off != 0 {
			a.h[t] -= off * c.p[t]
			for _, i := range g.obs[t].errs {
				a.h[g.n+i] -= off * c.p[t]
			}
		}
	}
	a.h[0] -= (c.at[fixed] - logK - logFirst) / (firstSD * firstSD)
	for t := range g.links {
		m, slope, p := w.charted[t][0], w.charted[t][1], w.factored.p[t]
		e := c.at[fixed+t+1] - m
		if storms[t] {
			e -= g.links[t].logQ
		}
		a.h[t] += p * e * slope
		a.h[t+1] -= p * e
	}
}

// linear fills what w has of the chart for log r and log K, unless it is.
func (c *chart) linear(logR, logK float64, w *work) {
	if w.chart == c && w.chartR == logR && w.chartK == logK && w.chartC == w.cut {
		return
	}
	w.chart, w.chartR, w.chartK, w.chartC = c, logR, logK, w.cut
	c.g.decays(logR, w)
	unit := math.Exp(w.cut) // see link.step
	invK := unit * math.Exp(-logK)
	for t := range c.g.links {
		m, slope := c.g.links[t].linear(unit*c.u[t], w.decay, invK)
		w.charted[t] = [2]float64{w.cut + m, slope}
	}
}

// linear is the log of the stock that the map leads to from 1/u, and its derivative by the log of the stock.
func (l *link) linear(u float64, decays []float64, invK float64) (m, slope float64) {
	if l.free {
		return -math.Log(u), 1
	}
	end, du := l.path.advanceSlope(u, decays[l.at:], invK)
	if math.IsInf(end, 1) {
		return -math.Log(u), 1 // a take left nothing: any chart will do
	}
	return -math.Log(end), du * u / end
}

// forward fills x from v and returns log |dx/dv|.
func (c *chart) forward(v, x []float64, storms []bool, w *work) float64 {
	a := &w.arrow
	n, k := c.g.n, c.k
	logDet := c.factorise(v, storms, w)
	copy(x[:fixed], v[:fixed])
	to, errs0 := w.factored.x, c.at[fixed+n:]
	for i := k - 1; i >= 0; i-- {
		sum := a.h[n+i] + v[fixed+n+i]
		for m := i + 1; m < k; m++ {
			sum -= a.full[m*k+i] * to[n+m]
		}
		to[n+i] = sum / a.full[i*k+i]
		x[fixed+n+i] = errs0[i] + to[n+i]
	}
	after := 0.0
	for t := n - 1; t >= 0; t-- {
		sum := a.h[t] + v[fixed+t] - a.next[t]*after
		for i, l := range a.cross[t*k : t*k+k] {
			sum -= l * to[n+i]
		}
		after = sum / a.diag[t]
		x[fixed+t] = c.at[fixed+t] + after
	}
	return -logDet
}

// inverse fills v from x and returns log |dx/dv|.
func (c *chart) inverse(x, v []float64, storms []bool, w *work) float64 {
	a := &w.arrow
	n, k := c.g.n, c.k
	logDet := c.factorise(x, storms, w)
	copy(v[:fixed], x[:fixed])
	errs, errs0 := x[fixed+n:], c.at[fixed+n:]
	for i := range k {
		sum := -a.h[n+i]
		for m := i; m < k; m++ {
			sum += a.full[m*k+i] * (errs[m] - errs0[m])
		}
		v[fixed+n+i] = sum
	}
	for t := range n {
		sum := a.diag[t]*(x[fixed+t]-c.at[fixed+t]) - a.h[t]
		if t+1 < n {
			sum += a.next[t] * (x[fixed+t+1] - c.at[fixed+t+1])
		}
		for i, l := range a.cross[t*k : t*k+k] {
			sum += l * (errs[i] - errs0[i])
		}
		v[fixed+t] = sum
	}
	return -logDet
}
