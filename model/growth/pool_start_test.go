package growth

import (
	"math"
	"slices"
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

// What is forgotten is the beginning, of all chains, beds and what they have in common.
func TestForgetFirst(t *testing.T) {
	p := testRun(t)
	p.clear(30)
	p.walk(30)
	paths, walks := slices.Clone(p.paths), make([][][]float64, len(p.walks))
	for i := range p.walks {
		walks[i] = slices.Clone(p.walks[i])
	}
	p.forgetFirst(12)
	for i := range p.chains {
		require.Equal(t, paths[i][2*12*p.width():], p.paths[i])
		require.Len(t, p.paths[i], 2*18*p.width())
		for b := range p.beds {
			d := p.beds[b].g.dim()
			require.Equal(t, walks[i][b][2*12*d:], p.walks[i][b])
			require.Len(t, p.walks[i][b], 2*18*d)
		}
	}
}

// A run that has not converged is lengthened by a third, and each time again by a third in all.
func TestHowARunIsLengthened(t *testing.T) {
	for attempts, sweeps := range map[int]int{1: 30, 2: 40, 3: 54, 4: 72} {
		p := testRun(t)
		species, _ := p.run(Settings{Draws: 120, Chains: 4}, effort{warmUp: []int{5}, points: 240, attempts: attempts})
		require.False(t, species.ok())
		require.Len(t, p.paths[0], 2*sweeps*p.width())
	}
}
