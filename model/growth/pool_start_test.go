package growth

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// However much more may have been cut than was reported, every chain starts where that was there to be cut.
func TestChainsStartAtPossiblePoints(t *testing.T) {
	s, prior, season, plots, set := fiveSurveys()
	for i := range s.Cuts {
		s.Cuts[i].Kg *= 2.5
	}
	set = set.withDefaults()
	set.ReportedCV = 1
	h, _, reason := newHold(prior, plots, season, set)
	require.Empty(t, reason)
	p := &poolRun{hold: h}
	out := Pool{Beds: make([]Posterior, 1)}
	require.Len(t, out.lay(p, []BedSeries{{"bed", s}}, []int{0}, season, set), 1)
	set.Chains = 40
	p.start(set)
	for _, c := range p.chains {
		ch := c.beds[0]
		require.False(t, math.IsInf(ch.g.density(ch.x, ch.storms, ch.w), -1))
	}
}
