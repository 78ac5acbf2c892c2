package growth

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// bend is a change of one coordinate that takes a skewed density with long tails, onto which it leads all numbers, to one near a
// normal,
//
//	v = at + scale sinh((asinh u + skew)/tail)
//
// The surveys refute a slow regrowth and not a fast one, after which beds are full again whatever r is, so that the posterior of
// log r has a long tail above.
//
// References:
//   - Jones, M. C. and Pewsey, A.: Sinh-arcsinh distributions. Biometrika 96 (2009)
type bend struct{ at, scale, skew, tail float64 }

var straight = bend{at: 0, scale: 1, skew: 0, tail: 1}

// apply is v and log dv/du.
func (b *bend) apply(u float64) (v, logSlope float64) {
	a := (math.Asinh(u) + b.skew) / b.tail
	return b.at + b.scale*math.Sinh(a), b.logSlope(a, u)
}

// solve is u and log dv/du.
func (b *bend) solve(v float64) (u, logSlope float64) {
	a := math.Asinh((v - b.at) / b.scale)
	u = math.Sinh(b.tail*a - b.skew)
	return u, b.logSlope(a, u)
}

// logSlope is log dv/du, a that of which v is the hyperbolic sine.
func (b *bend) logSlope(a, u float64) float64 {
	return math.Log(b.scale/b.tail*math.Cosh(a)) - 0.5*math.Log1p(u*u)
}

// levelling is that of a bend of log r.
func (b *bend) levelling() levelling {
	middle, _ := b.apply(0)
	low, _ := b.apply(-1)
	return levelling{middle, middle - low}
}

// Bounds of the skew and the tail of a bend.
const (
	mostSkew  = 1.5
	leastTail = 0.4
	mostTail  = 1.05
)

// bendLevels are the quantiles by which a bend is laid, and bendNormals those of a standard normal.
var (
	bendLevels  = []float64{0.01, 0.05, 0.15, 0.25, 0.375, 0.5, 0.625, 0.75, 0.85, 0.95, 0.99}
	bendNormals = normalQuantiles(bendLevels)
)

func normalQuantiles(levels []float64) []float64 {
	z := make([]float64, len(levels))
	for i, p := range levels {
		z[i] = distuv.UnitNormal.Quantile(p)
	}
	return z
}

// fitBend is the bend that takes the quantiles of numbers to those of a standard normal, as nearly as their errors have it: a
// grid of skew and tail, then shorter and shorter steps. Where the numbers are all but equal it is straight.
func fitBend(x []float64) bend {
	sorted := slices.Sorted(slices.Values(x))
	q := make([]float64, len(bendLevels))
	for i, p := range bendLevels {
		q[i] = sorted[int(p*float64(len(x)-1))]
	}
	if first, last := q[0], q[len(q)-1]; !(last-first > 1e-9*(math.Abs(first)+math.Abs(last))) {
		return straight
	}
	best, least := straight, math.Inf(1)
	try := func(skew, tail float64) {
		if b, miss := bendThrough(q, skew, tail); miss < least {
			best, least = b, miss
		}
	}
	for skew := -mostSkew; skew <= mostSkew; skew += 0.1 {
		for tail := leastTail; tail <= mostTail; tail += 0.1 {
			try(skew, tail)
		}
	}
	for step := 0.05; step > 0.004; step /= 2 {
		from := best
		for i := -1.0; i <= 1; i++ {
			for j := -1.0; j <= 1; j++ {
				try(from.skew+i*step, min(from.tail+j*step, mostTail))
			}
		}
	}
	return best
}

// bendThrough is the bend of a skew and a tail that comes nearest to quantiles, and by how much it misses them: squares over
// the variances of sample quantiles, p(1-p)/f², times their number. Not a number where none leads upwards.
func bendThrough(q []float64, skew, tail float64) (b bend, miss float64) {
	b = bend{0, 1, skew, tail}
	var n, h, x, hh, hx, xx float64
	for i, p := range bendLevels {
		z := bendNormals[i]
		v, logSlope := b.apply(z)
		weight := math.Exp(-z*z-2*logSlope) / (p * (1 - p))
		n += weight
		h += weight * v
		x += weight * q[i]
		hh += weight * v * v
		hx += weight * v * q[i]
		xx += weight * q[i] * q[i]
	}
	hh, hx, xx = hh-h*h/n, hx-h*x/n, xx-x*x/n
	b.scale = hx / hh
	b.at = (x - b.scale*h) / n
	if !(b.scale > 0) {
		return b, math.NaN()
	}
	return b, (xx - b.scale*hx) / (b.scale * b.scale)
}
