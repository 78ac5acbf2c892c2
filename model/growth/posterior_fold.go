package growth

import "math"

// fold is the log density of a survey's error, a t, and of one that it shares with no other survey of the bed, a normal,
// added; up to a constant:
//
//	f(e) = log ∫ (1 + ((e-c)/τ)²/ν)^(-(ν+1)/2) exp(-c²/(2 s²)) dc
//
// It is a table of cubics over y = 1 + e²/(τ² + s²), in which a normal is straight, eight to the octave, as a t changes
// with log y. Beyond the table it falls as the tail of a t does.
type fold struct {
	scale float64 // 1/(τ² + s²)
	*foldTable
}

// foldTable is the table, which is the same for all errors of one ν and one s/τ.
type foldTable struct {
	cubic [][4]float64
	tail  float64 // df/d log y at the end
	end   float64 // f at the end
}

// folds are the tables that were made. Surveys of as many degrees of freedom, of which a shore has many, share one.
type folds map[foldKey]*foldTable

type foldKey struct{ df, ratio float64 }

// of is the density of an error; where folds is nil, of a table of its own.
func (all folds) of(tau, df, s float64) fold {
	key := foldKey{df, s / tau}
	table := all[key]
	if table == nil {
		table = newFoldTable(key.df, key.ratio)
		if all != nil {
			all[key] = table
		}
	}
	return fold{1 / (tau*tau + s*s), table}
}

const (
	foldBits = 3 // 2^3 cubics to the octave
	foldOcts = 9 // e up to 22 standard errors
)

// newFoldTable makes the table in units of τ, for s over τ.
func newFoldTable(df, ratio float64) *foldTable {
	spread := 1 + ratio*ratio
	f := &foldTable{cubic: make([][4]float64, foldOcts<<foldBits)}
	// df/dy = df/de spread/(2 e), at e = 0 by its limit
	at := func(y float64) (value, slope float64) {
		e := math.Sqrt((y - 1) * spread)
		v, first, second := convolve(e, df, ratio)
		if e == 0 {
			return v, second * spread / 2
		}
		return v, first * spread / (2 * e)
	}
	y := 1.0
	value, slope := at(y)
	for k := range f.cubic {
		step := math.Ldexp(1, k>>foldBits-foldBits)
		next, nextSlope := at(y + step)
		d0, d1, rise := slope*step, nextSlope*step, next-value
		f.cubic[k] = [4]float64{value, d0, 3*rise - 2*d0 - d1, d0 + d1 - 2*rise}
		y, value, slope = y+step, next, nextSlope
	}
	f.end, f.tail = value, slope*y
	return f
}

// convolve is f(e), its derivative and its second derivative, in units of τ. The integrand is analytic, so that the rule of
// equal steps is exact to rounding when they are short against s and against sqrt(ν), where its poles lie.
func convolve(e, df, s float64) (value, first, second float64) {
	h, n := 0.0, 0
	if s > 0 {
		h = math.Min(s/2, math.Sqrt(df)/5)
		n = int(math.Ceil(12 * s / h))
	}
	term := func(k int) (log, x float64) {
		c := h * float64(k)
		x = e - c
		log = -0.5 * (df + 1) * math.Log(1+x*x/df)
		if k != 0 {
			log -= 0.5 * (c / s) * (c / s)
		}
		return log, x
	}
	top := math.Inf(-1)
	for k := -n; k <= n; k++ {
		l, _ := term(k)
		top = math.Max(top, l)
	}
	var sum, d1, d2 float64
	for k := -n; k <= n; k++ {
		l, x := term(k)
		if l < top-45 {
			continue
		}
		w := math.Exp(l - top)
		a := -(df + 1) * x / (df + x*x) // first and second derivative of the t's logarithm
		b := -(df + 1) * (df - x*x) / ((df + x*x) * (df + x*x))
		sum += w
		d1 += w * a
		d2 += w * (a*a + b)
	}
	return top + math.Log(sum), d1 / sum, d2/sum - (d1/sum)*(d1/sum)
}

// at is f(e). The table's interval and the place in it are read from the bits of y.
func (f fold) at(e float64) float64 {
	y := 1 + e*e*f.scale
	if !(y < 1<<foldOcts) {
		return f.end + f.tail*(math.Log(y)-foldOcts*math.Ln2)
	}
	const low = 52 - foldBits
	b := math.Float64bits(y)
	c := &f.cubic[b>>low-1023<<foldBits]
	t := float64(b&(1<<low-1)) * (1.0 / (1 << low))
	return c[0] + t*(c[1]+t*(c[2]+t*c[3]))
}
