package growth

import "math"

// sight is one survey as the density uses it.
type sight struct {
	found   bool
	none    bool // looked, and found none
	y       float64
	tau, df float64
	width   float64 // sd of the log estimate, with what is folded in
	fold    fold    // of no table: a normal, as df is +Inf
	rate    float64 // units expected to hold the species per kg; 0: detection is not modelled
	logRate float64
	errs    []int // indices of shared errors
}

// density is the log likelihood of the survey at the stock exp(logB), without that of having found any; off is the sum of
// the errors that it shares with other beds.
func (o *sight) density(logB, off float64, errs []float64) float64 {
	if o.none {
		return -o.rate * math.Exp(logB)
	}
	if !o.found {
		return 0
	}
	e := o.residual(logB, errs) - off
	if o.fold.foldTable != nil {
		return o.fold.at(e)
	}
	e /= o.width
	return -0.5 * e * e
}

// residual is the log estimate less what it is expected to be.
func (o *sight) residual(logB float64, errs []float64) float64 {
	e := o.y - logB + 0.5*o.tau*o.tau
	for _, j := range o.errs {
		e -= errs[j]
	}
	return e
}
