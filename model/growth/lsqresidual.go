package growth

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Standardized are the residuals over their standard deviations, the internally studentised residuals
//
//	sqrt(w_i) e_i / ( s sqrt(1 - h_i) )
//
// with the leverage h_i in the tangent plane; near N(0, 1) where the model is right. NaN where the value alone sets the
// curve (h_i = 1) or where there are no degrees of freedom.
//
// References:
//   - Cook, R. D. and Weisberg, S.: Residuals and Influence in Regression. Chapman & Hall (1982), ch. 2
//   - Bates, D. M. and Watts, D. G.: Nonlinear Regression Analysis and Its Applications. Wiley (1988), sec. 1.4, 3.5
func (f Fit) Standardized() []float64 {
	out := lsqNaNs(len(f.Residual))
	for i, e := range f.Residual {
		if free := 1 - f.Leverage[i]; free > leverWhole {
			out[i] = math.Sqrt(f.problem.weight(i)) * e / (f.RSD * math.Sqrt(free))
		}
	}
	return out
}

// Deleted are the externally studentised residuals: standardized by the residual standard deviation without the value
// itself, in the tangent plane
//
//	t_i = z_i sqrt( (DF - 1)/(DF - z_i²) ),   z_i the standardized residual
//
// Student's t with DF - 1 degrees of freedom where the model is right. NaN where DF is below 2.
//
// References:
//   - Cook, R. D. and Weisberg, S.: Residuals and Influence in Regression. Chapman & Hall (1982), ch. 2
func (f Fit) Deleted() []float64 {
	out := f.Standardized()
	df := float64(f.DF)
	for i, z := range out {
		if f.DF < 2 {
			out[i] = math.NaN()
			continue
		}
		out[i] = z * math.Sqrt((df-1)/(df-z*z))
	}
	return out
}

// leverWhole is the room, 1 less the leverage, below which a value is met by the curve whatever it is.
const leverWhole = 1e-10

// Runs is the Wald-Wolfowitz test of the signs of residuals.
type Runs struct {
	Above, Below int     // residuals above and below 0; those of 0 are left out
	Runs         int     // runs of equal signs
	Expected     float64 // of Runs, were the signs in random order
	PFew         float64 // probability of so few runs or fewer: small where residuals follow each other, as when the curve does not fit
	P            float64 // two-sided
}

// Runs tests whether the signs of the residuals stand in random order along x, which has one number a value; nil: in
// the order of the values. Rows of equal x keep their order. The probabilities are exact, from the count of orders of
// m signs of one kind and n of the other with R runs
//
//	P(R = 2k)   = 2 C(m-1, k-1) C(n-1, k-1) / C(m+n, n)
//	P(R = 2k+1) = ( C(m-1, k-1) C(n-1, k) + C(m-1, k) C(n-1, k-1) ) / C(m+n, n)
//
// and P = min(1, 2 min(P(R <= r), P(R >= r))). Residuals of a fit lean on each other, so that it is a little too mild
// where parameters are many. NaN where all signs are equal. It panics where x is not as long as the values.
//
// References:
//   - Wald, A. and Wolfowitz, J.: On a test whether two samples are from the same population. Annals of Mathematical
//     Statistics 11 (1940), 147-162
//   - Draper, N. R. and Smith, H.: Applied Regression Analysis, 3rd ed. Wiley (1998), ch. 7
func (f Fit) Runs(x []float64) Runs {
	e := slices.Clone(f.Residual)
	if x != nil {
		if len(x) != len(e) {
			panic("growth: runs: x and values differ in length")
		}
		order := make([]int, len(e))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
		for i, o := range order {
			e[i] = f.Residual[o]
		}
	}
	return countRuns(e)
}

func countRuns(e []float64) Runs {
	var r Runs
	last := 0.0
	for _, v := range e {
		switch {
		case v > 0:
			r.Above++
		case v < 0:
			r.Below++
		default:
			continue
		}
		if v*last <= 0 {
			r.Runs++
		}
		last = math.Copysign(1, v)
	}
	m, n := float64(r.Above), float64(r.Below)
	r.Expected, r.PFew, r.P = math.NaN(), math.NaN(), math.NaN()
	if r.Above == 0 || r.Below == 0 {
		return r
	}
	r.Expected = 1 + 2*m*n/(m+n)
	few, many := 0.0, 0.0
	for k := 2; k <= 2*min(r.Above, r.Below)+1; k++ {
		p := runsChance(r.Above, r.Below, k)
		if k <= r.Runs {
			few += p
		}
		if k >= r.Runs {
			many += p
		}
	}
	r.PFew, r.P = min(1, few), min(1, 2*few, 2*many)
	return r
}

// runsChance is the probability of r runs among m and n signs in random order.
func runsChance(m, n, r int) float64 {
	k := r / 2
	all := logChoose(m+n, n)
	if r%2 == 0 {
		return 2 * math.Exp(logChoose(m-1, k-1)+logChoose(n-1, k-1)-all)
	}
	return math.Exp(logChoose(m-1, k-1)+logChoose(n-1, k)-all) + math.Exp(logChoose(m-1, k)+logChoose(n-1, k-1)-all)
}

// logChoose is ln C(n, k), -Inf where there is no such choice.
func logChoose(n, k int) float64 {
	if k < 0 || k > n {
		return math.Inf(-1)
	}
	lg := func(x int) float64 { v, _ := math.Lgamma(float64(x) + 1); return v }
	return lg(n) - lg(k) - lg(n-k)
}

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
	type group struct{ w, wy, ss float64 }
	groups := map[float64]*group{}
	for i, y := range f.problem.y {
		g, w := groups[x[i]], f.problem.weight(i)
		if g == nil {
			g = &group{}
			groups[x[i]] = g
		}
		if g.w > 0 { // updating the sum of squares about the mean
			d := y - g.wy/g.w
			g.ss += d * d * w * g.w / (w + g.w)
		}
		g.w, g.wy = g.w+w, g.wy+w*y
	}
	t := LackOfFit{DF: len(groups) - len(f.Params), PureDF: f.N - len(groups), F: math.NaN(), P: math.NaN()}
	var pure []float64
	for _, g := range groups {
		pure = append(pure, g.ss)
	}
	slices.Sort(pure) // a fixed order
	for _, v := range pure {
		t.PureSS += v
	}
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
