package survey

import (
	"fmt"
	"math"
	"slices"
)

// The models by which cover and length become weight, the simplest first.
const (
	byRatio       = "ratio"        // kg/m2 = k cover
	byRatioLength = "ratio-length" // kg/m2 = k cover length
	byLinear      = "linear"       // kg/m2 = a + b cover
	byPower       = "power"        // kg/m2 = a cover^b
	byAllometry   = "allometry"    // kg/m2 = Σ over all fronds of the quadrat of a length^b
)

// Conversions are the values of [Options].Conversion: "auto", or the model that is wanted.
func Conversions() []string {
	return []string{"auto", byRatio, byRatioLength, byLinear, byPower, byAllometry}
}

// Candidate is a model that was tried for turning cover and length into weight.
type Candidate struct {
	Model  string  // ratio, ratio-length, linear, power, allometry
	N      int     // weighed quadrats it was fitted to; fronds for allometry
	LOO    Num     // mean squared error of kg/m2, each weighed quadrat left out in turn; missing where not fitted
	Chosen bool    // it gave the stock
	Params []Param // of the model; none where it could not be fitted
	Note   string  // why it could not be fitted, or what to know about it
}

// Param is one parameter of a conversion.
type Param struct {
	Name  string
	Value float64
}

// fit is a candidate with what the estimate needs of it.
type fit struct {
	Candidate
	curve curve
	// infl is the influence of each weighed quadrat on the parameters: parameters move by Σ infl, which sums to 0.
	infl   [][2]float64
	rest   []float64     // error of each weighed quadrat with cover, left out in turn
	covers []float64     // their cover
	cov    [2][2]float64 // covariance of parameters that were fitted to other data than the weighed quadrats
	covDF  float64
	lost   int // parameters fitted to the weighed quadrats
}

// curve is a conversion: kg/m2 from what was read in a quadrat. A quadrat without cover has none.
type curve interface {
	at(q look) float64
	slope(q look) [2]float64 // derivatives to the parameters
}

// look is what was read in a quadrat without weighing it.
type look struct {
	cover, length float64 // percent, cm
	fronds        float64 // kg/m2 of its measured fronds by allometry; NaN where none was measured
	logs          float64 // Σ w log L over them: derivative of fronds to the power
}

// weighings are the weighed quadrats of a domain, with their weights and sampling units.
type weighings struct {
	y, w  []float64
	q     []look
	units []int
}

// covered is the number of weighed quadrats with cover above 0.
func (p *weighings) covered() int {
	n := 0
	for _, q := range p.q {
		if q.cover > 0 {
			n++
		}
	}
	return n
}

// span is the least and the most cover above 0 that was weighed, percent.
func (p *weighings) span() (lo, hi float64) {
	lo = math.Inf(1)
	for _, q := range p.q {
		if q.cover > 0 {
			lo, hi = min(lo, q.cover), max(hi, q.cover)
		}
	}
	return lo, hi
}

// leaveOut fills in the errors of the weighed quadrats with cover, by a function that predicts each from the others.
func (f fit) leaveOut(p *weighings, predict func(i int) float64) fit {
	f.rest, f.covers = make([]float64, 0, len(p.y)), make([]float64, 0, len(p.y))
	squares := 0.0
	for i, q := range p.q {
		if q.cover > 0 {
			e := p.y[i] - predict(i)
			f.rest, f.covers = append(f.rest, e), append(f.covers, q.cover)
			squares += e * e
		}
	}
	// Errors of rounding, where all weights lie on the line, are no reason to prefer a model.
	scale := mean(p.y)
	f.LOO = Some(max(squares/float64(len(f.rest)), 1e-20*scale*scale))
	return f
}

// tie is the part by which a model must lower the error of a simpler one, and surely the one-sided level at which it
// must be shown to do so, for the simpler not to be taken.
const (
	tie    = 0.05
	surely = 0.975
)

// choose is the place of the candidate to use: of the models fitted the one with the smallest left-out error, or the
// simplest one that is as good; of a line and a power, which have two parameters both, the better. As good is
//
//	E_simple (1 - 0.05) <= E_best   or   dbar <= t s_d/sqrt(n),   d = (|e_simple| - |e_best|)/cover
//
// with E the mean squared error of kg/m2, each quadrat left out in turn, s_d the standard deviation of the d of the
// same n quadrats and t the 0.975 quantile of Student's t for n - 1. With ten to twenty weighed quadrats the best of
// five models is often better than the true one by chance; by cover the scatter, which grows with it, counts alike in
// thin and thick quadrats, and absolute errors tell models apart with fewer quadrats than squares, so that a model
// that is better shows. (Where weight goes with cover, another model than the ratio is taken in 1 of 100 surveys with
// 12 weighed, by the smallest error alone in 2 of 5; where it goes with the square of cover, in 2 of 3, and with 30
// weighed nearly always.) It is -1 where nothing was fitted.
//
// References:
//   - Breiman, L., Friedman, J. H., Olshen, R. A. and Stone, C. J.: Classification and Regression Trees. Wadsworth
//     (1984), section 3.4.3 (the simplest within one standard error; here a test of the paired difference)
func choose(fits []fit) int {
	best := -1
	for i, f := range fits {
		if f.LOO.OK && (best < 0 || f.LOO.V < fits[best].LOO.V) {
			best = i
		}
	}
	at := slices.IndexFunc(fits, func(f fit) bool { return f.LOO.OK && f.asGood(fits[best]) })
	if at >= 0 && fits[at].Model == byLinear {
		for i, f := range fits[at:] {
			if f.Model == byPower && f.LOO.OK && f.LOO.V < fits[at].LOO.V {
				return at + i
			}
		}
	}
	return at
}

// asGood says whether a model is as good as the best one.
func (f fit) asGood(best fit) bool {
	if f.LOO.V-best.LOO.V <= tie*f.LOO.V {
		return true
	}
	d := make([]float64, len(f.rest))
	for i := range d {
		d[i] = (math.Abs(f.rest[i]) - math.Abs(best.rest[i])) / f.covers[i]
	}
	n := float64(len(d))
	return mean(d) <= tQuantile(surely, n-1)*math.Sqrt(variance(d)/n)
}

// unfit is a candidate that could not be fitted.
func unfit(model string, n int, format string, args ...any) fit {
	return fit{Candidate: Candidate{Model: model, N: n, Note: fmt.Sprintf(format, args...)}}
}

// fits tries the models that are wanted on weighed quadrats: all of them for auto, else the ratio and the one named.
func (p *weighings) fits(wanted string, a *allometry, why string, r readings) []fit {
	out := []fit{p.ratio(false)}
	for _, m := range []struct {
		name string
		try  func() fit
	}{
		{byRatioLength, func() fit { return p.ratio(true) }},
		{byLinear, p.linear},
		{byPower, p.power},
		{byAllometry, func() fit { return p.allometry(a, why, a.without(r)) }},
	} {
		if wanted == "auto" && (m.name != byAllometry || a != nil) || wanted == m.name {
			out = append(out, m.try())
		}
	}
	return out
}

// wanted is the place of the model to use among fits: the one named if it was fitted, else the choice among them; note
// says why a named one is not used.
func wanted(fits []fit, name string) (at int, note string) {
	switch name {
	case "auto":
		return max(choose(fits), 0), ""
	case byRatio:
		return 0, ""
	}
	at = slices.IndexFunc(fits, func(f fit) bool { return f.Model == name })
	if at >= 0 && !fits[at].LOO.OK {
		return 0, fmt.Sprintf("conversion %s asked for, but %s: ratio taken", name, fits[at].Note)
	}
	return at, ""
}

// candidatesOf are the candidates of fits with the chosen one marked.
func candidatesOf(fits []fit, at int) []Candidate {
	out := make([]Candidate, len(fits))
	for i, f := range fits {
		out[i] = f.Candidate
		out[i].Chosen = i == at
	}
	return out
}
