package survey

import (
	"fmt"
	"math"
)

// through is kg/m2 = k x, x cover or cover times length; where the length is blank, meanLength stands for it.
type through struct {
	k, meanLength float64
	length        bool
}

func (c through) x(q look) float64 {
	switch {
	case !c.length || q.cover == 0:
		return q.cover
	case math.IsNaN(q.length):
		return q.cover * c.meanLength
	}
	return q.cover * q.length
}

func (c through) at(q look) float64 { return c.k * c.x(q) }

func (c through) slope(q look) [2]float64 { return [2]float64{c.x(q), 0} }

// ratio fits y = k x by the ratio of weighted means, x cover (from two weighed quadrats with cover) or cover times
// length (from ten with both). Left out in turn,
//
//	k_(i) = (Σ w y - w_i y_i)/(Σ w x - w_i x_i)
func (p *weighings) ratio(length bool) fit {
	c, name, n := through{length: length}, byRatio, p.covered()
	if length {
		name = byRatioLength
		c.meanLength, n = p.meanLength()
	}
	if length && n < soundPairs {
		return unfit(name, n, "frond length read in %s with cover, at least %d needed", counted(n, "weighed quadrat"), soundPairs)
	}
	x := make([]float64, len(p.y))
	for i, q := range p.q {
		x[i] = c.x(q)
	}
	s := throughOrigin(p.y, x, p.w)
	c.k = s.k
	f := fit{Candidate: Candidate{Model: name, N: n, Params: []Param{{"k", s.k}}}, curve: c, lost: 1}
	f.infl = make([][2]float64, len(x))
	for i, e := range s.rest {
		f.infl[i][0] = p.w[i] * e / s.sum
	}
	if n < 2 {
		f.Note = "one weighed quadrat"
		return f
	}
	if blank := p.covered() - n; length && blank > 0 {
		f.Note = fmt.Sprintf("frond length blank in %s: mean length taken there", counted(blank, "weighed quadrat"))
	}
	sy := s.k * s.sum
	return f.leaveOut(p, func(i int) float64 {
		return (sy - p.w[i]*p.y[i]) / (s.sum - p.w[i]*x[i]) * x[i]
	})
}

// meanLength is the mean length by design weight and cover over the weighed quadrats in which it was read, and their
// number.
func (p *weighings) meanLength() (float64, int) {
	n, sum, w := 0, 0.0, 0.0
	for i, q := range p.q {
		if q.cover > 0 && q.length > 0 {
			n++
			sum, w = sum+p.w[i]*q.cover*q.length, w+p.w[i]*q.cover
		}
	}
	return sum / w, n
}

// intercept is kg/m2 = a + b cover where there is cover.
type intercept struct{ a, b float64 }

func (c intercept) at(q look) float64 {
	if q.cover == 0 {
		return 0
	}
	return c.a + c.b*q.cover
}

func (c intercept) slope(q look) [2]float64 {
	if q.cover == 0 {
		return [2]float64{}
	}
	return [2]float64{1, q.cover}
}

// moments are weighted sums about the means of points (x, y).
type moments struct{ w, x, y, sxx, sxy float64 }

// weightedMoments are the moments of those points of which use is true.
func weightedMoments(x, y, w []float64, use func(i int) bool) moments {
	var m moments
	for i := range x {
		if use(i) {
			m.w, m.x, m.y = m.w+w[i], m.x+w[i]*x[i], m.y+w[i]*y[i]
		}
	}
	m.x, m.y = m.x/m.w, m.y/m.w
	for i := range x {
		if use(i) {
			m.sxx += w[i] * (x[i] - m.x) * (x[i] - m.x)
			m.sxy += w[i] * (x[i] - m.x) * (y[i] - m.y)
		}
	}
	return m
}

// without takes out one point.
func (m moments) without(x, y, w float64) moments {
	rest := m.w - w
	f := w * m.w / rest
	return moments{rest, (m.w*m.x - w*x) / rest, (m.w*m.y - w*y) / rest,
		m.sxx - f*(x-m.x)*(x-m.x), m.sxy - f*(x-m.x)*(y-m.y)}
}

// line is the least-squares line of the moments, y = a + b x.
func (m moments) line() (a, b float64) {
	b = m.sxy / m.sxx
	return m.y - b*m.x, b
}

// influence is that of a point with residual e on a and b.
func (m moments) influence(x, w, e float64) [2]float64 {
	b := w * (x - m.x) * e / m.sxx
	return [2]float64{w*e/m.w - m.x*b, b}
}

// flat says whether x does not vary but for rounding.
func (m moments) flat() bool { return !(m.sxx > 1e-12*m.w*(m.x*m.x+1e-300)) }

// linear fits y = a + b x by weighted least squares over the weighed quadrats with cover. Left out in turn,
//
//	e_(i) = e_i/(1 - h_i),   h_i = w_i (1/Σ w + (x_i - xbar)²/Σ w (x - xbar)²)
func (p *weighings) linear() fit {
	n := p.covered()
	if n < soundPairs {
		return unfit(byLinear, n, "%s with cover, at least %d needed", counted(n, "weighed quadrat"), soundPairs)
	}
	x := make([]float64, len(p.y))
	for i, q := range p.q {
		x[i] = q.cover
	}
	m := weightedMoments(x, p.y, p.w, func(i int) bool { return x[i] > 0 })
	if m.flat() {
		return unfit(byLinear, n, "all weighed quadrats have the same cover: weigh thin and thick ones too")
	}
	var c intercept
	if c.a, c.b = m.line(); c.b <= 0 {
		return unfit(byLinear, n, "weight does not rise with cover: weigh more quadrats, thin and thick ones")
	}
	f := fit{Candidate: Candidate{Model: byLinear, N: n, Params: []Param{{"a", c.a}, {"b", c.b}}}, curve: c, lost: 2}
	f.infl = make([][2]float64, len(x))
	for i := range x {
		if x[i] > 0 {
			f.infl[i] = m.influence(x[i], p.w[i], p.y[i]-c.at(p.q[i]))
		}
	}
	return f.leaveOut(p, func(i int) float64 {
		a, b := m.without(x[i], p.y[i], p.w[i]).line()
		return a + b*x[i]
	})
}
