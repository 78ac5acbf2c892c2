package growth

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// PlotsTogether is what the regrowth plots of one species say together of the annual r, and how far they differ. Where
// Status is [PlotNot] all numbers but N are NaN; where it is [PlotsOne] the spread between plots and its test are.
type PlotsTogether struct {
	Species string
	Level   float64 // level of the intervals, 0-1
	N       int     // plots used
	Used    []PlotShare
	LeftOut []string // plots without an annual rate: "D1: reason"

	LogR, SE float64  // mean of log r over plots, and its standard error
	R        Interval // of exp(LogR): the median r of plots like these, per year; never narrower than RNormal
	RNormal  Interval // the same from the normal distribution, as if the spread between plots were known
	RNext    Interval // r of one more plot like these

	Phi, PhiLo, PhiHi float64 // sd of log r between plots, beyond their errors, and its interval
	Q                 float64 // heterogeneity: Σ (y - ȳ)²/se²
	QDF               int
	QP                float64 // probability of a Q as large, were all plots alike
	I2                float64 // share of the spread of the estimates that is not error, 0-1

	Outliers       []string // names of plots far from the others; they are kept
	Status, Reason string
	Warnings       []string
}

// PlotShare is the part of one plot in [PlotsTogether].
type PlotShare struct {
	Plot, Bed string
	LogR, SE  float64
	Years     float64
	Weight    float64 // share in the mean, 0-1
	// Deleted is the studentised deleted residual: how far the plot is from what the others foretell, in standard
	// errors; NaN with fewer than three plots.
	Deleted float64
	Outlier bool
}

// PlotsOne is the status of a species with one plot: its r stands, how plots differ is not known.
const PlotsOne = "one plot"

// TogetherBySpecies puts the plots of each species together by [Together], in the order in which the species first
// come.
func TogetherBySpecies(fits []PlotFit, level float64) []PlotsTogether {
	var names []string
	groups := map[string][]PlotFit{}
	for _, f := range fits {
		if _, ok := groups[f.Species]; !ok {
			names = append(names, f.Species)
		}
		groups[f.Species] = append(groups[f.Species], f)
	}
	out := make([]PlotsTogether, 0, len(names))
	for _, n := range names {
		out = append(out, Together(groups[n], level))
	}
	return out
}

// Together is the random-effects mean of log r over the plots of one species
//
//	y_i = log r_i ~ N(m, se_i² + φ²),   w_i = 1/(se_i² + φ²),   m = Σ w y / Σ w,   SE = 1/sqrt(Σ w)
//
// with se_i of [PlotFit.Evidence] and φ by restricted maximum likelihood. Plots without an annual rate are left out by
// name. The interval of φ holds the values at which Q(φ) = Σ w (y - m)² is no surprise to the chi-square distribution
// with N-1 degrees of freedom (Viechtbauer 2007). The interval of the mean is that of Hartung and Knapp: the normal's
// with SE times sqrt(q), q = Σ w (y - m)²/(N-1), and the t distribution with N-1 degrees of freedom; q below 1 counts as
// 1, since plots that agree by chance must not look better known than their errors allow (Röver et al. 2015). That of one
// more plot adds φ² to the square of that standard error and has N-2 degrees of freedom, at least 1 (Higgins et al. 2009).
//
// A plot is an outlier where its studentised deleted residual (Viechtbauer & Cheung 2010)
//
//	t_i = ( y_i - m_(i) ) / sqrt( se_i² + φ_(i)² + SE_(i)² )
//
// from the others' mean and spread is beyond the t distribution with N-2 degrees of freedom at 0.05/N. The usual 1.96
// would name a plot without reason in 12 to 94 of 100 species (by simulation, 3 to 30 plots): the others' spread is
// hardly known, and every plot is tried. This limit does so in at most 7, and still names one that regrows at a quarter of
// the rate of seven like ones.
//
// It panics where level is not in (0, 1), or the fits are of several species.
//
// References:
//   - Viechtbauer, W.: Bias and efficiency of meta-analytic variance estimators in the random-effects model. Journal of
//     Educational and Behavioral Statistics 30 (2005), 261-293
//   - Viechtbauer, W.: Confidence intervals for the amount of heterogeneity in meta-analysis. Statistics in Medicine 26
//     (2007), 37-52
//   - Hartung, J. and Knapp, G.: A refined method for the meta-analysis of controlled clinical trials with binary
//     outcome. Statistics in Medicine 20 (2001), 3875-3889
//   - Röver, C., Knapp, G. and Friede, T.: Hartung-Knapp-Sidik-Jonkman approach and its modification for random-effects
//     meta-analysis with few studies. BMC Medical Research Methodology 15 (2015), 99
//   - Higgins, J. P. T., Thompson, S. G. and Spiegelhalter, D. J.: A re-evaluation of random-effects meta-analysis.
//     Journal of the Royal Statistical Society A 172 (2009), 137-159
//   - Higgins, J. P. T. and Thompson, S. G.: Quantifying heterogeneity in a meta-analysis. Statistics in Medicine 21
//     (2002), 1539-1558 (I²)
//   - Viechtbauer, W. and Cheung, M. W.-L.: Outlier and influence diagnostics for meta-analysis. Research Synthesis
//     Methods 1 (2010), 112-125
func Together(fits []PlotFit, level float64) PlotsTogether {
	if !(level > 0 && level < 1) {
		panic("growth: level of plots together is not in (0, 1)")
	}
	nan := math.NaN()
	none := Interval{nan, nan, nan}
	p := PlotsTogether{Level: level, LogR: nan, SE: nan, R: none, RNormal: none, RNext: none, Phi: nan, PhiLo: nan,
		PhiHi: nan, Q: nan, QP: nan, I2: nan, Status: PlotNot}
	p.gather(fits)
	switch p.N = len(p.Used); p.N {
	case 0:
		p.Reason = "no regrowth plot tells the annual r"
	case 1:
		p.alone()
	default:
		p.pool()
		p.doubts()
	}
	return p
}

// gather divides the fits into those that tell an annual rate and the others.
func (p *PlotsTogether) gather(fits []PlotFit) {
	for i, f := range fits {
		if i == 0 {
			p.Species = f.Species
		}
		if f.Species != p.Species {
			panic("growth: plots together of several species")
		}
		e, ok := f.Evidence()
		if !ok {
			why := f.Reason
			if f.Status != PlotNot {
				why = "the rate of a season, not the annual r"
			}
			p.LeftOut = append(p.LeftOut, f.Plot+": "+why)
			continue
		}
		p.Used = append(p.Used, PlotShare{Plot: f.Plot, Bed: f.Bed, LogR: e.LogR, SE: e.SE, Years: e.Years,
			Weight: math.NaN(), Deleted: math.NaN()})
	}
}

// alone is the result of one plot: its own.
func (p *PlotsTogether) alone() {
	one := &p.Used[0]
	one.Weight = 1
	p.LogR, p.SE = one.LogR, one.SE
	p.RNormal = normal{p.LogR, p.SE}.interval(p.Level)
	p.R = p.RNormal
	p.Status = PlotsOne
	p.Reason = "one plot: how far plots differ cannot be told"
}

// pool fills all numbers from two plots or more.
func (p *PlotsTogether) pool() {
	y, v := p.values()
	fixed := effectsAt(y, v, 0)
	p.Q, p.QDF = fixed.q, p.N-1
	p.QP = distuv.ChiSquared{K: float64(p.QDF)}.Survival(p.Q)
	tau2 := remlSpread(y, v)
	e := effectsAt(y, v, tau2)
	p.LogR, p.SE, p.Phi = e.mean, e.se(), math.Sqrt(tau2)
	typical := float64(p.QDF) / (fixed.sw - fixed.sww/fixed.sw) // the error of a typical plot, squared
	p.I2 = tau2 / (tau2 + typical)
	lo, hi := spreadInterval(y, v, p.Level)
	p.PhiLo, p.PhiHi = math.Sqrt(lo), math.Sqrt(hi)
	p.intervals(e, tau2)
	for i := range p.Used {
		p.Used[i].Weight = 1 / (v[i] + tau2) / e.sw
	}
	p.deleted(y, v)
	p.Status = PlotOK
}

func (p *PlotsTogether) values() (y, v []float64) {
	for _, u := range p.Used {
		y, v = append(y, u.LogR), append(v, u.SE*u.SE)
	}
	return y, v
}

// intervals are those of r.
func (p *PlotsTogether) intervals(e effects, tau2 float64) {
	df := float64(p.QDF)
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile((1 + p.Level) / 2)
	se := e.se() * math.Sqrt(max(1, e.q/df))
	about := func(half float64) Interval {
		return Interval{Median: math.Exp(e.mean), Lo: math.Exp(e.mean - half), Hi: math.Exp(e.mean + half)}
	}
	p.RNormal = normal{e.mean, e.se()}.interval(p.Level)
	p.R = about(t * se)
	next := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: max(1, df-1)}.Quantile((1 + p.Level) / 2)
	p.RNext = about(next * math.Sqrt(se*se+tau2))
}

// doubts are the warnings.
func (p *PlotsTogether) doubts() {
	if p.QP < 0.05 {
		p.warn("the plots differ more than their errors allow: r of one more plot lies between %.2g and %.2g a year",
			p.RNext.Lo, p.RNext.Hi)
	}
	for _, u := range p.Used {
		if u.Outlier {
			side := "faster"
			if u.Deleted < 0 {
				side = "slower"
			}
			p.warn("plot %s regrows far %s than the others, r %.2g against %.2g a year: look at its record; it is kept", u.Plot,
				side, math.Exp(u.LogR), p.R.Median)
		}
	}
	bed := p.Used[0].Bed
	if bed != "" && !slices.ContainsFunc(p.Used, func(u PlotShare) bool { return u.Bed != bed }) {
		p.warn("all plots lie in bed %s: how beds differ is not seen", bed)
	}
	if p.N == 2 {
		p.warn("two plots: the spread between plots is hardly known")
	}
}

func (p *PlotsTogether) warn(format string, args ...any) {
	p.Warnings = append(p.Warnings, fmt.Sprintf(format, args...))
}
