package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The 64 large cities of the United States in 1920 and 1930, in two strata, of which 24 are drawn: Cochran, W. G.:
// Sampling Techniques, 3rd ed. Wiley (1977), section 5.5 (data from memory; the arithmetic was done again outside of Go).
func cities() Problem {
	return Problem{
		Layers: []Layer{{"large", 16, 16, 1}, {"small", 48, 48, 1}},
		Subjects: []Subject{{Species: "people", Total: 19568, Spreads: []Spread{
			{Between: 53843}, {Between: 5581}}}},
		Costs:  Costs{Quadrat: 1, Tide: 1000},
		Limits: Limits{Transects: 2, MostTransect: 64, MostQuadrats: 1},
	}
}

func TestCities(t *testing.T) {
	p := cities()
	s := p.Subjects[0]
	for _, c := range []struct {
		n []int
		v float64
	}{{[]int{6, 18}, 1882293}, {[]int{12, 12}, 1090827}} {
		assert.InDelta(t, c.v, s.Variance(p.Layers, Effort{1, 1, c.n}), 1000, "%v", c.n) // S² as rounded in the book
	}
	n := Neyman(24, []float64{16, 48}, []float64{232.04, 74.706}, nil)
	assert.InDeltaSlice(t, []float64{12.21, 11.79}, n, 0.01)

	e, ok := p.LeastCV(24)
	require.True(t, ok)
	assert.Equal(t, []int{12, 12}, e.Transects)
	e, ok = p.Least([]float64{s.SampleCV(p.Layers, Effort{1, 1, []int{12, 12}})})
	require.True(t, ok)
	assert.Equal(t, Effort{1, 1, []int{12, 12}}, e)
	e, ok = p.Least([]float64{0})
	require.True(t, ok)
	assert.Equal(t, Effort{1, 1, []int{16, 48}}, e, "a census has no sampling error")
}

// A large sample has no rounding to speak of: the search lands on the closed forms.
func TestClosedForms(t *testing.T) {
	between, within, rest := 4.0, 36.0, 9.0
	p := Problem{
		Layers:   []Layer{{Label: "", Area: 100}},
		Subjects: []Subject{{Species: "a", Total: 100, Spreads: []Spread{{Between: between, Within: within}}}},
		Costs:    Costs{Quadrat: 2, Transect: 18, Tide: 1000},
		Limits:   Limits{Transects: 2, MostTransect: 1e6, MostQuadrats: 40},
	}
	e, ok := p.Least([]float64{0.02})
	require.True(t, ok)
	assert.InDelta(t, PerTransect(between, within, 18, 2), float64(e.Quadrats), 0.5) // 9

	// Without transects: batches of 40 quadrats of which some are weighed.
	p.Subjects[0].Spreads[0] = Spread{Within: within, Rest: rest}
	p.Costs = Costs{Quadrat: 1, Weigh: 12, Tide: 1000}
	e, ok = p.Least([]float64{0.01})
	require.True(t, ok)
	share := ShareToWeigh(within, rest, 1, 12) // 1/6
	assert.InDelta(t, share, float64(e.Weigh)/float64(e.Quadrats), 0.02)
	assert.InDelta(t, 1.0/6, share, 1e-12)
}
