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
		for _, x := range p.walks[i] {
			walks[i] = append(walks[i], slices.Clone(x))
		}
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
		var species verdict
		p.run(Settings{Draws: 120, Chains: 4}, effort{warmUp: []int{5}, points: 240, attempts: attempts}, ends{
			species: func(v verdict) { species = v },
			bed:     func(int, verdict, verdict) {},
		})
		require.False(t, species.ok())
		require.Len(t, p.paths[0], 2*sweeps*p.width())
	}
}

// Where the species has converged the beds that have end, each with its own points; the others run on, and nothing is noted any more of
// those that have ended. With the last look all end.
func TestBedsEndWhenTheyHaveConverged(t *testing.T) {
	beds, prior, season, plots, set := exactCase()
	p := runOf(t, beds, prior, season, plots, set)
	p.clear(60)
	p.walk(60)
	p.refit()
	p.clear(400)
	p.walk(400)
	d := p.beds[0].g.dim()
	for _, path := range p.walks { // the first bed stands still, which is far from convergence
		for k := d; k < len(path[0]); k++ {
			path[0][k] = path[0][k-d]
		}
	}
	var ended []int
	end := ends{bed: func(b int, species, own verdict) {
		require.Len(t, p.bedPaths(b)[0], 2*400*p.beds[b].g.dim())
		require.Equal(t, verdict{1, 1000}, species)
		ended = append(ended, b)
	}}
	good := verdict{1, 1000}
	require.False(t, p.look(&good, false, end))
	require.Equal(t, []int{1}, ended)
	require.Equal(t, []int{0}, p.running())
	before := slices.Clone(p.chains[0].beds[1].x)
	p.walk(5)
	require.Equal(t, 2, p.rest)
	require.Len(t, p.walks[0][0], 2*405*d)
	require.Empty(t, p.walks[0][1])
	require.NotEqual(t, before, p.chains[0].beds[1].x) // it moves on
	require.True(t, p.look(&good, true, ends{bed: func(b int, _, own verdict) {
		require.False(t, own.ok())
		ended = append(ended, b)
	}}))
	require.Equal(t, []int{1, 0}, ended)
}
