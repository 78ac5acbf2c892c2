package growth

import "bedstock/model/internal/spill"

// Series is what is known of one species on one bed: its surveys, cuts and storms, in the order of time. Times are
// years since 1970-01-01, weights kg wet.
type Series struct {
	Area    float64 // m2 of the bed on the last survey
	Occ     float64 // fraction of the area where the species can grow, (0, 1]
	Surveys []Observation
	Cuts    []Pulse // what was taken, known cuts only
	Events  []Storm // dated losses
	// CutsKnown is false where nobody recorded what was cut: then r is not informed by the surveys.
	CutsKnown bool
	// CutsTo is the time up to which the cuts are known; 0: all of them. Between two surveys of which the later comes
	// after it, r is not informed.
	CutsTo float64
	// Unplaced are landings that may be from here. Between two surveys with more of them than [Negligible] r is not informed.
	Unplaced []Unplaced
}

// Observation is the standing stock of one survey.
type Observation struct {
	T      float64 // time of the survey
	Kg     float64 // estimate; 0: none was found
	CV     float64 // coefficient of variation without the shared part, smoothed over surveys
	DF     float64 // degrees of freedom of the estimate
	PSU    int     // sampling units
	Area   float64 // m2 surveyed
	Dense  float64 // kg/m2, mean over the units that hold the species
	Shared []Shared
}

// Shared is an error in common with other surveys: equal IDs are the same error.
type Shared struct {
	ID string
	CV float64
}

// Pulse is a dated take of so many kg.
type Pulse struct{ T, Kg float64 }

// Storm is a dated loss leaving the fraction Left; NaN: not known.
type Storm struct{ T, Left float64 }

// Prior is what is held of a species before its surveys: lognormal with these medians and coefficients of variation.
type Prior struct {
	R, RCV float64 // per year
	K, KCV float64 // kg wet per m2 of occupied rock
}

// PlotEvidence is what one regrowth plot says of r.
type PlotEvidence struct {
	LogR, SE float64
	Years    float64 // length of the record
}

// Settings of the posterior.
type Settings struct {
	Seed          uint64
	Stream        string  // names the random stream, such as "posterior|species|bed"
	Chains        int     // default 4
	Draws         int     // kept draws, all chains together
	Brief         bool    // run no longer than convergence asks for
	Bare          bool    // of the beds keep the intervals, and no draws
	StormChance   float64 // per year
	StormSurvival float64 // fraction left by a storm of unknown strength
	SigmaProcess  float64 // half-normal scale of the process noise, per root year
	SigmaR        float64 // half-normal scale of the spread of log r between beds
	SigmaK        float64 // half-normal scale of the spread of log K between beds
	ReportedShare float64 // share of the cut that is reported, (0, 1]: its median
	ReportedCV    float64 // its coefficient of variation, one share for all beds and years; 0: it is exact
	Level         float64 // level of the intervals, (0, 1); default 0.95

	Spill *spill.File // where draws are kept; nil: in memory
}

// Interval is a posterior or prior summary: median and equal-tailed interval.
type Interval struct{ Median, Lo, Hi float64 }

// Posterior is the outcome for one bed and species. The draws are named "r" (per year), "K" (kg), "sigma" (per root
// year) and "B0", "B1", ... (kg, the true stock at each survey, just before anything that is cut on that day).
type Posterior struct {
	Draws  Draws
	Status string // "ok", "not converged", "not estimable"
	Reason string
	RHat   float64 // largest over r, K, sigma and the states
	ESS    float64 // smallest bulk or tail effective sample size over the same
	// PriorR and PriorK are the same summaries before the surveys spoke (after the plots), R and K after.
	PriorR, PriorK Interval
	R, K           Interval
	// LogRShrink is the posterior sd of log r over that of the species table and the spread between beds: near 1 where
	// neither plots nor surveys say anything.
	LogRShrink float64
	Warnings   []string
}
