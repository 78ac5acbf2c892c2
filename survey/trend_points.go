package survey

import (
	"math"
	"strings"
)

// trendPoints are the surveys of a trend.
type trendPoints struct {
	t       []float64 // years from their mean
	kg      []float64 // or kg/m2
	y       []float64 // log kg; -Inf where none was found
	v       []float64 // variance of y by the survey's own errors
	shared  [][]float64
	zeros   int
	guessed int // surveys without a standard error
}

// newTrendPoints lays out stocks. A survey without a standard error (one sampling unit) gets the mean variance of the
// others. The error of the bed's area is left out of densities.
func newTrendPoints(used []*Stock, perArea bool) *trendPoints {
	p := &trendPoints{}
	for _, s := range used {
		kg := s.Kg.Value
		if perArea {
			kg /= s.Area
		}
		p.t, p.kg, p.y = append(p.t, s.Date.Years()), append(p.kg, kg), append(p.y, math.Log(kg))
		p.v = append(p.v, math.Log1p(s.OwnCV*s.OwnCV))
		if !(kg > 0) {
			p.zeros++
		}
	}
	mid := mean(p.t)
	for i := range p.t {
		p.t[i] -= mid
	}
	p.fillVariances()
	p.shareErrors(used, perArea)
	return p
}

// fillVariances gives surveys without a variance the mean of the others.
func (p *trendPoints) fillVariances() {
	sum, n := 0.0, 0.0
	for _, v := range p.v {
		if !math.IsNaN(v) {
			sum, n = sum+v, n+1
		}
	}
	for i, v := range p.v {
		if math.IsNaN(v) {
			p.v[i] = sum / math.Max(n, 1)
			if p.kg[i] > 0 {
				p.guessed++
			}
		}
	}
}

// shareErrors lays out every shared error, as its standard deviation in each log stock.
func (p *trendPoints) shareErrors(used []*Stock, perArea bool) {
	at := map[string]int{}
	for i, s := range used {
		for _, e := range s.Shared {
			if perArea && strings.HasPrefix(e.ID, "area|") {
				continue
			}
			k, known := at[e.ID]
			if !known {
				k = len(p.shared)
				at[e.ID] = k
				p.shared = append(p.shared, make([]float64, len(used)))
			}
			p.shared[k][i] = math.Sqrt(math.Log1p(e.CV * e.CV))
		}
	}
}

// covariance is the matrix of the errors and the process,
//
//	S_ij = v_i 1(i=j) + Σ_e c_ei c_ej + τ² φ^|t_i - t_j|
//
// with φ = 0 for an independent process.
func (p *trendPoints) covariance(tau2, phi float64) [][]float64 {
	n := len(p.t)
	s := make([][]float64, n)
	for i := range s {
		s[i] = make([]float64, i+1)
		for j := range s[i] {
			for _, e := range p.shared {
				s[i][j] += e[i] * e[j]
			}
			switch {
			case i == j:
				s[i][j] += p.v[i] + tau2
			case phi > 0:
				s[i][j] += tau2 * math.Exp(math.Log(phi)*math.Abs(p.t[i]-p.t[j]))
			}
		}
	}
	return s
}
