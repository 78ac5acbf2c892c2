package growth

import (
	"math"
	"slices"
	"strings"
)

// fillCurve writes a converged fit into the curve.
func (f *PlotFit) fillCurve(c *PlotCurve, path plotPath, fit Fit, prior PlotPrior) {
	table := c.Status == PlotTableCeiling
	c.DF, c.RSD, c.AICc, c.Residual = fit.DF, fit.RSD, fit.AICc(), fit.Residual
	if fit.DF == 0 || fit.RSD < plotNoise { // a perfect fit is as good as rounding lets it be
		quiet := fit
		quiet.RSS = float64(fit.N) * plotNoise * plotNoise
		c.AICc = quiet.AICc()
	}
	for _, v := range fit.Fitted {
		c.Fitted = append(c.Fitted, math.Exp(v))
	}
	c.path, c.theta = path, fit.Params
	if table {
		c.theta = slices.Insert(slices.Clone(fit.Params), 1, math.Log(prior.K))
	}
	c.N0, c.Season = math.Exp(c.theta[2]), path.fittedSeason(c.theta)
	exponent, speed := path.shape.exponent(c.theta[2+path.runs:])
	rate := math.Exp(c.theta[0])
	c.Recovery = shapeRecovery(exponent) / (rate * speed)
	c.estimates(f, table)
}

// estimates writes the estimates without their limits. The curve that the plot's own R is from has those of the plot.
func (c *PlotCurve) estimates(f *PlotFit, table bool) {
	nan := math.NaN()
	c.R, c.K = Interval{math.Exp(c.theta[0]), nan, nan}, Interval{math.Exp(c.theta[1]), nan, nan}
	if c.path.shape.freeTheta {
		c.Theta.Median = math.Exp(c.theta[len(c.theta)-1])
	}
	if c.Shape == f.Shape {
		c.R, c.K = Interval{f.R, f.RLo, f.RHi}, Interval{f.K, f.KLo, f.KHi}
	}
	if !table && c.K.Median > plotBeyond*slices.Max(f.Observed) {
		c.K.Median, c.Recovery, c.Reason = nan, nan, plotFarCeiling
	}
}

const plotFarCeiling = "the ceiling lies beyond the measures"

// LimitCurves fills the limits of r, K and θ of all Curves, by profile t intervals of the fit's level, and says in Reason
// which have no end. [PlotFit.Ranked] leaves this out but for the curve that R is from: it takes longer than all the rest.
func (f *PlotFit) LimitCurves() {
	f.Curves = slices.Clone(f.Curves) // copies of f share them
	for i := range f.Curves {
		if c := &f.Curves[i]; c.Status != PlotNot && c.Shape != f.Shape {
			f.limit(c)
		}
	}
}

func (f *PlotFit) limit(c *PlotCurve) {
	table := c.Status == PlotTableCeiling
	theta := c.theta
	if table {
		theta = lsqWithout(theta, 1)
	}
	if c.DF == 0 {
		c.Reason = "as many parameters as measures: no limits"
		return
	}
	model := c.model(table)
	fit := LeastSquares(model, f.path.y, theta, c.path.settings(table))
	if fit.Status != Converged {
		return
	}
	var open []string
	limit := func(i *Interval, j int, what string, least, most float64) { // beyond least and most there is none
		_, lo, hi := f.interval(model, fit, j)
		if lo < least {
			lo = math.Inf(-1)
		}
		if hi > most {
			hi = math.Inf(1)
		}
		i.Lo, i.Hi = finiteExp(lo), finiteExp(hi)
		if math.IsNaN(i.Lo) || math.IsNaN(i.Hi) {
			open = append(open, what)
		}
	}
	limit(&c.R, 0, "r", math.Inf(-1), math.Inf(1))
	if !table && c.Reason == "" {
		limit(&c.K, 1, "the ceiling", math.Inf(-1), math.Inf(1))
	}
	if last := len(fit.Params) - 1; c.path.shape.freeTheta {
		limit(&c.Theta, last, "the exponent", math.Log(thetaLow), math.Log(thetaHigh))
	}
	if len(open) > 0 && c.Reason == "" {
		c.Reason = "the measures do not limit " + strings.Join(open, " and ")
	}
}

// model is that of the curve's fit.
func (c *PlotCurve) model(table bool) ModelFunc {
	if table {
		return lsqHold(c.path.model, len(c.theta), c.N, 1, c.theta[1])
	}
	return c.path.model
}

// finiteExp is e^v, NaN where v is infinite.
func finiteExp(v float64) float64 {
	if !lsqFinite(v) {
		return math.NaN()
	}
	return math.Exp(v)
}
