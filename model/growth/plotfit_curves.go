package growth

import "math"

// Growth curves of a plot. All have the ceiling K and the rate r, which the season g spreads over the year where that
// of the species is known; cuts are taken out at their dates.
const (
	ShapeLogistic      = "logistic"      // dB/dt = r B (1 - B/K), even over the year
	ShapeSeasonal      = "seasonal"      // dB/dt = r g B (1 - B/K); the season is the species', else it is fitted
	ShapeGompertz      = "gompertz"      // dB/dt = r g B ln(K/B)
	ShapeTheta         = "theta"         // dB/dt = r g B (1 - (B/K)^θ)
	ShapeMonomolecular = "monomolecular" // dB/dt = r g (K - B)
)

// PlotShapes are the growth curves that are tried, in the order in which they are spoken of.
var PlotShapes = []string{ShapeLogistic, ShapeSeasonal, ShapeGompertz, ShapeTheta, ShapeMonomolecular}

// PlotCurve is one growth curve fitted to a plot, for comparison; what is used is [PlotFit.R], from the logistic. The r
// of different curves are not the same quantity: Recovery is what can be compared.
//
// Where Status is [PlotNot] there is no estimate, all numbers but N are NaN, and Reason says why. Else the curve was
// fitted, to its own ceiling ([PlotOK]) or the table's ([PlotTableCeiling], K without limits), as the plot itself was.
// Limits are filled by [PlotFit.LimitCurves], NaN before; a limit that does not exist stays NaN, and Reason says of which
// quantity. K and Recovery are NaN where the ceiling lies beyond three times the largest measure.
type PlotCurve struct {
	Shape    string
	N, DF    int
	R        Interval  // per year
	K        Interval  // ceiling, kg/m2
	Theta    Interval  // exponent, only of [ShapeTheta]
	N0       float64   // kg/m2 at the start of the clock
	Season   Season    // that the curve grows by
	Recovery float64   // years from a tenth of the ceiling to nine tenths
	RSD      float64   // residual standard deviation of the log
	AICc     float64   // of the log of the measures, [Fit.AICc]; NaN where there are too few measures for it
	Delta    float64   // AICc above that of the best curve
	Weight   float64   // Akaike weight, 0-1; NaN without AICc
	Fitted   []float64 // kg/m2
	Residual []float64 // ln observed - ln fitted

	Status, Reason string

	path  plotPath
	theta []float64
}

// Curve is the fitted curve as [PlotFit.Curve] has it.
func (c PlotCurve) Curve(n int) (t, b []float64) {
	if c.theta == nil {
		return nil, nil
	}
	return c.path.draw(c.theta, n)
}

// Limits of the exponent of the theta-logistic. Below, it is as good as the Gompertz curve; above, it is growth at a
// steady rate that stops at the ceiling.
const (
	thetaLow  = 0.1
	thetaHigh = 10.0
)

// plotFreeSeasonYears is the record, in years, from which a season is fitted: less has not seen every month.
const plotFreeSeasonYears = 1.0

// candidate is the record with the shape and season of a curve. A reason means that the curve cannot be fitted.
func (f *PlotFit) candidate(name string) (path plotPath, reason string) {
	known := f.path.season.Amplitude != 0
	switch name {
	case ShapeLogistic:
		path = f.path.as(plotShape{theta: 1}, Season{})
	case ShapeSeasonal:
		path = f.path.as(plotShape{theta: 1, freeSeason: !known}, f.path.season)
		if !known && f.Years < plotFreeSeasonYears {
			reason = "no season known, and the record does not see a whole year"
		}
	case ShapeGompertz:
		path = f.path.as(plotShape{theta: 0}, f.path.season)
	case ShapeTheta:
		path = f.path.as(plotShape{theta: 1, freeTheta: true}, f.path.season)
	case ShapeMonomolecular:
		path = f.path.as(plotShape{theta: -1}, f.path.season)
	}
	return path, reason
}

// newPlotCurve is a curve without an estimate.
func newPlotCurve(name string, n int) PlotCurve {
	nan := math.NaN()
	none := Interval{nan, nan, nan}
	return PlotCurve{Shape: name, N: n, R: none, K: none, Theta: none, N0: nan, Recovery: nan, RSD: nan, AICc: nan,
		Delta: nan, Weight: nan, Season: Season{Amplitude: nan, Peak: nan}, Status: PlotNot}
}
