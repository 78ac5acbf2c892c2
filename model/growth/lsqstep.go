package growth

import "math"

// advance moves p to a better point, with more damping after each failure; false where there is none.
func (q *lsqSearch) advance() bool {
	for {
		q.solve()
		if q.tactic.bent && !q.bend() {
			if !q.shorten() {
				return false
			}
			continue
		}
		tiny := true
		for j, d := range q.step {
			q.trial[j] = q.p[j] + d
			tiny = tiny && math.Abs(d) <= lsqTiny*math.Abs(q.p[j])
		}
		q.model(q.trial, q.ftrial, nil)
		rss := q.sumSquares(q.ftrial)
		want := q.predicted()
		ratio := (q.rss - rss) / want
		if want < lsqNoise*q.rss && rss <= q.rss*(1+lsqNoise) {
			ratio = 1 // rounding hides the gain: trust the linear step
		}
		if lsqFinite(rss) && ratio > 1e-4 {
			q.relax(ratio)
			q.rss = rss
			copy(q.p, q.trial)
			return true
		}
		if tiny || !q.shorten() {
			return false
		}
	}
}

// shorten raises the damping; false where it has become too large for any step.
func (q *lsqSearch) shorten() bool {
	if q.mu > 1e30 {
		return false
	}
	q.mu *= q.nu
	q.nu *= 2
	return true
}

// relax lowers the damping after a step as good as foreseen.
func (q *lsqSearch) relax(ratio float64) {
	q.nu = 2
	switch {
	case ratio > 0.75:
		q.mu = max(q.mu/10, 1e-18)
	case ratio < 0.25:
		q.mu *= 2
	}
}

// solve finds the damped step: min |R d - Q1ᵀe|² + mu |D d|², D the scale.
func (q *lsqSearch) solve() {
	n := len(q.p)
	t := &q.damped
	clear(t.a)
	clear(t.b)
	for i := range n {
		copy(t.a[i*n+i:(i+1)*n], q.qr.a[i*n+i:(i+1)*n])
		d := q.scale[i]
		if d == 0 {
			d = 1
		}
		t.a[(n+i)*n+i] = math.Sqrt(q.mu) * d
	}
	copy(t.b[:n], q.qr.b[:n])
	t.factor()
	t.back(q.step)
}

// bend adds the second-order part a/2 to the step d, with which the path follows a valley that bends
//
//	(RᵀR + mu D²) a = -Jᵀ f'',   f'' = 2/h ( (f(p + h d) - f(p))/h - J d )
//
// false where the model is not finite on the way, or a is so long that the expansion does not hold: 2|D a| > 0.75 |D d|.
func (q *lsqSearch) bend() bool {
	const h, most = 0.1, 0.75
	n, m := len(q.p), len(q.y)
	for j, d := range q.step {
		q.trial[j] = q.p[j] + h*d
	}
	q.model(q.trial, q.ftrial, nil)
	a := make([]float64, n)
	for i := range m {
		w := 1.0
		if q.sw != nil {
			w = q.sw[i] * q.sw[i]
		}
		along := lsqDot(q.jac[i*n:(i+1)*n], q.step)
		second := 2 / h * ((q.ftrial[i]-q.f[i])/h - along)
		for j := range n {
			a[j] -= w * q.jac[i*n+j] * second
		}
	}
	q.damped.normal(a)
	var da, dd float64
	for j := range n {
		da, dd = da+q.scale[j]*q.scale[j]*a[j]*a[j], dd+q.scale[j]*q.scale[j]*q.step[j]*q.step[j]
	}
	if !(4*da <= most*most*dd) {
		return false
	}
	for j := range n {
		q.step[j] += a[j] / 2
	}
	return true
}

// predicted is how far the step lowers the sum of squares of the linearised problem, 2 eᵀJd - |Jd|².
func (q *lsqSearch) predicted() float64 {
	n, sum := len(q.p), 0.0
	for i := range n {
		rd := 0.0
		for j := i; j < n; j++ {
			rd += q.qr.a[i*n+j] * q.step[j]
		}
		sum += rd * (2*q.qr.b[i] - rd)
	}
	return sum
}

func (q *lsqSearch) sumSquares(f []float64) float64 {
	s := 0.0
	for i, v := range f {
		e := q.y[i] - v
		if q.sw != nil {
			e *= q.sw[i]
		}
		s += e * e
	}
	return s
}

func lsqSumSq(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v * v
	}
	return s
}

func lsqFinite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
