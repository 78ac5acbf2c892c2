package growth

import "math"

// logFound is log(1 - exp(-e^y)), the log likelihood of having found the species where e^y units are expected to hold it, by
// a table of cubics with the right values and slopes at their ends; good to 1e-7.
func logFound(y float64) float64 {
	switch {
	case y >= foundHi:
		return 0
	case !(y >= foundLo):
		return y - 0.5*math.Exp(y)
	}
	at := (y - foundLo) * foundSteps
	k := int(at)
	c, t := &foundCubics[k], at-float64(k)
	return c[0] + t*(c[1]+t*(c[2]+t*c[3]))
}

const (
	foundLo    = -12.0
	foundHi    = 4.0
	foundSteps = 16 // cubics to the unit
)

var foundCubics = layFound()

func layFound() (cubics [(foundHi - foundLo) * foundSteps][4]float64) {
	at := func(y float64) (value, slope float64) {
		held := math.Exp(y)
		return math.Log(-math.Expm1(-held)), held / math.Expm1(held)
	}
	for k := range cubics {
		v0, s0 := at(foundLo + float64(k)/foundSteps)
		v1, s1 := at(foundLo + float64(k+1)/foundSteps)
		d0, d1, rise := s0/foundSteps, s1/foundSteps, v1-v0
		cubics[k] = [4]float64{v0, d0, 3*rise - 2*d0 - d1, d0 + d1 - 2*rise}
	}
	return cubics
}
