package growth

// BedSeries is the series of one species on one bed, with the bed's name, from which its random stream is named.
type BedSeries struct {
	Bed string
	Series
}

// Pool is the posterior of one species over all its beds. The draws of the species are named "r" (per year), "k" (kg wet
// per m2 of occupied rock), "phi", "omega" (spreads of log r and log K between beds) and "sigma" (process noise per root
// year); a draw index belongs together with that of every bed whose run ended with the species'.
type Pool struct {
	Beds   []Posterior // as the beds were given
	Draws  Draws
	Status string // of the species' own quantities: "ok", "not converged", "not estimable"
	Reason string
	RHat   float64
	ESS    float64
	// What was held of the species before any survey (after the plots: R; table alone: TableR, TableK) and after.
	TableR, TableK Interval
	PriorR, PriorK Interval
	R, K           Interval
	Phi, Omega     Interval
	Sigma          Interval
	Share          Interval // of the cut that is reported, where Settings.ReportedCV leaves it open; else zero
	Warnings       []string
}
