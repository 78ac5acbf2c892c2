package growth

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// leanStorms is how many storms that came the likeness of a storm's tilt to that of all others of the species is worth.
const leanStorms = 10.0

// reachSD is how many sd of log r, log K and w the chances of storms reach.
const reachSD = 2

// refit lays the chances by what was seen of the bed about the mean, and by the tilt of all beds.
func (c *chances) refit(s *seen, mean []float64, all [fixed]float64) {
	copy(c.mean[:], mean)
	for i := range c.reach {
		c.reach[i] = reachSD * math.Sqrt(s.cross[i][i]/s.n)
	}
	own := s.tilts()
	for t, came := range s.came {
		if c.p[t] == 0 {
			continue
		}
		c.p[t] = max(came/s.n, 1e-3)
		share := came / (came + leanStorms)
		for i, k := range all {
			c.tilt[t][i] = share*own[t][i] + (1-share)*k
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

// tilt is k by least squares of the storms over all beds, one for all,
//
//	(Σ p_t² d dᵀ) k = Σ p_t d storm_t
//
// and 0 where nothing tells it.
func tilt(beds []*seen) (k [fixed]float64) {
	var a [fixed][fixed]float64
	var b [fixed]float64
	for _, s := range beds {
		for t, came := range s.came {
			p := came / s.n
			for i := range fixed {
				b[i] += p * s.with[t][i]
				for j := range i + 1 {
					a[i][j] += p * p * s.cross[i][j]
				}
			}
		}
	}
	return ridged(a, b)[0]
}

// tilts is k of each storm by itself, 0 where it never came.
func (s *seen) tilts() [][fixed]float64 {
	by := make([][fixed]float64, len(s.came))
	for t, came := range s.came {
		if came == 0 {
			continue
		}
		for i, v := range s.with[t] {
			by[t][i] = v * s.n / came
		}
	}
	return ridged(s.cross, by...)
}

// ridged solves a x = b for each b, with the diagonal of a a little larger; 0 where it cannot. a is given by its lower triangle.
func ridged(a [fixed][fixed]float64, b ...[fixed]float64) [][fixed]float64 {
	out := make([][fixed]float64, len(b))
	m := mat.NewSymDense(fixed, nil)
	for i := range fixed {
		for j := range i {
			m.SetSym(i, j, a[i][j])
		}
		m.SetSym(i, i, 1.01*a[i][i])
	}
	var chol mat.Cholesky
	if !chol.Factorize(m) {
		return out
	}
	x := mat.NewVecDense(fixed, nil)
	for k := range b {
		if chol.SolveVecTo(x, mat.NewVecDense(fixed, b[k][:])) == nil {
			copy(out[k][:], x.RawVector().Data)
		}
	}
	return out
}
