package survey

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// BedRatios says how weight per cover differs between the beds of a calibration.
type BedRatios struct {
	Beds int     // with enough weighed quadrats to tell; the other fields hold for 2 or more
	Q    float64 // Cochran's: Σ (k_b - kbar)²/v_b
	F    float64 // Welch's: Q/(b - 1) with the small-sample correction
	DF   float64 // degrees of freedom of F's denominator; those of its numerator are Beds - 1
	P    float64 // of F or more where beds do not differ
	Tau2 float64 // variance of true ratios between beds, by restricted maximum likelihood
	K    float64 // kbar, the mean ratio weighted by 1/v_b
}

// Differ says whether beds differ at the level of 0.05.
func (b BedRatios) Differ() bool { return b.Beds > 1 && b.P < 0.05 }

// String is what the officer is to know.
func (b BedRatios) String() string {
	switch {
	case b.Beds < 2:
		return fmt.Sprintf("weighed on too few beds to tell whether weight per cover differs between them: weigh %d quadrats on each", soundPairs)
	case b.Differ():
		return fmt.Sprintf("weight per cover differs between %d beds (p = %.2g): weigh at least %d quadrats on this one", b.Beds, b.P, soundPairs)
	}
	return fmt.Sprintf("no sign that weight per cover differs between %d beds (p = %.2g)", b.Beds, b.P)
}

// compareBeds tests whether estimates k with variances v, each with df degrees of freedom, estimate one value:
//
//	Q = Σ w (k - kbar)²,   w = 1/v,   kbar = Σ w k / Σ w
//	F = Q/(b - 1) / (1 + 2 (b - 2) Λ/(b² - 1)),   Λ = Σ (1 - w/Σ w)²/df
//
// F has about the F distribution with b - 1 and (b² - 1)/(3 Λ) degrees of freedom. Q itself would be chi-squared were the
// v known; from a few weighed quadrats a bed they are not, and the chi-squared test finds differences where there are
// none. Beds is 0 and P NaN for fewer than two estimates. It panics where lengths differ.
//
// References:
//   - Cochran, W. G.: The combination of estimates from different experiments. Biometrics 10 (1954) 101-129
//   - Welch, B. L.: On the comparison of several mean values: an alternative approach. Biometrika 38 (1951) 330-336
func compareBeds(k, v, df []float64) BedRatios {
	if len(k) != len(v) || len(k) != len(df) {
		panic("survey: slice length mismatch")
	}
	nan := math.NaN()
	out := BedRatios{Beds: len(k), Q: nan, F: nan, DF: nan, P: nan, Tau2: nan, K: nan}
	if len(k) < 2 {
		return out
	}
	fv := floored(k, v)
	sw, swk := 0.0, 0.0
	for i := range k {
		sw, swk = sw+1/fv[i], swk+k[i]/fv[i]
	}
	out.K = swk / sw
	q, lambda := 0.0, 0.0
	for i := range k {
		q += (k[i] - out.K) * (k[i] - out.K) / fv[i]
		rest := 1 - 1/fv[i]/sw
		lambda += rest * rest / df[i]
	}
	b := float64(len(k))
	out.Q, out.F, out.DF = q, q/(b-1)/(1+2*(b-2)*lambda/(b*b-1)), (b*b-1)/(3*lambda)
	out.P = distuv.F{D1: b - 1, D2: out.DF}.Survival(out.F)
	out.Tau2, _ = betweenVariance(k, v)
	return out
}
