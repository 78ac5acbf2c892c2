package growth

import "math"

// pulled estimates the pull from draws of the posterior. For a density L(x, o) N(x; μ, D^-1) Stein's identity gives, for any
// weight that depends on θ alone, for each of y = (x, o) and with the weighted mean ȳ,
//
//	E[w (∂ log p/∂x_i) (y_j - ȳ_j)] = -E[w] δ_ij,   ∂ log p/∂x = -Λ (x - mean) - C o - D (x - μ)
//
// which is linear in Λ and C; the weights φ² and ω² keep it bounded.
type pulled struct {
	n   float64
	row [2]pulledRow
}

// pulledRow are the sums of one row: of the weight, with it of y and of its products, and of x-μ and its products with y.
type pulledRow struct {
	w, d  float64
	y, dy [3]float64
	yy    [3][3]float64
}

func (p *pulled) add(r, k, o float64, prior [2]normal) {
	p.n++
	y := [3]float64{r, k, o}
	for i := range p.row {
		s := &p.row[i]
		w, d := prior[i].sd*prior[i].sd, y[i]-prior[i].mean
		s.w += w
		s.d += d
		for j, v := range y {
			s.y[j] += w * v
			s.dy[j] += d * v
			for m, u := range y[:j+1] {
				s.yy[j][m] += w * v * u
			}
		}
	}
}

// moments are what the sums come to: for each row A (Λ_i, C_i) = b, and the means of y and of x-μ over the weight.
type moments struct {
	n   float64
	row [2]struct {
		a    [3][3]float64 // lower triangle
		b, y [3]float64
		d    float64
	}
}

func (p *pulled) moments() moments {
	out := moments{n: p.n}
	for i := range p.row {
		s, m := &p.row[i], &out.row[i]
		m.d = s.d / s.w
		for j := range m.y {
			m.y[j] = s.y[j] / s.w
			m.b[j] = m.y[j]*m.d - s.dy[j]/s.w
			for k := range j + 1 {
				m.a[j][k] = s.yy[j][k]/s.w - m.y[j]*m.y[k]
			}
		}
		m.b[i]++
	}
	return out
}

// leanDraws is how many draws of a bed its likeness to the other beds of its species is worth.
const leanDraws = 3000

// mixed is m and another by their shares; the means of y and of x-μ stay those of m.
func (m moments) mixed(share float64, other *moments) moments {
	for i := range m.row {
		r, o := &m.row[i], &other.row[i]
		for j := range r.b {
			r.b[j] = share*r.b[j] + (1-share)*o.b[j]
			for l := range j + 1 {
				r.a[j][l] = share*r.a[j][l] + (1-share)*o.a[j][l]
			}
		}
	}
	return m
}

// meanMoments are the mean of the moments of all beds.
func meanMoments(beds []moments) (mean moments) {
	for k := range beds {
		mean = mean.mixed(float64(k)/float64(k+1), &beds[k])
	}
	return mean
}

// lean mixes the moments of a bed with the mean of all, as if that were so many draws more: a few draws tell little of a
// precision, and beds of a species are surveyed much alike.
func (m moments) lean(mean *moments) moments { return m.mixed(m.n/(m.n+leanDraws), mean) }

// solve is the pull; where draws are too few or too odd for a precision, none.
func (m *moments) solve() pull {
	r, k := m.solveRow(0), m.solveRow(1)
	out := pull{rr: max(r[0], 0), kk: max(k[1], 0), rk: (r[1] + k[0]) / 2, cr: r[2], ck: k[2]}
	if most := 0.95 * math.Sqrt(out.rr*out.kk); math.Abs(out.rk) > most {
		out.rk = math.Copysign(most, out.rk)
	}
	yr, yk := &m.row[0].y, &m.row[1].y // Λ (x̄ - mean) + C ō = -E[x - μ]/E[w]
	out.hr = out.rr*yr[0] + out.rk*yr[1] + out.cr*yr[2] + m.row[0].d
	out.hk = out.rk*yk[0] + out.kk*yk[1] + out.ck*yk[2] + m.row[1].d
	if math.IsNaN(out.rr + out.rk + out.kk + out.hr + out.hk + out.cr + out.ck) {
		return pull{}
	}
	return out
}

// solveRow is one row of Λ and C, which is 0 where no error lasts.
func (m *moments) solveRow(i int) (x [3]float64) {
	a, b := m.row[i].a, m.row[i].b
	v := a[2][2]
	lasting := v > 1e-12
	if lasting { // take it out
		for j := range 2 {
			b[j] -= a[2][j] * b[2] / v
			for l := range j + 1 {
				a[j][l] -= a[2][j] * a[2][l] / v
			}
		}
	}
	det := a[0][0]*a[1][1] - a[1][0]*a[1][0]
	x[0], x[1] = (a[1][1]*b[0]-a[1][0]*b[1])/det, (a[0][0]*b[1]-a[1][0]*b[0])/det
	if lasting {
		x[2] = (b[2] - a[2][0]*x[0] - a[2][1]*x[1]) / v
	}
	return x
}
