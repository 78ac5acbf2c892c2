package growth

import (
	"math"
	"slices"

	"bedstock/model/internal/elementary"
)

// chart is a change of coordinates in which the stocks and the shared errors are near standard normal whatever r, K, σ
// and the storms are. The errors come first, then the stocks one after the other,
//
//	c = c0 + F^-1 h_c + F^-T/2 v_c
//	log B_1 = x0_1 + (h_1 - G_1 (c - c0))/J_1 + v_1/sqrt(J_1)
//	log B_t = x0_t + d_t (p_t (m_t(B_t-1) + J log q - x0_t) + h_t - G_t (c - c0)) + sqrt(d_t) v_t,   d_t = 1/(p_t + J_t)
//
// with log r, log K and w unchanged. m_t is the exact map, p_t = 1/s_t² the precision of the change, and J_t, h_t and G_t
// are what the surveys from t on tell of log B_t: precision, gradient, and how the gradient falls with the errors, by a pass
// from the last survey to the first in which every change is linear about x0 and every survey normal. It is the
// proposal of a particle filter that looks ahead. As σ nears 0 it follows the exact map, however bent; as the data grow
// it follows the data.
//
// An inexact chart costs time, not truth: the sampler works on the exact density and the exact Jacobian.
//
// References:
//   - Durbin, J. and Koopman, S. J.: Time Series Analysis by State Space Methods, 2nd ed. (2012), ch. 4, for the pass
//   - Guarniero, P., Johansen, A. M. and Lee, A.: The iterated auxiliary particle filter. Journal of the American
//     Statistical Association 112 (2017), for looking ahead
type chart struct {
	g    *target
	at   []float64 // x0
	u    []float64 // inverse stocks at x0
	k    int       // shared errors
	p    []float64 // precision of each survey, 0 where it found none
	base outlook   // of the surveys alone
}

// outlook is what the surveys from each on tell of its stock and of the errors.
type outlook struct {
	j, h []float64 // precision and gradient of each stock
	g    []float64 // stock by error: fall of the gradient
	full []float64 // precision of the errors, row by row; when worked out its Cholesky factor
	he   []float64 // their gradient; when worked out, solved by the factor
}

func newOutlook(n, k int) outlook {
	return outlook{make([]float64, n), make([]float64, n), make([]float64, n*k), make([]float64, k*k), make([]float64, k)}
}

// chartFloor is the least variance of a change in the chart, which keeps it well conditioned.
const chartFloor = 1e-12

func newChart(g *target, at []float64) *chart {
	k := len(g.errSD)
	c := &chart{g: g, at: slices.Clone(at), u: make([]float64, g.n), k: k, p: make([]float64, g.n), base: newOutlook(g.n, k)}
	for j, sd := range g.errSD {
		c.base.full[j*k+j] = 1 / (sd * sd)
		c.base.he[j] = -at[fixed+g.n+j] / (sd * sd)
	}
	c.base.j[0] = 1 / (firstSD * firstSD)
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
		b.j[t] += held
		b.h[t] -= held
	case o.found:
		p := 1 / (o.width * o.width)
		if !math.IsInf(o.df, 1) {
			p *= (o.df + 1) / (o.df + 3)
		}
		c.p[t] = p
		e := o.residual(c.at[fixed+t], c.at[fixed+g.n:])
		b.j[t] += p
		b.h[t] += e * p
		for _, i := range o.errs {
			b.g[t*c.k+i] += p
			b.he[i] += e * p
			for _, j := range o.errs {
				b.full[i*c.k+j] += p
			}
		}
	}
}

// linear fills what w has of the chart for log r and log K of q, unless it is.
func (c *chart) linear(q []float64, w *work) {
	if w.chart == c && w.chartR == q[0] && w.chartK == q[1] && w.chartC == w.cut {
		return
	}
	w.chart, w.chartR, w.chartK, w.chartC = c, q[0], q[1], w.cut
	invK := c.g.setMap(q, w)
	unit := 1.0 // see link.step
	if w.cut != 0 {
		unit = math.Exp(w.cut)
	}
	for t := range c.g.links {
		if c.g.links[t].free {
			w.charted[t] = [2]float64{c.at[fixed+t], 1}
			continue
		}
		m, slope := c.g.links[t].linear(unit*c.u[t], w.decay, invK)
		w.charted[t] = [2]float64{w.cut + m, slope}
	}
}

// linear is the log of the stock that the map leads to from 1/u, and its derivative by the log of the stock, where the link is
// not free.
func (l *link) linear(u float64, decays []float64, invK float64) (m, slope float64) {
	end, du := l.path.advanceSlope(u, decays[l.at:], invK)
	if math.IsInf(end, 1) {
		return -math.Log(u), 1 // a take left nothing: any chart will do
	}
	return -elementary.Log(end), du * u / end
}

// middle is the middle of the stock t given the stocks before it and the errors, for the map m to it.
func (c *chart) middle(t int, m float64, storms []bool, w *work) float64 {
	f := &w.looked
	sum := f.h[t]
	for i, x := range f.g[t*c.k : t*c.k+c.k] {
		sum -= x * f.c[i]
	}
	if t > 0 {
		a := m - c.at[fixed+t]
		if storms[t-1] {
			a += c.g.links[t-1].logQ
		}
		sum += f.p[t] * a
	}
	return c.at[fixed+t] + f.d[t]*sum
}

// forward fills x from v and returns log |dx/dv|; -Inf where a take left nothing.
func (c *chart) forward(v, x []float64, storms []bool, w *work) float64 {
	g, f, k := c.g, &w.looked, c.k
	c.look(v, storms, w)
	copy(x[:fixed], v[:fixed])
	for i := k - 1; i >= 0; i-- {
		sum := f.he[i] + v[fixed+g.n+i]
		for m := i + 1; m < k; m++ {
			sum -= f.full[m*k+i] * f.c[m]
		}
		f.c[i] = sum / f.full[i*k+i]
		x[fixed+g.n+i] = c.at[fixed+g.n+i] + f.c[i]
	}
	invK := g.setMap(v, w)
	m := 0.0
	for t := range g.n {
		switch {
		case t == 0:
		case g.free:
			m = x[fixed+t-1]
		default:
			if b := x[fixed+t-1]; w.mapB[t-1] != b {
				w.mapB[t-1], w.m[t-1] = b, g.links[t-1].step(b, w, invK)
			}
			if m = w.m[t-1]; math.IsInf(m, -1) {
				return m
			}
		}
		x[fixed+t] = c.middle(t, m, storms, w) + f.sd[t]*v[fixed+t]
	}
	return f.logDet
}

// inverse fills v from x and returns log |dx/dv|.
func (c *chart) inverse(x, v []float64, storms []bool, w *work) float64 {
	g, f, k := c.g, &w.looked, c.k
	c.look(x, storms, w)
	copy(v[:fixed], x[:fixed])
	for i := range k {
		f.c[i] = x[fixed+g.n+i] - c.at[fixed+g.n+i]
	}
	for i := range k {
		sum := -f.he[i]
		for m := i; m < k; m++ {
			sum += f.full[m*k+i] * f.c[m]
		}
		v[fixed+g.n+i] = sum
	}
	g.steps(x, w)
	m := 0.0
	for t := range g.n {
		if t > 0 {
			m = w.m[t-1]
		}
		v[fixed+t] = (x[fixed+t] - c.middle(t, m, storms, w)) / f.sd[t]
	}
	return f.logDet
}
