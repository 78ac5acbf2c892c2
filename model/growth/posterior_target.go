package growth

import (
	"math"
	"math/rand/v2"

	"bedstock/model/internal/elementary"
)

// Constants of the state-space model.
const (
	firstShare = 0.6 // median of the first stock over K
	firstSD    = 0.6 // sd of its logarithm
	unknownSD  = 0.3 // sd of the log of what a storm of unknown strength left, about StormSurvival
	freeSD     = 3.0 // sd of the change of log B between surveys when the cuts between are not known
	maxStormP  = 0.9 // highest probability of a storm between two surveys
	mostLog    = 600 // logarithms beyond are not numbers that exp can give back
)

// target is the posterior density of one series, up to a constant, in the coordinates
//
//	x = (log r, log K, w, log B_1 .. log B_n, c_1 .. c_m)
//
// where σ is w times the half-normal's scale, one for all beds: w is given here, as are the means and spreads of log r and
// log K and the errors shared with other beds. J is 1 where an undated storm came between two surveys, with the probability
// p, else 0.
type target struct {
	logR, logK normal
	sigma      float64 // half-normal scale
	n          int     // states
	errSD      []float64
	links      []link
	free       bool // all of them are: r, K and σ tell nothing of how a stock changes
	obs        []sight
}

// link is what lies between two surveys.
type link struct {
	path  Path
	at    int // of its stretches among those of all links
	free  bool
	dt    float64 // years
	extra float64 // variance beside σ² dt
	p     float64 // probability of an undated storm
	logQ  float64 // log of what it leaves
	odds  float64 // log p/(1-p)
}

var logFirst = math.Log(firstShare)

const fixed = 3 // coordinates before the states

func (g *target) dim() int { return fixed + g.n + len(g.errSD) }

// work is the room a chain works in.
type work struct {
	looked looked
	m, s   []float64 // of each link: the log of the stock that the map leads to, and the sd about it
	off    []float64 // of each survey: the sum of the errors that it shares with other beds
	cut    float64   // log of what was cut over what is on the paths

	// What m and s were worked out for: to ask again for the same costs a comparison.
	mapR, mapK, mapC float64
	invK             float64   // e^c/K
	mapB             []float64 // log of the stock before each link
	sigma            float64
	scale, logScale  float64 // the last product whose logarithm was taken

	logR    float64   // for which decay was worked out
	decay   []float64 // of every stretch of every link
	chart   *chart    // for which, at chartR and chartK, the linear map was
	chartR  float64
	chartK  float64
	chartC  float64
	charted [][2]float64 // value and slope of each link
}

func newWork(g *target) *work {
	return &work{looked: newLooked(g.n, len(g.links), len(g.errSD)), m: make([]float64, len(g.links)), s: make([]float64, len(g.links)),
		mapB: make([]float64, len(g.links)), mapR: math.NaN(), sigma: math.NaN(), scale: 1, off: make([]float64, g.n), logR: math.NaN(), charted: make([][2]float64, len(g.links))}
}

// steps fills m and s of w for x. It stops where a take left nothing, with m = -Inf.
func (g *target) steps(x []float64, w *work) {
	invK := g.setMap(x, w)
	if g.free {
		copy(w.m, x[fixed:fixed+g.n])
		return
	}
	for t := range g.links {
		if b := x[fixed+t]; w.mapB[t] != b {
			w.mapB[t], w.m[t] = b, g.links[t].step(b, w, invK)
		}
		if math.IsInf(w.m[t], -1) {
			return
		}
	}
}

// setMap makes w ready for the map with log r, log K and w of x, which are not to be NaN, and returns e^c/K. What w knows of
// another map it forgets.
func (g *target) setMap(x []float64, w *work) (invK float64) {
	if g.free && !math.IsNaN(w.sigma) { // for one x as for another
		return w.invK
	}
	if sigma := g.sigma * math.Abs(x[2]); sigma != w.sigma {
		w.sigma = sigma
		for t := range g.links {
			w.s[t] = g.links[t].sd(sigma)
		}
	}
	if w.mapR != x[0] || w.mapK != x[1] || w.mapC != w.cut {
		g.decays(x[0], w)
		w.mapR, w.mapK, w.mapC, w.invK = x[0], x[1], w.cut, math.Exp(w.cut-x[1])
		for t := range w.mapB {
			w.mapB[t] = math.NaN()
		}
	}
	return w.invK
}

// log is the logarithm of a product of standard deviations, which seldom changes.
func (w *work) log(scale float64) float64 {
	if scale != w.scale {
		w.scale, w.logScale = scale, elementary.Log(scale)
	}
	return w.logScale
}

// decays fills decay of w for log r, unless it is.
func (g *target) decays(logR float64, w *work) {
	if logR == w.logR {
		return
	}
	w.logR = logR
	w.decay = w.decay[:0]
	r := 0.0 // where all links are free nothing asks for it
	for t := range g.links {
		if l := &g.links[t]; !l.free {
			if r == 0 {
				r = math.Exp(logR)
			}
			w.decay = l.path.decays(w.decay, r)
		}
	}
}

// density is the log density at x given the undated storms, σ and what the beds have in common; -Inf where a take left
// nothing.
func (g *target) density(x []float64, storms []bool, w *work) float64 {
	for _, v := range x[:fixed+g.n] {
		if !(v < mostLog && v > -mostLog) {
			return math.Inf(-1)
		}
	}
	g.steps(x, w)
	zr := (x[0] - g.logR.mean) / g.logR.sd
	zk := (x[1] - g.logK.mean) / g.logK.sd
	z1 := (x[fixed] - x[1] - logFirst) / firstSD
	lp := -0.5 * (zr*zr + zk*zk + z1*z1)
	errs := x[fixed+g.n:]
	for j, c := range errs {
		z := c / g.errSD[j]
		lp -= 0.5 * z * z
	}
	scale := 1.0 // factors whose logarithm is taken once
	for t := range g.obs {
		if t > 0 {
			m, s, l := w.m[t-1], w.s[t-1], &g.links[t-1]
			if math.IsInf(m, -1) {
				return m
			}
			if storms[t-1] {
				m += l.logQ
				lp += l.odds
			}
			z := (x[fixed+t] - m) / s
			lp -= 0.5 * z * z
			scale *= s
		}
		o := &g.obs[t]
		lp += o.density(x[fixed+t], w.off[t], errs)
		if o.rate > 0 && o.found {
			lp += logFound(x[fixed+t] + o.logRate)
		}
		if scale < 1e-100 {
			lp -= math.Log(scale)
			scale = 1
		}
	}
	lp -= w.log(scale)
	if math.IsNaN(lp) {
		return math.Inf(-1)
	}
	return lp
}

// drawStorms draws the undated storms given x.
func (g *target) drawStorms(x []float64, storms []bool, rng *rand.Rand, w *work) {
	g.steps(x, w)
	for t := range g.links {
		l := &g.links[t]
		if l.p == 0 {
			continue
		}
		a := l.logQ / w.s[t] // φ(z-a)/φ(z) = exp(a z - a²/2)
		z := (x[fixed+t+1] - w.m[t]) / w.s[t]
		storms[t] = rng.Float64()*(1+math.Exp(-l.odds-a*(z-0.5*a))) < 1
	}
}

// step is the log of the stock that the map leads to from exp(logB). Where e^c times as much was cut as the path says,
// stocks and K are counted in units of e^c kg: the map is the same in any unit, and so invK is e^c/K.
func (l *link) step(logB float64, w *work, invK float64) float64 {
	if l.free {
		return logB
	}
	u := math.Exp(w.cut - logB)
	return w.cut - elementary.Log(l.path.advance(u, w.decay[l.at:], invK))
}

// sd is the sd of the log of the stock about the map.
func (l *link) sd(sigma float64) float64 {
	if l.free {
		return freeSD
	}
	return math.Sqrt(sigma*sigma*l.dt + l.extra)
}
