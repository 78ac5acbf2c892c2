package growth

import (
	"fmt"
	"math"
)

// Season is how growth is spread over the year:
//
//	g(t) = 1 + a cos 2π(t - tp)
//
// with the mean 1 over a year. t is in years since 1970-01-01, a year having 365.25 days.
type Season struct {
	Amplitude float64 // a, no unit. Valid range is [0, 1]; 0: growth is even over the year.
	Peak      float64 // tp, the fraction of the year at which growth is fastest
}

// Rate is g(t), the growth rate at the time t over its mean of the year.
func (s Season) Rate(t float64) float64 {
	return 1 + s.Amplitude*math.Cos(2*math.Pi*(t-s.Peak))
}

// Integral is the share of yearly growth that falls between two times:
//
//	∫ g dt = (t2 - t1) + a/(2π) ( sin 2π(t2 - tp) - sin 2π(t1 - tp) )
//
// in years; times r it is the R of [Grow]. It is t2 - t1 over whole years, and negative where t2 is before t1.
// It panics when the amplitude is outside [0, 1].
func (s Season) Integral(t1, t2 float64) float64 {
	if !(s.Amplitude >= 0 && s.Amplitude <= 1) {
		panic(fmt.Sprintf("growth: amplitude %v outside [0, 1]", s.Amplitude))
	}
	d := t2 - t1
	if s.Amplitude == 0 {
		return d
	}
	// sin x - sin y = 2 cos((x+y)/2) sin((x-y)/2) keeps short spans exact.
	return d + s.Amplitude/math.Pi*math.Cos(2*math.Pi*(math.Mod((t1+t2)/2, 1)-s.Peak))*math.Sin(math.Pi*d)
}
