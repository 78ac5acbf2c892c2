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
	Tau2 float64 // variance of the true ratios between beds by restricted maximum likelihood; NaN for fewer than 4 beds
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

// jackknifed are the ratios k = Σ m2 y / Σ m2 x of single beds, of those with enough pairs in two or more units, with
// variances that are right for few of them: each of the m units left out in turn,
//
//	v = (m-1)/m Σ_c (k_(c) - k)²,   df = (Σ X_c)²/Σ X_c² - 1
//
// X_c the unit's Σ m2 x. The linearised variance is too small by a fifth for five quadrats whose cover varies, and m
// - 1 degrees of freedom are too many where few of them carry the ratio.
//
// References:
//   - Rao, J. N. K. and Beegle, L. D.: A Monte Carlo study of some ratio estimators. Sankhya B 29 (1967) 47-56
func jackknifed(beds []pairs) (k, v, df []float64) {
	for _, b := range beds {
		fit := throughOrigin(b.kg, b.cover, b.m2)
		parts := map[int][2]float64{} // per unit: Σ m2 e, Σ m2 x
		var order []int
		for i, u := range b.units {
			p, seen := parts[u]
			if !seen {
				order = append(order, u)
			}
			parts[u] = [2]float64{p[0] + b.m2[i]*fit.rest[i], p[1] + b.m2[i]*b.cover[i]}
		}
		squares, sum, m := 0.0, 0.0, float64(len(order))
		for _, u := range order {
			d := parts[u][0] / (fit.sum - parts[u][1])
			sum, squares = sum+d*d, squares+parts[u][1]*parts[u][1]
		}
		if n := fit.sum*fit.sum/squares - 1; b.covered >= fewPairs && len(order) >= 2 && fit.k > 0 && n > 0.5 {
			k, v, df = append(k, fit.k), append(v, sum*(m-1)/m), append(df, n)
		}
	}
	return k, v, df
}

// compareBeds tests whether estimates k with variances v, each with df degrees of freedom, estimate one value:
//
//	Q = Σ w (k - kbar)²,   w = 1/v,   kbar = Σ w k / Σ w
//	F = Q/(b - 1) / (1 + 2 (b - 2) Λ/(b² - 1)),   Λ = Σ (1 - w/Σ w)²/df
//
// F has about the F distribution with b - 1 and (b² - 1)/(3 Λ) degrees of freedom. Q itself would be chi-squared were
// the v known; from a few weighed quadrats a bed they are not, and the chi-squared test finds differences where there
// are none. All is 0 for fewer than two estimates. It panics where lengths differ.
//
// References:
//   - Cochran, W. G.: The combination of estimates from different experiments. Biometrics 10 (1954) 101-129
//   - Welch, B. L.: On the comparison of several mean values: an alternative approach. Biometrika 38 (1951) 330-336
func compareBeds(k, v, df []float64) BedRatios {
	if len(k) != len(v) || len(k) != len(df) {
		panic("survey: slice length mismatch")
	}
	if len(k) < 2 {
		return BedRatios{}
	}
	out := BedRatios{Beds: len(k), Tau2: math.NaN()}
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
	return out
}
