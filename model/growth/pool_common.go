package growth

import (
	"math"
	"math/rand/v2"
)

// common is what the beds of a species have in common, at one moment of a chain. The spreads and w have a sign, of which the
// model knows nothing: a half-normal is a normal without its sign, and where a spread may be next to none the posterior over
// both signs is near a normal about 0, which one over its logarithm is far from.
type common struct {
	logR, phi float64   // mean and spread of log r between beds
	logK      float64   // mean of log K per m2 of occupied rock
	omega     float64   // spread of log K
	w         float64   // σ over the scale of its half-normal
	cut       float64   // log of what was cut over what the reported share's median says
	c         []float64 // errors shared between beds
}

// hold is what is held of what the beds have in common before their surveys.
type hold struct {
	logR, logK normal
	phi, omega float64 // scales of the half-normals
	plots      []PlotEvidence
	errSD      []float64
	cutSD      float64 // sd of the log of the reported share; 0: it is known
	folds      folds   // of the errors of surveys
}

// leastSpread keeps spreads between beds that are set to none from being exactly that.
const leastSpread = 1e-3

// plotStat are the plots as one value: mean and variance of what they say of log r, and the log likelihood that they have
// beside, given φ.
func (h *hold) plotStat(phi float64) (mean, variance, rest float64, any bool) {
	var sw, swy float64
	for _, p := range h.plots {
		v := p.SE*p.SE + phi*phi
		sw += 1 / v
		swy += p.LogR / v
		rest -= 0.5 * math.Log(v)
	}
	if sw == 0 {
		return 0, 0, 0, false
	}
	mean, variance = swy/sw, 1/sw+plotBias*plotBias
	for _, p := range h.plots {
		rest -= 0.5 * (p.LogR - mean) * (p.LogR - mean) / (p.SE*p.SE + phi*phi)
	}
	return mean, variance, rest - 0.5*math.Log(sw), true
}

// prior is the log density of θ with the plots' likelihood and the errors shared between beds.
func (h *hold) prior(t *common) float64 {
	zr, zk := (t.logR-h.logR.mean)/h.logR.sd, (t.logK-h.logK.mean)/h.logK.sd
	p, o := t.phi/h.phi, t.omega/h.omega
	lp := -0.5 * (zr*zr + zk*zk + p*p + o*o + t.w*t.w)
	if mean, v, rest, any := h.plotStat(t.phi); any {
		lp += rest - 0.5*math.Log(v) - 0.5*(t.logR-mean)*(t.logR-mean)/v
	}
	if h.cutSD > 0 {
		z := t.cut / h.cutSD
		lp -= 0.5 * z * z
	}
	for j, sd := range h.errSD {
		z := t.c[j] / sd
		lp -= 0.5 * z * z
	}
	return lp
}

// theta writes θ and the errors as a vector.
func (t *common) theta(y []float64) {
	y[0], y[1], y[2], y[3], y[4], y[5] = t.logR, t.logK, t.phi, t.omega, t.w, t.cut
	copy(y[thetas:], t.c)
}

// lift takes the sign from those spreads that are kept above 0.
func (t *common) lift(above [thetas]bool) {
	for i, s := range []*float64{&t.phi, &t.omega, &t.w} {
		if above[2+i] {
			*s = math.Abs(*s)
		}
	}
}

// withTheta is t with the values of a vector, of which the errors stay a part.
func (t common) withTheta(y []float64) common {
	t.logR, t.logK, t.phi, t.omega, t.w = y[0], y[1], y[2], y[3], y[4]
	t.cut, t.c = y[5], y[thetas:]
	return t
}

// thetas is the length of that vector without the errors.
const thetas = 6

// level is the conditional of the mean of a quantity of the beds, and of its spread with the mean integrated out:
//
//	x_b ~ N(μ, s²),  μ ~ N(m0, s0²),  s ~ half-normal(scale),  plots as [hold.plotStat] has them
type level struct {
	h     *hold
	m     normal
	scale float64
	plots bool // the regrowth plots speak of it
	x     []float64
}

// mean is the conditional of μ given s, and the log density of s with μ integrated out, up to a constant. With w the precisions
// of what is told of μ, by m0, the beds' mean and the plots, and d what it says,
//
//	Σ w d² - (Σ w d)²/Σ w = Σ_i<j w_i w_j (d_i - d_j)²/Σ w
//
// by which nothing cancels where s is next to none.
func (l *level) mean(s float64) (n normal, logDensity float64) {
	beds, v := float64(len(l.x)), s*s
	var at, square float64 // the beds' mean from m0, and their squares about it
	if beds > 0 {
		for _, x := range l.x {
			at += (x - l.m.mean) / beds
		}
		for _, x := range l.x {
			d := x - l.m.mean - at
			square += d * d
		}
	}
	w0, w1, w2, plots := 1/(l.m.sd*l.m.sd), beds/v, 0.0, 0.0
	lp := -0.5*v/(l.scale*l.scale) - beds*math.Log(s) - 0.5*square/v
	if l.plots {
		if mean, pv, rest, any := l.h.plotStat(s); any {
			w2, plots = 1/pv, mean-l.m.mean
			lp += rest - 0.5*math.Log(pv)
		}
	}
	prec := w0 + w1 + w2
	apart := w0*w1*at*at + w0*w2*plots*plots + w1*w2*(at-plots)*(at-plots)
	return normal{l.m.mean + (w1*at+w2*plots)/prec, 1 / math.Sqrt(prec)}, lp - 0.5*apart/prec - 0.5*math.Log(prec)
}

// draw draws the spread from its conditional, with the sign that it has, and then the mean.
func (l *level) draw(s float64, rng *rand.Rand) (mean, spread float64) {
	f := func(logS float64) float64 {
		_, lp := l.mean(math.Exp(logS))
		return lp + logS
	}
	spread = math.Exp(slice(math.Log(math.Abs(s)), 1, f, rng))
	n, _ := l.mean(spread)
	return n.mean + n.sd*rng.NormFloat64(), math.Copysign(spread, s)
}

// slice is one step of slice sampling by stepping out and shrinking from x, with steps of the width.
//
// References:
//   - Neal, R. M.: Slice sampling. Annals of Statistics 31 (2003)
func slice(x, width float64, f func(float64) float64, rng *rand.Rand) float64 {
	floor := f(x) - rng.ExpFloat64()
	lo := x - width*rng.Float64()
	hi := lo + width
	for n := 0; n < 50 && f(lo) > floor; n++ {
		lo -= width
	}
	for n := 0; n < 50 && f(hi) > floor; n++ {
		hi += width
	}
	for hi-lo > 1e-12*(1+math.Abs(x)) {
		y := lo + (hi-lo)*rng.Float64()
		if f(y) > floor {
			return y
		}
		if y < x {
			lo = y
		} else {
			hi = y
		}
	}
	return x
}
