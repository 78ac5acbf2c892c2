package growth

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Profile is the sum of squares as a function of one parameter, the others refitted at each value, and the interval
// that follows from it.
type Profile struct {
	Param    int
	Estimate float64
	Level    float64
	Lo, Hi   float64 // profile t interval; infinite on a side where the data set no limit
	Values   []float64
	T        []float64   // profile t at the values: below 0 left of the estimate
	RSS      []float64   // sum of squares at the values
	Others   [][]float64 // the other parameters at the values, in their order
	Better   []float64   // all parameters at a lower sum of squares than the fit's; nil where none was met
}

// profileSide is how many values the curve has on each side of the estimate, profileBeyond how far beyond the limit it
// goes, in distances of the limit; on a side without limit it goes as far as profileOpen standard errors.
const (
	profileSide   = 12
	profileBeyond = 1.2
	profileOpen   = 6.0
)

// Profile is the profile of parameter j with its interval of the level, (0, 1):
//
//	t(v) = sign(v - p_j) sqrt( (S(v) - S)/s² ),   s² = S/DF
//
// where S(v) is the least sum of squares with p_j = v. The interval holds the values with |t(v)| at most the quantile
// of Student's t with DF degrees of freedom. It does not change with the way a parameter is written (r or ln r), and
// follows a valley that bends, where the standard error takes it for straight. T is a straight line through the
// estimate where the model is as good as linear in p_j. Where the fit had bounds the interval ends at them. The steps
// outward are as long as standard errors say: a parameter that is hardly told and has no meaning below 0 should be
// fitted with that bound, or as a logarithm, lest a step land beyond.
//
// It panics where the fit did not converge, has no degrees of freedom, or level is not in (0, 1). A profile that
// meets a lower sum of squares reports where in Better: the fit was then not the best, and is to be done again from
// there.
//
// References:
//   - Bates, D. M. and Watts, D. G.: Nonlinear Regression Analysis and Its Applications. Wiley (1988), ch. 6
func (f Fit) Profile(j int, level float64) Profile {
	f.needs("a profile")
	if !(level > 0 && level < 1) {
		panic(fmt.Sprintf("growth: profile: the level %v is not in (0, 1)", level))
	}
	out := Profile{Param: j, Estimate: f.Params[j], Level: level}
	pr := newProfile(f.problem.model, f.problem.y, f, j)
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(f.DF)}.Quantile((1 + level) / 2)
	s2 := f.RSD * f.RSD
	if !(f.RSD > 1e-12*f.size()) { // data without noise: the sum of squares is rounding
		out.Lo, out.Hi = out.Estimate-t*f.SE[j], out.Estimate+t*f.SE[j]
		return out
	}
	lo, hi := f.problem.settings.bounds(j)
	out.Lo = max(pr.limit(s2, t, -t*f.SE[j], out.Estimate-lo), lo)
	out.Hi = min(pr.limit(s2, t, t*f.SE[j], hi-out.Estimate), hi)
	reach := func(end float64) float64 {
		if math.IsInf(end, 0) {
			return profileOpen * f.SE[j]
		}
		return profileBeyond * math.Abs(end-out.Estimate)
	}
	out.walk(pr, -reach(out.Lo), lo, hi)
	slices.Reverse(out.Values)
	slices.Reverse(out.T)
	slices.Reverse(out.RSS)
	slices.Reverse(out.Others)
	out.add(out.Estimate, 0, f.RSS, lsqWithout(f.Params, j))
	out.walk(pr, reach(out.Hi), lo, hi)
	for i := range out.T {
		out.T[i] /= f.RSD
	}
	out.Better = pr.lower
	return out
}

// walk appends the values from the estimate outward; T is not yet divided by the residual standard deviation. Values
// where the model does not exist, or that are outside lo to hi, are left out.
func (p *Profile) walk(pr *profile, reach, lo, hi float64) {
	pr.rewind()
	for i := 1; i <= profileSide; i++ {
		v := p.Estimate + reach*float64(i)/profileSide
		if v < lo || v > hi {
			return
		}
		if rss := pr.at(v); !math.IsInf(rss, 1) {
			p.add(v, math.Copysign(math.Sqrt(max(0, rss-pr.rss)), reach), rss, slices.Clone(pr.warm))
		}
	}
}

func (p *Profile) add(v, t, rss float64, others []float64) {
	p.Values, p.T, p.RSS, p.Others = append(p.Values, v), append(p.T, t), append(p.RSS, rss), append(p.Others, others)
}

// bounds are those of parameter j, infinite where there is none.
func (s LSQSettings) bounds(j int) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	if s.Lower != nil {
		lo = s.Lower[j]
	}
	if s.Upper != nil {
		hi = s.Upper[j]
	}
	return lo, hi
}

// size is the root mean square of the weighted values.
func (f Fit) size() float64 {
	sum := 0.0
	for i, y := range f.problem.y {
		sum += f.problem.weight(i) * y * y
	}
	return math.Sqrt(sum / float64(f.N))
}

// needs panics where the fit has no estimate with a spread.
func (f Fit) needs(what string) {
	if f.Status != Converged || f.DF < 1 {
		panic("growth: " + what + " of a fit that did not converge or has no degrees of freedom")
	}
}
