package growth

import "math"

// Grow carries a stand through the growth R without any take. In u = 1/B the logistic is affine and exact:
//
//	u(t2) = u(t1) e^-R + (1 - e^-R)/K
//
// u is the inverse of the stock (1/kg), R the integral of r g(t) from t1 to t2 (no unit; [Season.Integral] times r)
// and invK the inverse of the ceiling (1/kg). u = +Inf, a stand that is gone, stays +Inf. A stock above K falls
// towards it. invK = 0 is growth without a ceiling.
//
// References:
//   - Verhulst, P. F.: Notice sur la loi que la population suit dans son accroissement. Corr. Math. Phys. 10 (1838)
//   - Beverton, R. J. H. and Holt, S. J.: On the Dynamics of Exploited Fish Populations. HMSO (1957)
func Grow(u, R, invK float64) float64 {
	e := math.Exp(-R)
	return u*e + (1-e)*invK
}

// TakeKg removes kg at one moment:
//
//	u -> u/(1 - C u)
//
// C is the take (kg, at least 0). A take as large as the stock or larger gives +Inf: nothing is left.
func TakeKg(u, kg float64) float64 {
	left := 1 - kg*u
	if !(left > 0) { // also u = +Inf with kg = 0, which is NaN
		return math.Inf(1)
	}
	return u / left
}

// TakeFraction removes the fraction h of the stock at one moment:
//
//	u -> u/(1 - h)
//
// h is in [0, 1]; 1 gives +Inf.
func TakeFraction(u, h float64) float64 { return u / (1 - h) }

// Survive leaves the fraction s of the stock, as a storm does:
//
//	u -> u/s
//
// s is in [0, 1]; 0 gives +Inf.
func Survive(u, s float64) float64 { return u / s }

// GrowUnderTake carries a stand through the growth R while a take runs at the rate F g(t), the share f = F/r of the
// growth rate. It is the logistic with r - F and K (1 - F/r):
//
//	u(t2) = u(t1) e^-R' + R/K (1 - e^-R')/R',   R' = R (1 - f)
//
// and u + R/K at f = 1. R and invK are those of [Grow]; f is at least 0, and above 1 the stand runs down to nothing in
// the long run. The long-run yield F B is largest at f = 1/2, with B = K/2 and r K/4 a year.
//
// References:
//   - Schaefer, M. B.: Some aspects of the dynamics of populations important to the management of the commercial
//     marine fisheries. Bull. Inter-Am. Trop. Tuna Comm. 1 (1954)
func GrowUnderTake(u, R, f, invK float64) float64 {
	x := R * (1 - f)
	return u*math.Exp(-x) + R*invK*decay(x)
}

// SpreadYield is what the take of [GrowUnderTake] brings in over the growth R from the stock B:
//
//	Y = ∫ F g B dt = f K ln( 1 + B R/K (e^R' - 1)/R' ),   R' = R (1 - f)
//
// in kg, B and K in kg.
func SpreadYield(B, R, f, K float64) float64 {
	return f * K * math.Log1p(B*R/K*decay(-R*(1-f)))
}

// decay is (1 - e^-x)/x, 1 at x = 0.
func decay(x float64) float64 {
	if x == 0 {
		return 1
	}
	return -math.Expm1(-x) / x
}
