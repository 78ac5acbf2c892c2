package growth

// Growth curves of a plot. All have the ceiling K and grow at the rate r g(t), with the season g where the species' is
// known; cuts are taken out at their dates.
const (
	ShapeLogistic      = "logistic"      // dB/dt = r B (1 - B/K), even over the year
	ShapeSeasonal      = "seasonal"      // dB/dt = r g B (1 - B/K); the season is the species', else it is fitted
	ShapeGompertz      = "gompertz"      // dB/dt = r g B ln(K/B)
	ShapeTheta         = "theta"         // dB/dt = r g B (1 - (B/K)^θ)
	ShapeMonomolecular = "monomolecular" // dB/dt = r g (K - B)
)

// PlotShapes are the growth curves that are tried, in the order in which they are spoken of.
var PlotShapes = []string{ShapeLogistic, ShapeSeasonal, ShapeGompertz, ShapeTheta, ShapeMonomolecular}

// PlotCurve is one growth curve fitted to a plot, for comparison: [PlotFit.R], from the logistic, is what is used. r of
// the curves are not the same quantity; Recovery can be compared. Where Status is [PlotNot] there is no estimate, all
// numbers are NaN, and Reason says why. Where it is [PlotTableCeiling] K is the table's and has no interval.
type PlotCurve struct {
	Shape    string
	N, DF    int
	R        Interval  // per year; the limits are those of the profile t, infinite never: a curve without them is no estimate
	K        Interval  // ceiling, kg/m2; limits NaN where it is the table's, or where they have no end
	Theta    Interval  // of [ShapeTheta], else NaN
	N0       float64   // kg/m2 at the start of the clock
	Season   Season    // that the curve grows by
	Recovery float64   // years from a tenth of the ceiling to nine tenths, by this curve
	RSD      float64   // residual standard deviation of the log
	AICc     float64   // of the log of the measures; NaN with too few measures
	Delta    float64   // AICc above that of the best curve
	Weight   float64   // Akaike weight, 0-1
	Fitted   []float64 // kg/m2
	Residual []float64 // ln observed - ln fitted

	Status, Reason string
}

// PlotDiagnostics say how far the fit of a plot can be trusted. What cannot be had is NaN or nil.
type PlotDiagnostics struct {
	CorrRK       float64   // correlation of log r and log K; NaN under the table's ceiling
	Leverage     []float64 // of each measure, 0-1; they sum to the number of parameters
	Standardized []float64 // residuals over their own standard deviations, RSD sqrt(1 - leverage)
	Profile      PlotProfile
	Runs         int     // runs of residuals of one sign, in the order of time
	RunsP        float64 // two-sided probability of a number of runs as far from expectation
	LackF        float64 // F of lack of fit; NaN where no measure is repeated on a day
	LackDF       [2]int  // its degrees of freedom: lack of fit, repeats
	LackP        float64
}

// PlotProfile is the profile of r: at each value the signed root of what the sum of squares rises by, in residual
// variances, the other parameters refitted,
//
//	t(r) = sign(r - r̂) sqrt( (S(r) - S(r̂)) / s² )
//
// A straight line over log r is a fit whose standard error says all; R's interval is where |t| is Limit.
//
// References:
//   - Bates, D. M. and Watts, D. G.: Nonlinear Regression Analysis and Its Applications. Wiley (1988), ch. 6
type PlotProfile struct {
	R, T  []float64 // per year, increasing; no unit
	Limit float64   // the quantile of t at the level of the fit
}

// PlotResampled is the case bootstrap of a plot: its measures drawn again with replacement, within each regrowth.
type PlotResampled struct {
	R      Interval // per year: the fit's r, and percentiles over the resamples
	K      Interval // kg/m2; NaN under the table's ceiling
	N      int      // resamples asked for
	Failed int      // of them without an estimate: the interval is of the others
	// Status is [PlotOK] or [PlotNot]; Reason says why there is none.
	Status, Reason string
}
