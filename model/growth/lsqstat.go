package growth

import "math"

// collinear reports that a parameter cannot be told from the others: its column of the Jacobian is zero, or its
// standard error is more than 1e11 times what it were with the others known.
func (q *lsqSearch) collinear() bool {
	inv, ok := q.qr.inverse()
	if !ok {
		return true
	}
	n := len(q.p)
	for j := range n {
		if v := q.norms[j] * math.Sqrt(lsqSumSq(inv[j*n:(j+1)*n])); !(v <= lsqApart) {
			return true
		}
	}
	return false
}

// fit turns the end of the search into a result.
func (q *lsqSearch) fit(status FitStatus) Fit {
	m, n := len(q.y), len(q.p)
	out := Fit{Params: lsqNaNs(n), SE: lsqNaNs(n), Cov: lsqSquare(n), Corr: lsqSquare(n), Fitted: lsqNaNs(m), Residual: lsqNaNs(m),
		Leverage: lsqNaNs(m), RSS: math.NaN(), RSD: math.NaN(), DF: m - n, N: m,
		Iterations: q.iter, Offset: q.offset, Last: append([]float64(nil), q.p...), LastRSS: q.rss, Status: status}
	if status != Converged {
		return out
	}
	copy(out.Params, q.p)
	copy(out.Fitted, q.f)
	for i, v := range q.f {
		out.Residual[i] = q.y[i] - v
	}
	out.RSS = q.sumSquares(q.f)
	if out.DF > 0 {
		out.RSD = math.Sqrt(out.RSS / float64(out.DF))
	}
	inv, _ := q.qr.inverse()
	q.spread(&out, inv)
	q.lever(out.Leverage, inv)
	return out
}

// spread fills covariance, standard errors and correlations from R⁻¹: Cov = RSD² R⁻¹ R⁻ᵀ.
func (q *lsqSearch) spread(out *Fit, inv []float64) {
	n := len(q.p)
	row := func(i int) []float64 { return inv[i*n : (i+1)*n] }
	for i := range n {
		out.SE[i] = out.RSD * math.Sqrt(lsqSumSq(row(i)))
		for j := range n {
			c := lsqDot(row(i), row(j))
			out.Cov[i][j] = out.RSD * out.RSD * c
			out.Corr[i][j] = c / math.Sqrt(lsqSumSq(row(i))*lsqSumSq(row(j)))
		}
		out.Corr[i][i] = 1
	}
}

// lever fills the leverages, the squared row norms of J R⁻¹.
func (q *lsqSearch) lever(h, inv []float64) {
	n := len(q.p)
	for i := range h {
		w := 1.0
		if q.sw != nil {
			w = q.sw[i]
		}
		h[i] = 0
		for j := range n {
			v := 0.0
			for k := range n {
				v += w * q.jac[i*n+k] * inv[k*n+j]
			}
			h[i] += v * v
		}
	}
}

func lsqNaNs(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = math.NaN()
	}
	return x
}

func lsqSquare(n int) [][]float64 {
	x := make([][]float64, n)
	for i := range x {
		x[i] = lsqNaNs(n)
	}
	return x
}

func lsqDot(a, b []float64) float64 {
	s := 0.0
	for i, v := range a {
		s += v * b[i]
	}
	return s
}
