package elementary

import (
	"math"
	"math/big"
)

// Log is the natural logarithm of x to within two units in the last place, in half of the time of [math.Log], to which it
// leaves what is not positive, not finite or less than the least normal number:
//
//	log x = n ln 2 + log c + log(1+r),  x = 2^n z,  r = (z - c)/c,  |r| < 1/256
//
// with c the middle of one of 128 intervals, and the series of log(1+r), r = x - 1, where |r| < 1/16. No product is rounded
// together with a sum, so that it is the same on all machines.
//
// References:
//   - Tang, P. T. P.: Table-Driven Implementation of the Logarithm Function in IEEE Floating-Point Arithmetic. ACM
//     Transactions on Mathematical Software 16 (1990), 378
func Log(x float64) float64 {
	const (
		ln2A = 0x1.62e42fefa0000p-1 // so short that its multiples are exact
		ln2B = math.Ln2 - ln2A
		near = 1. / 16
	)
	if math.Abs(x-1) < near {
		return nearOne(x - 1)
	}
	if !(x >= 0x1p-1022 && x <= math.MaxFloat64) {
		return math.Log(x)
	}
	bits := math.Float64bits(x)
	from := bits - logFrom
	n := float64(int64(from) >> 52)
	z := math.Float64frombits(bits - from&(0xfff<<52))
	p := &logs[from>>(52-7)%logSteps]
	r := float64((z - p.c) * p.inverse)
	r2 := float64(r * r)
	more := float64(r2*(-0.5+float64(r*(1./3)))) + float64(float64(r2*r2)*(-0.25+float64(r*0.2)-float64(r2*(1./6))))
	return float64(n*ln2A) + (p.log + (r + (more + float64(n*ln2B))))
}

// nearOne is log(1+r), |r| < 1/16, by its series to r^13; even and odd are its terms from r³ on, over r³.
func nearOne(r float64) float64 {
	s := float64(r * r)
	even := 1./3 + float64(s*(1./5+float64(s*(1./7+float64(s*(1./9+float64(s*(1./11+float64(s*(1./13))))))))))
	odd := 1./4 + float64(s*(1./6+float64(s*(1./8+float64(s*(1./10+float64(s*(1./12))))))))
	return r - float64(float64(0.5*s)-float64(float64(r*s)*(even-float64(r*odd))))
}

const (
	logSteps = 128
	logFrom  = 0x3fe6 << 48 // the bits of 0.6875, where z begins: so 1 lies in the midst of its range
)

// logs are the middles of the intervals of z, their inverses and logarithms.
var logs = func() (all [logSteps]struct{ c, inverse, log float64 }) {
	for i := range all {
		lo := math.Float64frombits(logFrom + uint64(i)<<45)
		hi := math.Float64frombits(logFrom + uint64(i+1)<<45)
		c := (lo + hi) / 2
		all[i].c, all[i].inverse, all[i].log = c, 1/c, logExactly(c)
	}
	return all
}()

// logExactly is the logarithm of a number near 1, rounded once: 2 atanh((c-1)/(c+1)) by its series.
func logExactly(c float64) float64 {
	big1 := func(x float64) *big.Float { return new(big.Float).SetPrec(200).SetFloat64(x) }
	y := new(big.Float).SetPrec(200).Quo(new(big.Float).Sub(big1(c), big1(1)), new(big.Float).Add(big1(c), big1(1)))
	sq := new(big.Float).SetPrec(200).Mul(y, y)
	sum := big1(0)
	for n := 1; n < 80; n += 2 {
		sum.Add(sum, new(big.Float).SetPrec(200).Quo(y, big1(float64(n))))
		y.Mul(y, sq)
	}
	out, _ := sum.Mul(sum, big1(2)).Float64()
	return out
}
