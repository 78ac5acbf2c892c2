package growth

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// LackOfFit compares how far the means of repeated values lie from the curve with how far repeated values lie apart.
type LackOfFit struct {
	SS, PureSS float64 // sums of squares of lack of fit and of pure error; SS + PureSS is the RSS of the fit
	DF, PureDF int
	F, P       float64 // F = (SS/DF)/(PureSS/PureDF) and the probability of so much or more, were the curve right
	Reason     string  // why there is no test; F and P are then NaN
}

// LackOfFit is the F test of the curve against free means of the values repeated at the same x, which has one number a
// value, in whatever unit:
//
//	PureSS = sum_g sum_i w_i (y_gi - ybar_g)²,  PureDF = N - G;   SS = RSS - PureSS,  DF = G - P
//
// over the G groups of equal x. Without repeated values, or with no more groups than parameters, there is no test and
// Reason says so. It panics where the fit did not converge or x is not as long as the values.
//
// References:
//   - Bates, D. M. and Watts, D. G.: Nonlinear Regression Analysis and Its Applications. Wiley (1988), sec. 1.3, 3.7
func (f Fit) LackOfFit(x []float64) LackOfFit {
	f.needs("a test of lack of fit")
	if len(x) != f.N {
		panic("growth: lack of fit: x and values differ in length")
	}
	groups, pure := f.pureError(x)
	t := LackOfFit{PureSS: pure, DF: groups - len(f.Params), PureDF: f.N - groups, F: math.NaN(), P: math.NaN()}
	t.SS = max(0, f.RSS-t.PureSS)
	switch {
	case t.PureDF == 0:
		t.Reason = "no value is repeated"
	case t.DF < 1:
		t.Reason = "no more distinct points than parameters"
	case !(t.PureSS > 0):
		t.Reason = "repeated values are all equal"
	default:
		t.F = (t.SS / float64(t.DF)) / (t.PureSS / float64(t.PureDF))
		t.P = distuv.F{D1: float64(t.DF), D2: float64(t.PureDF)}.Survival(t.F)
	}
	return t
}

// pureError is the number of groups of equal x, and the sum of squares about their means.
func (f Fit) pureError(x []float64) (groups int, ss float64) {
	type group struct{ w, wy, ss float64 }
	by := map[float64]*group{}
	for i, y := range f.problem.y {
		g, w := by[x[i]], f.problem.weight(i)
		if g == nil {
			g = &group{}
			by[x[i]] = g
		}
		if g.w > 0 { // updating the sum of squares about the mean
			d := y - g.wy/g.w
			g.ss += d * d * w * g.w / (w + g.w)
		}
		g.w, g.wy = g.w+w, g.wy+w*y
	}
	var all []float64
	for _, g := range by {
		all = append(all, g.ss)
	}
	slices.Sort(all) // the same sum whatever the order of a map
	for _, v := range all {
		ss += v
	}
	return len(by), ss
}
