package growth

import "math"

// plotShape is how a curve bends. All curves of a plot are one family: with x = ln(B/K) and the exponent θ,
//
//	w = e^(-θx) - 1,   dw/dt = -ρ g(t) w
//
// so that w shrinks towards the ceiling at the rate ρ. θ = 1 is the logistic and θ = -1 the monomolecular curve, both
// with ρ = r; the limit at θ = 0, where w is -x, is the Gompertz curve; any other θ is the theta-logistic with ρ = rθ.
//
// References:
//   - Richards, F. J.: A flexible growth function for empirical use. Journal of Experimental Botany 10 (1959), 290-301
//   - Gilpin, M. E. and Ayala, F. J.: Global models of growth and competition. Proceedings of the National Academy of
//     Sciences 70 (1973), 3590-3593 (theta-logistic)
type plotShape struct {
	theta      float64 // where it is known
	freeTheta  bool    // log θ is fitted
	freeSeason bool    // the season is fitted, by two parameters
}

// extra is the number of parameters beyond log r, log K and the stocks at the starts of runs.
func (s plotShape) extra() int {
	n := 0
	if s.freeTheta {
		n++
	}
	if s.freeSeason {
		n += 2
	}
	return n
}

// exponent is θ and ρ/r at the extra parameters.
func (s plotShape) exponent(extra []float64) (theta, speed float64) {
	if s.freeTheta {
		theta = math.Exp(extra[0])
		return theta, theta
	}
	return s.theta, 1
}

// shapeGap is w of a stand with x = ln(B/K).
func shapeGap(theta, x float64) float64 {
	if theta == 0 {
		return -x
	}
	return math.Expm1(-theta * x)
}

// shapeStand is x of a stand with the gap w; NaN where there is none.
func shapeStand(theta, w float64) float64 {
	if theta == 0 {
		return -w
	}
	return -math.Log1p(w) / theta
}

// shapeStep carries x over the growth ρg = grow, and gives the derivatives by x, by grow and by θ at equal grow.
func shapeStep(theta, x, grow float64) (v, byX, byGrow, byTheta float64) {
	a := math.Exp(-grow)
	if theta == 0 {
		return a * x, a, -a * x, math.NaN()
	}
	w := math.Expm1(-theta * x)
	d := 1 + a*w
	l := math.Log1p(a * w)
	byX = a * (1 + w) / d
	return -l / theta, byX, a * w / (theta * d), l/(theta*theta) + x*byX/theta
}

// shapeRecovery is the growth ρ ∫g dt that brings a stand from a tenth of the ceiling to nine tenths.
func shapeRecovery(theta float64) float64 {
	return math.Log(shapeGap(theta, math.Log(0.1)) / shapeGap(theta, math.Log(0.9)))
}

// seasonBall maps two free numbers to a point inside the unit circle, the cosine and sine parts of a season, with the
// derivatives (cp, cq; sp, sq).
func seasonBall(p, q float64) (c, s, cp, cq, sq float64) {
	w2 := 1 + p*p + q*q
	w := math.Sqrt(w2)
	return p / w, q / w, (1 + q*q) / (w * w2), -p * q / (w * w2), (1 + p*p) / (w * w2)
}
