package survey

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Allometry is how the weight of a frond goes with its length, see [Allometries].
type Allometry struct {
	Species  string
	Fronds   int // with length and weight
	Quadrats int // they came from

	Shortest, Longest float64 // cm, of the fronds weighed
	Reach             float64 // cm, the longest frond measured in the folder, weighed or not

	A             float64  // g/cm^b, of the mean weight: exp(LogA) times Correction
	Power         Estimate // b; its SE is that of least squares, its interval Student's t
	PowerSEByQuad float64  // SE of b between quadrats; NaN for one quadrat
	LogA          Estimate // of the line of log weight on log length
	Spread        float64  // residual sd of log weight
	R2            float64  // of the line
	Correction    float64  // exp(Spread²/2): from the median to the mean weight of lognormal fronds
	Smearing      float64  // mean of exp(residual): the same without the lognormal

	Status   Status
	Reason   string // why it could not be fitted, and what to measure
	Warnings []string
}

// Weight is the mean weight (g wet) of a frond of a length (cm), A L^b; NaN where it could not be fitted or the length
// is not above 0.
func (a Allometry) Weight(length float64) float64 {
	if a.Status != OK || !(length > 0) {
		return math.NaN()
	}
	return a.A * math.Pow(length, a.Power.Value)
}

// Allometries fits the weight of fronds to their length for every species of fronds.csv, sorted by name, over all beds
// and years:
//
//	w = a L^b,   log w = log a + b log L + e,   e ~ N(0, s²),   E(w) = exp(log a + s²/2) L^b
//
// by least squares on the logarithms. At least 10 fronds of different lengths with wet_g above 0 are needed, and b
// above 0; else the species is not estimable. The factor exp(s²/2) turns the median into the mean weight; Smearing is
// what the residuals themselves give. Fronds of a quadrat are more alike than others: PowerSEByQuad allows for that,
//
//	v(b) = m/(m-1) Σ_c (Σ_{i in c} (x_i - xbar) e_i)² / (Σ (x - xbar)²)²
//
// over m quadrats, as svyglm of R survey. Intervals are at opt.Confidence.
//
// References:
//   - Baskerville, G. L.: Use of logarithmic regression in the estimation of plant biomass. Canadian Journal of Forest
//     Research 2 (1972) 49-53
//   - Duan, N.: Smearing estimate: a nonparametric retransformation method. Journal of the American Statistical
//     Association 78 (1983) 605-610
func Allometries(f *Folder, opt Options) []Allometry {
	checkOptions(opt)
	var out []Allometry
	for id, rs := range frondRows(f) {
		a := fitLengthWeight(f.Names[id], &f.Fronds, rs)
		a.Power, a.LogA = a.Power.Interval(opt.Confidence), a.LogA.plain(opt.Confidence)
		out = append(out, a)
	}
	slices.SortFunc(out, func(a, b Allometry) int { return cmp.Compare(a.Species, b.Species) })
	return out
}

// plain is the estimate with its t interval, also where it reaches below 0.
func (e Estimate) plain(level float64) Estimate {
	e.Level = level
	if e.OK && !math.IsNaN(e.SE) && e.DF >= 0.5 {
		t := tQuantile(0.5+level/2, e.DF)
		e.Lo, e.Hi, e.Kind = e.Value-t*e.SE, e.Value+t*e.SE, "t"
	}
	return e
}

// powerError is the larger of the standard errors of b.
func (a Allometry) powerError() float64 {
	if a.PowerSEByQuad > a.Power.SE {
		return a.PowerSEByQuad
	}
	return a.Power.SE
}

// fitLengthWeight fits the rows of one species as [frondRows] gives them.
func fitLengthWeight(species string, fr *Fronds, rows []int32) Allometry {
	nan := math.NaN()
	a := Allometry{Species: species, Power: missing(), LogA: missing(), Shortest: nan, Longest: nan, A: nan,
		PowerSEByQuad: nan, Spread: nan, R2: nan, Correction: nan, Smearing: nan, Status: NotEstimable}
	var x, y []float64
	var weighed []int32
	for _, i := range rows {
		a.Reach = max(a.Reach, fr.Length[i])
		if fr.Wet[i] > 0 {
			a.Shortest, a.Longest = leastOf(a.Shortest, fr.Length[i]), -leastOf(-a.Longest, -fr.Length[i])
			x, y, weighed = append(x, math.Log(fr.Length[i])), append(y, math.Log(fr.Wet[i])), append(weighed, i)
		}
	}
	a.Fronds = len(x)
	line, ok := leastSquares(y, x)
	switch {
	case a.Fronds < soundLengths:
		a.Reason = fmt.Sprintf("%s weighed one by one, at least %d needed: weigh short, middling and long ones",
			counted(a.Fronds, "frond"), soundLengths)
	case !ok:
		a.Reason = "all fronds weighed have one length: weigh short and long ones"
	case !(line.slope > 0):
		a.Reason = "longer fronds do not weigh more: look for weights and lengths in each other's place, and weigh more fronds"
	default:
		a.Status = OK
		a.fill(fr, weighed, x, y, line)
	}
	return a
}

// leastOf is the smaller number, v where the other is NaN.
func leastOf(least, v float64) float64 {
	if least < v {
		return least
	}
	return v
}

// fill takes over the line and what it leaves.
func (a *Allometry) fill(fr *Fronds, rows []int32, x, y []float64, line straight) {
	n := float64(len(x))
	rest := make([]float64, len(x))
	smear, syy := 0.0, 0.0
	for i := range x {
		rest[i] = y[i] - line.meanY - line.slope*(x[i]-line.meanX)
		smear += math.Exp(rest[i]) / n
		syy += (y[i] - line.meanY) * (y[i] - line.meanY)
	}
	s2 := line.rss / (n - 2)
	a.Spread, a.R2, a.Smearing, a.Correction = math.Sqrt(s2), 1-line.rss/syy, smear, math.Exp(s2/2)
	a.Power.OK, a.Power.Value, a.Power.SE, a.Power.DF = true, line.slope, math.Sqrt(s2/line.sxx), n-2
	a.LogA.OK, a.LogA.Value, a.LogA.DF = true, line.meanY-line.slope*line.meanX, n-2
	a.LogA.SE = math.Sqrt(s2 * (1/n + line.meanX*line.meanX/line.sxx))
	a.A = math.Exp(a.LogA.Value) * a.Correction
	a.between(fr, rows, x, rest, line)
	a.doubt(fr, rows, x, rest, line)
}

// between is the standard error of b between quadrats.
func (a *Allometry) between(fr *Fronds, rows []int32, x, rest []float64, line straight) {
	var sums []float64
	for j, i := range rows {
		if j == 0 || fr.place(i) != fr.place(rows[j-1]) {
			sums = append(sums, 0)
		}
		sums[len(sums)-1] += (x[j] - line.meanX) * rest[j]
	}
	a.Quadrats = len(sums)
	if m := float64(len(sums)); m > 1 {
		v := 0.0
		for _, s := range sums {
			v += s * s
		}
		a.PowerSEByQuad = math.Sqrt(v*m/(m-1)) / line.sxx
	}
}

const (
	farOff     = 4.0 // externally studentised residuals beyond which a frond is named
	leastRange = 2.0 // longest over shortest frond below which the power is hardly measured
	muchLonger = 1.5 // longest measured over longest weighed frond above which the line is drawn too far
)

// doubt notes fronds that lie far off the line, and lengths that were not weighed.
func (a *Allometry) doubt(fr *Fronds, rows []int32, x, rest []float64, line straight) {
	if a.Longest < leastRange*a.Shortest {
		a.Warnings = append(a.Warnings, fmt.Sprintf("only fronds of %.3g to %.3g cm were weighed: weigh shorter and longer ones",
			a.Shortest, a.Longest))
	}
	if a.Reach > muchLonger*a.Longest {
		a.Warnings = append(a.Warnings, fmt.Sprintf("fronds up to %.3g cm were measured but none above %.3g cm weighed: weigh long ones",
			a.Reach, a.Longest))
	}
	if a.Quadrats == 1 {
		a.Warnings = append(a.Warnings, "all fronds weighed are of one quadrat: weigh some of others")
	}
	n := float64(len(x))
	var off []string
	for j, i := range rows {
		h := 1/n + (x[j]-line.meanX)*(x[j]-line.meanX)/line.sxx
		others := (line.rss - rest[j]*rest[j]/(1-h)) / (n - 3)
		if others > 0 && math.Abs(rest[j]) > farOff*math.Sqrt(others*(1-h)) {
			off = append(off, fmt.Sprintf("%.4g g at %.4g cm (line %d)", fr.Wet[i], fr.Length[i], fr.Line[i]))
		}
	}
	if len(off) > 0 {
		a.Warnings = append(a.Warnings, "weight far off that of other fronds of the length: "+strings.Join(off[:min(len(off), 3)], ", ")+
			more(len(off)-3))
	}
}

// more counts what is not named.
func more(n int) string {
	if n <= 0 {
		return ""
	}
	return fmt.Sprintf(" and %d more", n)
}
