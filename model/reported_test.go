package model

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedstock/model/growth"
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
	assert.Greater(t, rough.Recovery.Hi-rough.Recovery.Lo, exact.Recovery.Hi-exact.Recovery.Lo)
}

// What the surveys say of the share is drawn with the rest, and the same for all beds of a species.
func TestReportedShareLearns(t *testing.T) {
	a := assessFolder(t, demoOf(t, "tarrowick", "marrowgate"), func(r *Rules) error {
		r.ReportedShare, r.ReportedCV = 0.8, 0.5
		return nil
	})
	p := a.Species[0].Pool
	assert.Equal(t, egg, a.Species[0].Species)
	assert.Equal(t, "ok", p.Status, p.Reason)
	before := 0.8 * (math.Exp(1.959964*math.Sqrt(math.Log(1.25))) - math.Exp(-1.959964*math.Sqrt(math.Log(1.25))))
	assert.Less(t, p.Share.Hi-p.Share.Lo, 0.95*before)
	for _, b := range p.Beds {
		assert.Equal(t, p.Draws.Col(growth.CutFactor), b.Draws.Col(growth.CutFactor))
	}
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
