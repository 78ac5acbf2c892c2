package growth

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// A calibration of all years lasts, is wide and heavy; that of one year is none of it; one of all years on few beds lasts
// there only.
func TestKindsOfSharedErrors(t *testing.T) {
	s, prior, season, plots, set := fiveSurveys()
	var beds []BedSeries
	for b := range 6 {
		one := s
		one.Surveys = nil
		for i, o := range s.Surveys {
			o.Shared = []Shared{{"all years", 0.15}, {fmt.Sprint("year ", i), 0.03}}
			if b < 2 {
				o.Shared = append(o.Shared, Shared{"shore", 0.02})
			}
			one.Surveys = append(one.Surveys, o)
		}
		beds = append(beds, BedSeries{fmt.Sprint("bed ", b), one})
	}
	set = set.withDefaults()
	h, _, _ := newHold(prior, plots, season, set)
	p := &poolRun{hold: h}
	out := Pool{Beds: make([]Posterior, len(beds))}
	require.Len(t, out.lay(p, beds, []int{0, 1, 2, 3, 4, 5}, season, set), 6)
	p.start(set)
	all, shore := -1, -1
	for j, users := range p.shared.users {
		switch {
		case len(users) == 2:
			shore = j
		case len(p.shared.places[j]) == 30:
			all = j
		}
	}
	require.Len(t, p.hold.errSD, 7)
	require.Equal(t, []int{all}, p.heavy)
	require.Equal(t, []int{0, 1, 2, 3, 4, thetas + all}, p.block)
	require.ElementsMatch(t, []portion{{all, 1}, {shore, 1}}, p.beds[1].lasting)
	require.Equal(t, []portion{{all, 1}}, p.beds[2].lasting)
}

// Moves of the errors and of the blocks leave every bed as a fresh look at it has it.
func TestErrorsLeaveTheBedsAsTheyAre(t *testing.T) {
	beds, plots := jagsCase(t, "six")
	set := jagsSet.withDefaults()
	h, _, _ := newHold(jagsPrior, plots, jagsSeason, set)
	p := &poolRun{hold: h}
	out := Pool{Beds: make([]Posterior, len(beds))}
	order := []int{0, 1, 2, 3, 4, 5}
	require.Len(t, out.lay(p, beds, order, jagsSeason, set), 6)
	p.start(set)
	p.clear(40)
	p.walk(40)
	p.refit()
	c := p.chains[0]
	require.NotEmpty(t, p.hold.errSD)
	for k := range 50 {
		c.sweep(k, func() {}, func(int) {})
		for b, ch := range c.beds {
			off := slices.Clone(ch.w.off)
			lp := ch.g.density(ch.x, ch.storms, ch.w)
			c.giveBed(b, &c.now)
			ch.w.mapR = math.NaN()
			approx(t, "density", lp, ch.g.density(ch.x, ch.storms, ch.w), 1e-9, 1e-9)
			for i, v := range off {
				approx(t, "error", v, ch.w.off[i], 0, 1e-12)
			}
			sameStorms(t, c, b)
		}
	}
}

// Frames laid anew leave every bed where it stands, with the errors, the noise and the storms that it has.
func TestRefitLeavesTheBedsAsTheyAre(t *testing.T) {
	beds, plots := jagsCase(t, "six")
	p := runOf(t, beds, jagsPrior, jagsSeason, plots, jagsSet)
	for range 10 {
		p.clear(20)
		p.walk(20)
		var before [][]bool
		for _, c := range p.chains {
			for _, ch := range c.beds {
				before = append(before, slices.Clone(ch.storms))
			}
		}
		p.refit()
		for _, c := range p.chains {
			for b, ch := range c.beds {
				require.Equal(t, before[0], ch.storms)
				before = before[1:]
				off, cut, w := slices.Clone(ch.w.off), ch.w.cut, ch.x[2]
				c.giveBed(b, &c.now)
				require.Equal(t, off, ch.w.off)
				require.Equal(t, []float64{cut, w}, []float64{ch.w.cut, ch.x[2]})
				sameStorms(t, c, b)
			}
		}
	}
}

// sameStorms asks whether a bed's numbers give the storms that it has.
func sameStorms(t *testing.T, c *poolChain, b int) {
	t.Helper()
	ch := c.beds[b]
	was := slices.Clone(ch.storms)
	ch.follow(&c.p.beds[b].frame, ch.x)
	require.Equal(t, was, ch.storms)
}
