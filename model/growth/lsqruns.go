package growth

import (
	"cmp"
	"math"
	"slices"
)

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
