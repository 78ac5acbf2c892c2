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

// bedLogR is what is held of log r of a bed before its surveys: the table's prior updated by the plots, widened by the
// spread between beds.
//
//	log r ~ N(log R, log(1+cv²));  y_i ~ N(log r + δ, se_i² + φ²);  δ ~ N(0, 0.5²);  log r_b ~ N(log r, φ²)
//
// With w_i = 1/(se_i² + φ²) the plots weigh as one value Σwy/Σw with the variance 1/Σw + 0.5².
func bedLogR(prior Prior, plots []PlotEvidence, season Season, spread float64) (normal, []string) {
	var warnings []string
	var sw, swy float64
	short, faulty := 0, 0
	for _, p := range plots {
		switch {
		case math.IsNaN(p.LogR) || math.IsInf(p.LogR, 0) || !(p.SE > 0) || math.IsInf(p.SE, 0):
			faulty++
		case season.Amplitude == 0 && !(p.Years >= shortestPlot):
			short++
		default:
			w := 1 / (p.SE*p.SE + spread*spread)
			sw += w
			swy += w * p.LogR
		}
	}
	if short > 0 {
		warnings = append(warnings, fmt.Sprintf(
			"%d regrowth plots not used: under %.1f years, and no amplitude is given for the species", short, shortestPlot))
	}
	if faulty > 0 {
		warnings = append(warnings, fmt.Sprintf("%d regrowth plots not used: no estimate with a standard error", faulty))
	}
	sd := logSD(prior.RCV)
	mean, v := math.Log(prior.R), sd*sd
	if sw > 0 {
		pv := 1/sw + plotBias*plotBias
		gain := v / (v + pv)
		mean += gain * (swy/sw - mean)
		v *= 1 - gain
	}
	return normal{mean, math.Sqrt(v + spread*spread)}, warnings
}

// bedLogK is what is held of log K of a bed before its surveys: log K_b ~ N(log(k area occ), log(1+cv²) + ω²).
func bedLogK(prior Prior, area, occ, spread float64) normal {
	return normal{math.Log(prior.K * area * occ), math.Sqrt(math.Log1p(prior.KCV*prior.KCV) + spread*spread)}
}
