package growth

import "math"

// fold is the log density of the sum of a t and a normal error, up to a constant: a survey's own error and one that it
// shares with no other survey of the bed.
//
//	f(e) = log ∫ (1 + ((e-c)/τ)²/ν)^(-(ν+1)/2) exp(-c²/(2 s²)) dc
//
// It is a table over q = log(1 + e²/(τ² + s²)), in which a t is straight and a normal smooth, read by cubics; beyond the
// table it goes on straight, as the tails of a t do.
type fold struct {
	scale float64 // 1/(τ² + s²)
	value []float64
	slope []float64 // per step of the table
}

const (
	foldStep = 1.0 / 16
	foldEnd  = 8.0 // 55 standard errors
)

func newFold(tau, df, s float64) *fold {
	spread := tau*tau + s*s
	f := &fold{scale: 1 / spread}
	n := int(foldEnd/foldStep) + 1
	f.value, f.slope = make([]float64, n), make([]float64, n)
	for k := range n {
		q := foldStep * float64(k)
		e := math.Sqrt(math.Expm1(q) * spread)
		var dq float64 // df/de de/dq, by its limit at 0
		value, first, second := convolve(e, tau, df, s)
		if e == 0 {
			dq = 0.5 * second * spread
		} else {
			dq = first * math.Exp(q) * spread / (2 * e)
		}
		f.value[k], f.slope[k] = value, dq*foldStep
	}
	return f
}

// convolve is f(e), its derivative, and at e = 0 its second derivative. The integrand is analytic, so that the rule of
// equal steps is exact to rounding when they are short against s and against τ sqrt(ν), where its poles lie.
func convolve(e, tau, df, s float64) (value, first, second float64) {
	h := math.Min(s/2, tau*math.Sqrt(df)/5)
	n := int(math.Ceil(12 * s / h))
	term := func(k int) (log, c float64) {
		c = h * float64(k)
		z := (e - c) / tau
		return -0.5*(df+1)*math.Log1p(z*z/df) - 0.5*(c/s)*(c/s), c
	}
	top := math.Inf(-1)
	for k := -n; k <= n; k++ {
		l, _ := term(k)
		top = math.Max(top, l)
	}
	var sum, d1, d2 float64
	for k := -n; k <= n; k++ {
		l, c := term(k)
		w := math.Exp(l - top)
		x := e - c
		a := -(df + 1) * x / (df*tau*tau + x*x) // derivative of the t's logarithm
		b := -(df + 1) * (df*tau*tau - x*x) / ((df*tau*tau + x*x) * (df*tau*tau + x*x))
		sum += w
		d1 += w * a
		d2 += w * (a*a + b)
	}
	return top + math.Log(sum), d1 / sum, d2/sum - (d1/sum)*(d1/sum)
}

// at is f(e).
func (f *fold) at(e float64) float64 {
	q := math.Log(1+e*e*f.scale) / foldStep
	last := len(f.value) - 1
	if !(q < float64(last)) {
		return f.value[last] + (q-float64(last))*f.slope[last]
	}
	k := int(q)
	t := q - float64(k)
	y0, y1, d0, d1 := f.value[k], f.value[k+1], f.slope[k], f.slope[k+1]
	a, b := y1-y0-d0, d1-d0
	return y0 + t*(d0+t*((3*a-b)+t*(b-2*a)))
}
