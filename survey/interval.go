package survey

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Interval returns the estimate with its confidence interval at a level in (0, 1). With t the quantile of Student's t
// for DF degrees of freedom:
//
//	Lo, Hi = Value -+ t SE                                       (t interval)
//	Lo, Hi = Value exp(-+ t s),  s = sqrt(log(1 + SE²/Value²))   (log-t interval)
//
// The log-t interval is taken where the t interval of a positive estimate would reach below 0: a stock cannot be
// negative, and the interval stays skewed as the estimate is. With fewer than 3 degrees of freedom exp(t s) runs to
// figures that no shore can hold (a factor of 10^4 and more); the t interval with Lo at 0 is taken there. DF may be a
// fraction (Satterthwaite) or +Inf (normal). Kind says which of the two was taken.
// Lo and Hi are NaN where OK is false, SE is NaN, or DF is below 1/2 (no more sampling units than strata). It panics
// on a level outside (0, 1).
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), section 2.8
//   - Burnham, K. P. and others: Design and analysis methods for fish survival experiments. American Fisheries Society
//     Monograph 5 (1987), section 3.3 (log-based interval)
func (e Estimate) Interval(level float64) Estimate {
	return e.interval(level, func(lo float64) bool { return lo < 0 && e.DF >= leastLogDF })
}

// IntervalLog returns the estimate with its log-t interval (see [Estimate.Interval]) whatever the t interval would be.
// Below 2 degrees of freedom, and for an estimate that is not positive, the t interval is taken, that of a positive
// estimate with Lo not below 0.
func (e Estimate) IntervalLog(level float64) Estimate {
	return e.interval(level, func(float64) bool { return e.DF >= 2 })
}

// IntervalOf returns the estimate with the interval that opt asks for: t ([Estimate.Interval]) or log-t
// ([Estimate.IntervalLog]). An estimate alone cannot be resampled: for "bootstrap" it is the log-t interval.
func (e Estimate) IntervalOf(opt Options) Estimate {
	if opt.Interval == "t" {
		return e.Interval(opt.Confidence)
	}
	return e.IntervalLog(opt.Confidence)
}

// interval fills in Lo and Hi; onLog tells, from the lower end of the t interval, whether to take the log-t interval.
func (e Estimate) interval(level float64, onLog func(lo float64) bool) Estimate {
	if !(level > 0 && level < 1) {
		panic("survey: confidence level outside (0, 1)")
	}
	e.Level, e.Kind = level, ""
	e.Lo, e.Hi = math.NaN(), math.NaN()
	switch {
	case !e.OK || math.IsNaN(e.SE) || math.IsNaN(e.DF) || e.DF < 0.5:
		return e
	case e.SE == 0:
		e.Lo, e.Hi, e.Kind = e.Value, e.Value, "t"
		return e
	}
	t := tQuantile(0.5+level/2, e.DF)
	e.Lo, e.Hi, e.Kind = e.Value-t*e.SE, e.Value+t*e.SE, "t"
	switch {
	case e.Value <= 0:
	case onLog(e.Lo):
		cv := e.CV()
		s := math.Sqrt(math.Log1p(cv * cv))
		e.Lo, e.Hi, e.Kind = e.Value*math.Exp(-t*s), e.Value*math.Exp(t*s), "log-t"
	default:
		e.Lo = max(0, e.Lo)
	}
	return e
}

// Quantile is the p quantile of the log-t distribution of a positive estimate,
//
//	Value exp(t(p, DF) s),  s = sqrt(log(1 + SE²/Value²))
//
// NaN where OK is false, Value is not positive, or SE or DF is not known.
func (e Estimate) Quantile(p float64) float64 {
	switch {
	case !e.OK || !(e.Value > 0) || math.IsNaN(e.SE) || !(e.DF >= 0.5):
		return math.NaN()
	case e.SE == 0:
		return e.Value
	}
	cv := e.CV()
	return e.Value * math.Exp(tQuantile(p, e.DF)*math.Sqrt(math.Log1p(cv*cv)))
}

// leastLogDF is the number of degrees of freedom from which an interval is taken on the log unasked.
const leastLogDF = 3

// missing is an estimate that could not be had.
func missing() Estimate {
	nan := math.NaN()
	return Estimate{Value: nan, SE: nan, DF: nan, Lo: nan, Hi: nan}
}

// tQuantile is the quantile of Student's t with df degrees of freedom, of the normal where df is +Inf.
func tQuantile(p, df float64) float64 {
	if math.IsInf(df, 1) {
		return distuv.UnitNormal.Quantile(p)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(p)
}

// part is one component of a variance with the degrees of freedom it was estimated with, +Inf where it is known.
type part struct{ v, df float64 }

// satterthwaite sums independent variance components and gives the degrees of freedom of the sum,
//
//	df = (Σ v)² / Σ v²/df
//
// which lie between the smallest df and their sum. Components of 0 do not count; where all are 0 or known, df is the
// smallest given. A NaN component makes the sum NaN.
//
// References:
//   - Satterthwaite, F. E.: An approximate distribution of estimates of variance components. Biometrics Bulletin 2
//     (1946) 110-114
func satterthwaite(parts ...part) part {
	sum, below, least := 0.0, 0.0, math.Inf(1)
	for _, p := range parts {
		least = min(least, p.df)
		sum += p.v
		if p.v > 0 {
			below += p.v * p.v / p.df
		}
	}
	if below == 0 {
		return part{sum, least}
	}
	return part{sum, sum * sum / below}
}
