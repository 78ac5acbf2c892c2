package growth

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"bedstock/model/internal/elementary"
)

// heaviness is the degrees of freedom of the t that the sampler takes its steps from: tails heavier than those of any
// part of the posterior.
const heaviness = 6.0

// mover is the room for steps in a frame in which the density is near a spherical t.
type mover struct {
	rng *rand.Rand
	src rand.Source
	y   []float64 // the point in the frame
	eta []float64
	yn  []float64 // the point proposed
}

func newMover(src rand.Source, d int) mover {
	return mover{rng: rand.New(src), src: src, y: make([]float64, d), eta: make([]float64, d), yn: make([]float64, d)}
}

// independent is one step of the independence sampler (Metropolis-Hastings) from y, which has the log density lp: it proposes
// a point of the spherical t, wherever y is, which leads anywhere for the price of one density where the frame fits. The
// coordinate still, where it is not below 0, does not move; propose is the log density at yn. It returns that of the new
// point, which is then in y, or that it stayed.
//
// References:
//   - Tierney, L.: Markov chains for exploring posterior distributions. Annals of Statistics 22 (1994), 2.3.3
func (m *mover) independent(still int, lp float64, propose func() float64) (float64, bool) {
	scale := 1 / math.Sqrt(distuv.Gamma{Alpha: heaviness / 2, Beta: heaviness / 2, Src: m.src}.Rand())
	m.normals(m.yn, still, scale)
	d := float64(len(m.y))
	if still >= 0 {
		m.yn[still] = m.y[still]
		d--
	}
	rest := func(lp float64, y []float64) float64 { // the density over that of the t of the coordinates that move
		q := square(y)
		if still >= 0 {
			q -= y[still] * y[still]
		}
		return lp + 0.5*(heaviness+d)*elementary.Log(1+q/heaviness)
	}
	if to := propose(); rest(to, m.yn) > rest(lp, m.y)-m.rng.ExpFloat64() {
		copy(m.y, m.yn)
		return to, true
	}
	return lp, false
}

// ellipse is one step of generalised elliptical slice sampling, with the parameters and results of independent. It leads away
// from any place.
//
// With t_ν the spherical t of d coordinates, the density is the product of t_ν and the rest. A scale drawn from its inverse
// gamma given y makes t_ν normal; the normal has an ellipse through y on which the rest is slice sampled. Nothing is
// rejected and nothing is tuned but the frame.
//
// References:
//   - Murray, I., Adams, R. P. and MacKay, D. J. C.: Elliptical slice sampling. AISTATS (2010)
//   - Nishihara, R., Murray, I. and Adams, R. P.: Parallel MCMC with generalized elliptical slice sampling. Journal of
//     Machine Learning Research 15 (2014)
func (m *mover) ellipse(still int, lp float64, propose func() float64) (float64, bool) {
	d := float64(len(m.y))
	q := square(m.y)
	gamma := distuv.Gamma{Alpha: (heaviness + d) / 2, Beta: (heaviness + q) / 2, Src: m.src}
	scale := 1 / math.Sqrt(gamma.Rand())
	m.normals(m.eta, still, scale)
	rest := func(lp, q float64) float64 { return lp + 0.5*(heaviness+d)*elementary.Log(1+q/heaviness) }
	floor := rest(lp, q) - m.rng.ExpFloat64()
	theta := 2 * math.Pi * m.rng.Float64()
	least, most := theta-2*math.Pi, theta
	copy(m.yn, m.y)
	for most-least > 1e-12 { // shorter: no way out but by rounding, stay
		sin, cos := math.Sincos(theta)
		for i := range m.y {
			m.yn[i] = m.y[i]*cos + m.eta[i]*sin
		}
		if still >= 0 {
			m.yn[still] = m.y[still]
		}
		if lp := propose(); rest(lp, square(m.yn)) > floor {
			copy(m.y, m.yn)
			return lp, true
		}
		if theta < 0 {
			least = theta
		} else {
			most = theta
		}
		theta = least + (most-least)*m.rng.Float64()
	}
	copy(m.yn, m.y)
	return lp, false
}

// normals fills all of z but the coordinate still.
func (m *mover) normals(z []float64, still int, scale float64) {
	for i := range z {
		if i != still {
			z[i] = scale * m.rng.NormFloat64()
		}
	}
}

func square(y []float64) float64 {
	var q float64
	for _, v := range y {
		q += v * v
	}
	return q
}
