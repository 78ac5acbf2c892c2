package growth

import (
	"math"
	"math/rand/v2"
)

// Constants of the state-space model.
const (
	firstShare = 0.6 // median of the first stock over K
	firstSD    = 0.6 // sd of its logarithm
	unknownSD  = 0.3 // sd of the log of what a storm of unknown strength left, about StormSurvival
	freeSD     = 3.0 // sd of the change of log B between surveys when the cuts between are not known
	maxStormP  = 0.9 // highest probability of a storm between two surveys
)

// target is the posterior density of one series, up to a constant, in the centred coordinates
//
//	x = (log r, log K, log σ, log B_1 .. log B_n, c_1 .. c_m)
//
// and in the standard ones, where each log B after the first is replaced by its standardised change
// z = (log B - m - J log q)/s, and log σ by w with σ = |w| times the half-normal's scale. The first mix well where surveys
// are sharp, the second where they are not. J is 1 where an undated storm came between two surveys, with the probability
// p, else 0; given all J the changes are normal.
type target struct {
	logR, logK normal
	sigma      float64 // half-normal scale
	n          int     // states
	errSD      []float64
	links      []link
	obs        []sight
}

// link is what lies between two surveys.
type link struct {
	path  Path
	free  bool
	dt    float64 // years
	extra float64 // variance beside σ² dt
	p     float64 // probability of an undated storm
	logQ  float64 // log of what it leaves
	odds  float64 // log p/(1-p)
}

// sight is one survey as the density uses it.
type sight struct {
	found   bool
	none    bool // looked, and found none
	y       float64
	tau, df float64
	rate    float64 // units expected to hold the species per kg; 0: detection is not modelled
	errs    []int   // indices of shared errors
}

const fixed = 3 // coordinates before the states

func (g *target) dim() int { return fixed + g.n + len(g.errSD) }

// density is the log density at v given the undated storms, and fills x with the centred coordinates. With centred true v
// and x mean the same. jacobian is the log density in the standard coordinates less that in the centred.
func (g *target) density(v, x []float64, storms []bool, centred bool) (lp, jacobian float64) {
	copy(x, v)
	sigma := g.sigma * math.Abs(v[2])
	if centred {
		sigma = math.Exp(v[2])
	} else {
		x[2] = math.Log(sigma)
	}
	zr := (v[0] - g.logR.mean) / g.logR.sd
	zk := (v[1] - g.logK.mean) / g.logK.sd
	z1 := (v[fixed] - v[1] - math.Log(firstShare)) / firstSD
	zs := sigma / g.sigma
	lp = -0.5 * (zr*zr + zk*zk + z1*z1 + zs*zs)
	errs := x[fixed+g.n:]
	for j, c := range errs {
		z := c / g.errSD[j]
		lp -= 0.5 * z * z
	}
	r, invK := math.Exp(v[0]), math.Exp(-v[1])
	u := math.Exp(-v[fixed])
	lp += g.obs[0].density(x[fixed], u, errs)
	found := g.obs[0].detected(u) // factors whose logarithm is taken once
	jacobian = -x[2]
	for t := range g.links {
		l := &g.links[t]
		m, s, logS := l.step(u, r, invK, sigma, x[2])
		if math.IsInf(m, -1) {
			return m, 0
		}
		if storms[t] {
			m += l.logQ
			lp += l.odds
		}
		next := &x[fixed+t+1]
		z := *next
		if centred {
			z = (z - m) / s
		} else {
			*next = m + s*z
		}
		jacobian += logS
		u = math.Exp(-*next)
		lp += g.obs[t+1].density(*next, u, errs) - 0.5*z*z
		if found *= g.obs[t+1].detected(u); found < 1e-200 {
			lp += math.Log(found)
			found = 1
		}
	}
	lp += math.Log(found)
	if centred {
		lp -= jacobian
	}
	if math.IsNaN(lp) {
		return math.Inf(-1), 0
	}
	return lp, jacobian
}

// standardise fills v with the standard coordinates of the centred x. It draws the storms anew given x, and w of
// either sign.
func (g *target) standardise(x, v []float64, storms []bool, rng *rand.Rand) {
	copy(v, x)
	r, invK, sigma := math.Exp(x[0]), math.Exp(-x[1]), math.Exp(x[2])
	v[2] = sigma / g.sigma
	if rng.Uint64()&1 == 0 {
		v[2] = -v[2]
	}
	for t := range g.links {
		l := &g.links[t]
		m, s, _ := l.step(math.Exp(-x[fixed+t]), r, invK, sigma, x[2])
		z := (x[fixed+t+1] - m) / s
		if l.p > 0 {
			w := l.logQ / s // φ(z-w)/φ(z) = exp(w z - w²/2)
			if storms[t] = rng.Float64()*(1+math.Exp(-l.odds-w*(z-0.5*w))) < 1; storms[t] {
				z -= w
			}
		}
		v[fixed+t+1] = z
	}
}

// step is the log of the stock that the map leads to, and the sd about it with its logarithm.
func (l *link) step(u, r, invK, sigma, logSigma float64) (m, s, logS float64) {
	if l.free {
		return -math.Log(u), freeSD, math.Log(freeSD)
	}
	m = -math.Log(l.path.Advance(u, r, invK))
	v := sigma*sigma*l.dt + l.extra
	s = math.Sqrt(v)
	if l.extra == 0 {
		return m, s, logSigma // log sqrt(dt) is a constant
	}
	return m, s, math.Log(s)
}

// density is the log likelihood of the survey at the stock exp(logB) = 1/u, without that of having found any.
func (o *sight) density(logB, u float64, errs []float64) float64 {
	if o.none {
		return -o.rate / u
	}
	if !o.found {
		return 0
	}
	e := o.y - logB + 0.5*o.tau*o.tau
	for _, j := range o.errs {
		e -= errs[j]
	}
	e /= o.tau
	if math.IsInf(o.df, 1) {
		return -0.5 * e * e
	}
	return -0.5 * (o.df + 1) * math.Log(1+e*e/o.df)
}

// detected is the likelihood of having found the species, where it was found: 1 - exp(-rate B).
func (o *sight) detected(u float64) float64 {
	held := o.rate / u
	switch {
	case !o.found || o.rate == 0 || held > 40:
		return 1
	case held > 0.1:
		return 1 - math.Exp(-held)
	}
	return -math.Expm1(-held)
}
