package growth

import (
	"fmt"
	"math"
)

// plotBias is the sd of what all regrowth plots of a species have in common and beds do not: they are cleared, small
// and chosen. Plots, however many, tell log r of the beds no better than this.
const plotBias = 0.5

// shortestPlot is the record, in years, that a plot needs where growth within the year is not described: a shorter one
// shows a season's rate.
const shortestPlot = 0.9

// normal is a normal distribution.
type normal struct{ mean, sd float64 }

// interval is the median and the interval of exp of the normal at the level.
func (n normal) interval(level float64) Interval {
	z := math.Sqrt2 * math.Erfinv(level)
	return Interval{Median: math.Exp(n.mean), Lo: math.Exp(n.mean - z*n.sd), Hi: math.Exp(n.mean + z*n.sd)}
}

// logSD is the sd of the logarithm of a lognormal with the coefficient of variation cv.
func logSD(cv float64) float64 { return math.Sqrt(math.Log1p(cv * cv)) }

// newHold is what is held of a species before its surveys. The reason tells why nothing is.
func newHold(prior Prior, plots []PlotEvidence, season Season, set Settings) (h hold, warnings []string, reason string) {
	switch {
	case !(prior.R > 0 && prior.RCV >= 0) || math.IsInf(prior.R+prior.RCV, 0):
		return h, nil, "no prior for r of this species"
	case !(prior.K > 0 && prior.KCV >= 0) || math.IsInf(prior.K+prior.KCV, 0):
		return h, nil, "no prior for K of this species"
	}
	// A prior without spread is a constant; a hair of spread keeps it in the same machinery.
	h = hold{logR: normal{math.Log(prior.R), max(logSD(prior.RCV), leastSpread)},
		logK: normal{math.Log(prior.K), max(logSD(prior.KCV), leastSpread)},
		phi:  max(set.SigmaR, leastSpread), omega: max(set.SigmaK, leastSpread), cutSD: logSD(set.ReportedCV), folds: folds{}}
	short, faulty := 0, 0
	for _, p := range plots {
		switch {
		case math.IsNaN(p.LogR) || math.IsInf(p.LogR, 0) || !(p.SE > 0) || math.IsInf(p.SE, 0):
			faulty++
		case season.Amplitude == 0 && !(p.Years >= shortestPlot):
			short++
		default:
			h.plots = append(h.plots, p)
		}
	}
	if short > 0 {
		warnings = append(warnings, fmt.Sprintf(
			"%d regrowth plots not used: under %.1f years, and no amplitude is given for the species", short, shortestPlot))
	}
	if faulty > 0 {
		warnings = append(warnings, fmt.Sprintf("%d regrowth plots not used: no estimate with a standard error", faulty))
	}
	return h, warnings, ""
}
