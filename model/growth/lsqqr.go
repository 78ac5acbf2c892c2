package growth

import "math"

// triangle is a least-squares problem min |A x - b|, m rows and n columns, reduced in place by Householder
// reflections: afterwards the upper triangle of A is R and b is Qᵀb.
type triangle struct {
	m, n int
	a, b []float64 // a by rows
}

func newTriangle(m, n int) triangle {
	buf := make([]float64, m*n+m)
	return triangle{m: m, n: n, a: buf[: m*n : m*n], b: buf[m*n:]}
}

// factor reduces the problem. Below the diagonal A holds what is left of the reflections, not zeros.
func (t *triangle) factor() {
	n := t.n
	for k := 0; k < n && k < t.m; k++ {
		norm := 0.0
		for i := k; i < t.m; i++ {
			norm += t.a[i*n+k] * t.a[i*n+k]
		}
		norm = math.Sqrt(norm)
		if norm == 0 {
			continue
		}
		if t.a[k*n+k] > 0 {
			norm = -norm
		}
		head := t.a[k*n+k] - norm // v = (head, a[k+1], ...), H = I - v vᵀ/(-norm head)
		t.a[k*n+k] = head
		den := -norm * head
		for j := k + 1; j < n; j++ {
			s := 0.0
			for i := k; i < t.m; i++ {
				s += t.a[i*n+k] * t.a[i*n+j]
			}
			s /= den
			for i := k; i < t.m; i++ {
				t.a[i*n+j] -= s * t.a[i*n+k]
			}
		}
		s := 0.0
		for i := k; i < t.m; i++ {
			s += t.a[i*n+k] * t.b[i]
		}
		s /= den
		for i := k; i < t.m; i++ {
			t.b[i] -= s * t.a[i*n+k]
		}
		t.a[k*n+k] = norm
	}
}

// back solves R x = Qᵀb.
func (t *triangle) back(x []float64) {
	n := t.n
	for i := n - 1; i >= 0; i-- {
		s := t.b[i]
		for j := i + 1; j < n; j++ {
			s -= t.a[i*n+j] * x[j]
		}
		x[i] = s / t.a[i*n+i]
	}
}

// normal solves RᵀR x = b in place.
func (t *triangle) normal(x []float64) {
	n := t.n
	for i := range n {
		for k := range i {
			x[i] -= t.a[k*n+i] * x[k]
		}
		x[i] /= t.a[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j < n; j++ {
			x[i] -= t.a[i*n+j] * x[j]
		}
		x[i] /= t.a[i*n+i]
	}
}

// inverse is R⁻¹ by rows; false where R has a zero on its diagonal.
func (t *triangle) inverse() ([]float64, bool) {
	n := t.n
	inv := make([]float64, n*n)
	for c := range n {
		for i := c; i >= 0; i-- {
			s := 0.0
			if i == c {
				s = 1
			}
			for j := i + 1; j <= c; j++ {
				s -= t.a[i*n+j] * inv[j*n+c]
			}
			if t.a[i*n+i] == 0 {
				return nil, false
			}
			inv[i*n+c] = s / t.a[i*n+i]
		}
	}
	return inv, true
}
