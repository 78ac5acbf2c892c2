package growth

import "math"

// advance moves p to a better point, with more damping after each failure; false where there is none.
func (q *lsqSearch) advance() bool {
	for {
		q.solve()
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
		if tiny || q.mu > 1e30 {
			return false
		}
		q.mu *= q.nu
		q.nu *= 2
	}
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
