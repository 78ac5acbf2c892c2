package model

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedstock/survey"
)

// A reported share that is not exact widens the recovery and says less, and leaves the median of the cut where it was.
func TestReportedShareWithError(t *testing.T) {
	at := func(cv float64) Pressure {
		a := assessFolder(t, demoOf(t, "tarrowick"), func(r *Rules) error {
			r.ReportedShare, r.ReportedCV = 0.8, cv
			return nil
		})
		return unit(t, a, "tarrowick", egg).Pressure[0]
	}
	exact, rough := at(0), at(0.3)
	assert.Equal(t, exact.CutKg, rough.CutKg)
	assert.Greater(t, rough.Recovery.Hi-rough.Recovery.Lo, 1.2*(exact.Recovery.Hi-exact.Recovery.Lo))
}

// The factors have the median and the spread that the rules say, whatever their number before.
func TestReportedFactors(t *testing.T) {
	a := &Assessment{Config: Config{Rules: DefaultRules(), Seed: 5}}
	a.Rules.ReportedShare, a.Rules.ReportedCV = 0.5, 0.2
	f := a.reportedFactors(20000)
	assert.InEpsilon(t, 2, survey.Quantile(f, 0.5), 0.01)
	// the 97.5 % quantile of a lognormal with the median 2 and the sd sqrt(log 1.04) of its log
	assert.InEpsilon(t, 2*math.Exp(1.959964*math.Sqrt(math.Log(1.04))), survey.Quantile(f, 0.975), 0.02)
	assert.Equal(t, f[:10], a.reportedFactors(10), "a draw's factor is the same wherever it is used")
	a.Rules.ReportedCV = 0
	assert.Equal(t, []float64{2, 2}, a.reportedFactors(2))
}
