package growth

import (
	"gonum.org/v1/gonum/mat"

	"bedstock/model/internal/elementary"
)

// chances are about how likely each undated storm of a bed is given log r, log K and w,
//
//	π_t(x) = p_t (1 + Σ_i k_i (x_i - m_i)),  within [leastChance, 1-leastChance];  0 where none can have come
//
// A storm comes where a uniform number u_t is below π_t. Where u is held fixed and x moves, storms come and go as the surveys
// would have them, and do not tie r and K to where they were. The sampler works on the exact density all the same: it divides
// by the probability with which u gives the storms.
type chances struct {
	p    []float64
	mean [fixed]float64
	tilt [fixed]float64 // k, of all beds of the species
	any  bool           // a storm can have come
}

const leastChance = 0.03

func newChances(g *target) *chances {
	c := &chances{}
	for _, l := range g.links {
		c.p = append(c.p, l.p)
		c.any = c.any || l.p > 0
	}
	return c
}

// factor is what all chances are multiplied by at x.
func (c *chances) factor(x []float64) float64 {
	by := 1.0
	for i, k := range c.tilt {
		by += k * (x[i] - c.mean[i])
	}
	return by
}

// at is the chance of a storm, by is factor.
func (c *chances) at(t int, by float64) float64 {
	if c.p[t] == 0 {
		return 0
	}
	return min(max(c.p[t]*by, leastChance), 1-leastChance)
}

// numbers draws the uniform numbers given x and the storms.
func (c *chain) numbers(f *frame) {
	by := f.chances.factor(c.x)
	for t := range c.u {
		p := f.chances.at(t, by)
		if c.u[t] = c.rng.Float64(); c.storms[t] {
			c.u[t] *= p
		} else {
			c.u[t] = p + (1-p)*c.u[t]
		}
	}
}

// follow sets the storms that u gives at x, and returns the log of the probability with which it does.
func (c *chain) follow(f *frame, x []float64) float64 {
	if !f.chances.any {
		return 0
	}
	by, prod := f.chances.factor(x), 1.0
	for t, u := range c.u {
		p := f.chances.at(t, by)
		if c.storms[t] = u < p; c.storms[t] {
			prod *= p
		} else {
			prod *= 1 - p
		}
	}
	return elementary.Log(prod)
}

// refit lays the chances by what was seen of the bed about the mean, and the tilt of all beds.
func (c *chances) refit(s *seen, mean []float64, tilt [fixed]float64) {
	copy(c.mean[:], mean)
	c.tilt = tilt
	for t := range c.p {
		if c.p[t] > 0 {
			c.p[t] = max(s.came[t]/s.n, 1e-3)
		}
	}
}

// seen is what draws of a bed tell of its storms: how many draws there are, how often each storm came, and with d where log r,
// log K and w lie from their means, the sums of d dᵀ and of d where each storm came.
type seen struct {
	n     float64
	came  []float64
	cross [fixed][fixed]float64
	with  [][fixed]float64
}

func newSeen(storms int) *seen {
	return &seen{came: make([]float64, storms), with: make([][fixed]float64, storms)}
}

// add notes the draw x.
func (s *seen) add(x, mean []float64, storms []bool) {
	var d [fixed]float64
	for i := range d {
		d[i] = x[i] - mean[i]
		for j := range i + 1 {
			s.cross[i][j] += d[i] * d[j]
		}
	}
	s.n++
	for t, came := range storms {
		if came {
			s.came[t]++
			for i, v := range d {
				s.with[t][i] += v
			}
		}
	}
}

// tilt is k by least squares of the storms over all beds,
//
//	(Σ p_t² d dᵀ) k = Σ p_t d storm_t
//
// and 0 where nothing tells it.
func tilt(beds []*seen) (k [fixed]float64) {
	a, b := mat.NewSymDense(fixed, nil), mat.NewVecDense(fixed, nil)
	for _, s := range beds {
		for t, came := range s.came {
			p := came / s.n
			for i := range fixed {
				b.SetVec(i, b.AtVec(i)+p*s.with[t][i])
				for j := range i + 1 {
					a.SetSym(i, j, a.At(i, j)+p*p*s.cross[i][j])
				}
			}
		}
	}
	for i := range fixed {
		a.SetSym(i, i, 1.01*a.At(i, i))
	}
	var chol mat.Cholesky
	if !chol.Factorize(a) || chol.SolveVecTo(b, b) != nil {
		return k
	}
	copy(k[:], b.RawVector().Data)
	return k
}
