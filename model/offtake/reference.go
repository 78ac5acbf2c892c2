package offtake

import (
	"fmt"
	"math"

	"bedstock/model/internal/elementary"
)

// Reference is what theory says of a stand that is cut in pulses, a period apart, as a fraction of its stock.
type Reference struct {
	Persistence float64 // G: what the stand, thin and uncut, becomes over a period, as a factor; the stand holds if G > 1
	Left        float64 // kg left standing after the cut, for most yield (S*)
	Best        float64 // kg just before the cut, for most yield (B*)
	Fraction    float64 // of Best, for most yield (h*)
	Yield       float64 // kg a period at most (Y*)
	Limit       float64 // fraction at and above which the stand dies out
	Uncut       float64 // kg at which the stand settles without any cut, just before the time of the cut
}

// StormFactor is the share of the stock that survives the storms of a period, averaged on the log scale.
//
//	s = survival^(chance period)
//
// where chance is the number of storms expected a year and survival the fraction of the stock that one leaves, (0, 1].
func StormFactor(chance, survival, period float64) float64 {
	return math.Pow(survival, chance*period)
}

// Pulse is the reference point of a stand with growth rate r (per year) and ceiling k (kg) that is cut every period
// years, with the share s of the stock left by storms between growth and cut.
//
//	R  = r period,  G = s e^R
//	S* = k (sqrt(G) - 1)/(e^R - 1)   B* = S* sqrt(G)   h* = 1 - 1/sqrt(G)   Y* = B* - S*
//	fraction at which the stand dies out = 1 - 1/G
//	uncut = k (G - 1)/(e^R - 1)
//
// It holds for 0 < s <= 1, period > 0, r >= 0, k >= 0. Where G <= 1 the stand runs out even if it is left alone: all
// but Persistence are then 0, which is what they are and not a missing value.
//
// References:
//   - Beverton, R. J. H. and Holt, S. J.: On the Dynamics of Exploited Fish Populations (1957), for the yearly map
func Pulse(r, k, period, s float64) Reference {
	logG := math.Log(s) + r*period
	if !(logG > 0) {
		return Reference{Persistence: math.Exp(logG)}
	}
	grown := math.Expm1(r * period)
	left, yield := mostYield(k, math.Expm1(logG/2), grown)
	return Reference{
		Persistence: math.Exp(logG),
		Left:        left,
		Best:        left + yield,
		Fraction:    bestFraction(logG),
		Yield:       yield,
		Limit:       lastFraction(logG),
		Uncut:       k * math.Expm1(logG) / grown,
	}
}

// BestStocks are the stocks (kg) just before the cut for most yield, draw by draw: Best of [Pulse]. It panics unless r and k
// are as many.
func BestStocks(r, k []float64, period, s float64) []float64 {
	if len(r) != len(k) {
		panic(fmt.Sprintf("offtake: %d and %d draws of r and K", len(r), len(k)))
	}
	best := make([]float64, len(r))
	bestStocks(best, r, k, period, math.Log(s))
	return best
}

// bestStocks writes them, four at a time, given the log of s.
func bestStocks(best, r, k []float64, period, storms float64) {
	for i := 0; i < len(r); i += lanes {
		r, k, best := r[i:min(i+lanes, len(r))], k[i:], best[i:]
		var root, grown tile
		for l, r := range r {
			root[l], grown[l] = max(storms+r*period, 0)/2, r*period
		}
		elementary.Expm1(root[:])
		elementary.Expm1(grown[:])
		for l := range r {
			best[l] = 0 // storms outrun it
			if root[l] > 0 {
				left, yield := mostYield(k[l], root[l], grown[l])
				best[l] = left + yield
			}
		}
	}
}

// mostYield is what is left standing and what is cut for most yield, kg, where root is sqrt(G) - 1, above 0, and grown e^R - 1.
func mostYield(k, root, grown float64) (left, yield float64) {
	left = k * root / grown
	return left, left * root
}

// bestFraction and lastFraction are the fractions for most yield and at which the stand dies out; log G must be above 0.
func bestFraction(logG float64) float64 { return -math.Expm1(-logG / 2) }
func lastFraction(logG float64) float64 { return -math.Expm1(-logG) }

// FixedFraction is the stock (kg) just before the cut at which a stand settles when the fraction h is cut every period
// years; 0 where the stand dies out.
//
//	B = k ((1-h) G - 1)/((1-h) (e^R - 1)),  R = r period,  G = s e^R
//
// Units and domain are those of [Pulse], and 0 <= h <= 1.
func FixedFraction(r, k, period, s, h float64) float64 {
	keep := 1 - h
	growth := keep * s * math.Exp(r*period)
	if !(growth > 1) {
		return 0
	}
	return k * (growth - 1) / (keep * math.Expm1(r*period))
}

// ConstantQuota gives the two stocks (kg) left standing at which cutting the same q kg every period years neither
// raises nor lowers the stock. Below the lower, unstable one the quota runs the stand out.
//
//	S = ( k - q -+ sqrt((k-q)^2 - 4 q k/(e^R - 1)) ) / 2,  R = r period
//
// ok is false where no stock sustains the quota: q above k tanh(R/4). There are no storms in it.
func ConstantQuota(r, k, period, q float64) (unstable, stable float64, ok bool) {
	d := (k-q)*(k-q) - 4*q*k/math.Expm1(r*period)
	if d < -1e-12*k*k || q > k {
		return math.NaN(), math.NaN(), false
	}
	root := math.Sqrt(math.Max(d, 0))
	return (k - q - root) / 2, (k - q + root) / 2, true
}

// RecoveryTime is the time in years in which an uncut stand grows from one share of its ceiling to another.
//
//	t = ln( to/(1-to) (1-from)/from ) / r
//
// Both shares lie in (0, 1); the time is negative where to < from.
func RecoveryTime(r, from, to float64) float64 {
	return (math.Log(to/(1-to)) - math.Log(from/(1-from))) / r
}

// Spread follows a stand of b kg over t years while it is cut all the time at the rate f (per year) of what stands.
//
//	dB/dt = r B (1 - B/k) - f B:  logistic with the rate r - f and the ceiling k (1 - f/r)
//	taken = f ∫ B dt = f (k/r) ln( 1 + (b/k) r (e^((r-f) t) - 1)/(r - f) )
//
// where r > 0 is per year and k in kg. With seasonal growth and a take that follows it, t is the growth-weighted time.
// The rate for most yield is r/2; the stand then settles at k/2 and yields r k/4 a year.
func Spread(b, r, k, f, t float64) (end, taken float64) {
	gained := t // (e^((r-f) t) - 1)/(r-f) and its limit
	if d := r - f; d != 0 {
		gained = math.Expm1(d*t) / d
	}
	crowd := 1 + b/k*r*gained
	return b * math.Exp((r-f)*t) / crowd, f * k / r * math.Log(crowd)
}

// ControlRule is the fraction to cut at the stock b: best above the trigger, nothing below the limit, on a straight
// line between.
//
//	h(b) = best clamp( (b - limit)/(trigger - limit), 0, 1 )
//
// Stocks are in kg, or all three in shares of the ceiling.
func ControlRule(b, limit, trigger, best float64) float64 {
	return best * lowStockFactor(b, limit, trigger)
}

func lowStockFactor(b, limit, trigger float64) float64 {
	switch {
	case b >= trigger:
		return 1
	case b <= limit:
		return 0
	}
	return (b - limit) / (trigger - limit)
}

// grow is the stock after growth that multiplies a thin stand by e^R; decay is e^-R. A stand of 0 stays 0.
func grow(left, k, decay float64) float64 {
	if left <= 0 {
		return 0
	}
	return 1 / (decay/left + (1-decay)/k)
}
