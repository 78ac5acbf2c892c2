package growth

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Three surveys of 1000, 400 and 800 kg at the times 1, 2 and 3: up to 4 kg between two of them are passed over.
func TestToldWithUnplacedLandings(t *testing.T) {
	s := Series{CutsKnown: true, Surveys: []Observation{{T: 1, Kg: 1000}, {T: 2, Kg: 400}, {T: 3, Kg: 800}}}
	at := func(from, to, kg float64) Series {
		s := s
		s.Unplaced = []Unplaced{{From: from, To: to, Kg: kg}}
		return s
	}
	assert.True(t, s.Told(1) && s.Told(2))
	assert.True(t, at(1.5, 1.6, 4).Told(1))
	assert.False(t, at(1.5, 1.6, 4.01).Told(1))
	assert.True(t, at(1.5, 1.6, 4.01).Told(2), "of another time")
	two := at(1.5, 1.6, 3)
	two.Unplaced = append(two.Unplaced, Unplaced{1.7, 1.8, 3})
	assert.False(t, two.Told(1), "they add up")
	across := at(1.9, 2.1, 50)
	assert.False(t, across.Told(1) || across.Told(2), "days in both times")
	assert.Equal(t, []float64{50, 50}, []float64{across.UnplacedKg(1), across.UnplacedKg(2)})
	assert.True(t, at(2, 2.1, 50).Told(1), "on the day of the survey and later")
	assert.False(t, at(2, 2.1, 50).Told(2))
	assert.True(t, at(0.5, 1, 50).Told(1), "before the first")

	none := Series{CutsKnown: true, Surveys: []Observation{{T: 1}, {T: 2}}, Unplaced: []Unplaced{{1.5, 1.6, 0.1}}}
	assert.False(t, none.Told(1), "no stock was found")
	gone := Series{CutsKnown: true, Surveys: []Observation{{T: 1, Kg: 100}, {T: 2}}, Unplaced: []Unplaced{{1.5, 1.6, 1}}}
	assert.True(t, gone.Told(1), "1 % of the stock that was found")
	late := s
	late.CutsTo = 2
	assert.True(t, late.Told(1))
	assert.False(t, late.Told(2))
}

// A time with too many landings that may be from here says as much of growth as one without returns: nothing. Where they are
// negligible nothing changes, to the last digit.
func TestUnplacedLandingsFreeTheTime(t *testing.T) {
	s, prior, season, plots, set := fiveSurveys()
	set.Draws = 400
	plain := Sample(s, prior, season, plots, set)
	last := len(s.Surveys) - 1
	t1, t2 := s.Surveys[last-1].T, s.Surveys[last].T
	least := math.Min(s.Surveys[last-1].Kg, s.Surveys[last].Kg)
	s.Unplaced = []Unplaced{{t1 + 0.1, t1 + 0.2, 0.009 * least}}
	assert.Equal(t, plain.Draws, Sample(s, prior, season, plots, set).Draws)
	s.Unplaced = []Unplaced{{t1 + 0.1, t1 + 0.2, 0.011 * least}}
	freed := Sample(s, prior, season, plots, set)
	s.Unplaced, s.CutsTo = nil, (t1+t2)/2
	assert.Equal(t, Sample(s, prior, season, plots, set).Draws, freed.Draws)
	require.NotEqual(t, plain.Draws, freed.Draws)
}
