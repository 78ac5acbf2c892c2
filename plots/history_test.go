package plots

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var nan = math.NaN()

// historyInput is an invented bed with six surveys, one of them without an estimate, and two projections.
func historyInput() HistoryInput {
	in := HistoryInput{
		Bed: "Kittle Ledge", Species: "Saccharina latissima", Level: 0.95, Invented: true, CutsKnown: true, Limit: 1920,
		Surveys: []SurveyPoint{
			{2019.4, 7400, 5600, 9300, true, ""},
			{2020.4, 7100, 5500, 8800, true, ""},
			{2021.4, 6900, 4700, 9200, true, ""},
			{2022.4, nan, nan, nan, false, "not estimable: nothing weighed"},
			{2023.4, 4700, 3300, 6200, true, ""},
			{2024.4, 5600, 4300, 7000, true, ""},
		},
		Cuts: []YearBar{{2019, 800, 0}, {2020, 900, 350}, {2021, 1300, 0}, {2022, 2600, 120}, {2023, 0, 600}, {2024, nan, 0}},
	}
	for i := range 21 {
		y := float64(i) / 4
		a, n := 5600+150*y, 9000-3400*math.Exp(-y/2)
		in.Advised = append(in.Advised, FanPoint{2024.4 + y, a, a * (0.77 - 0.06*y), a * (1.25 + 0.05*y)})
		in.NoCut = append(in.NoCut, FanPoint{2024.4 + y, n, n * (0.77 - 0.02*y), n * (1.25 + 0.02*y)})
	}
	return in
}

func TestHistory(t *testing.T) {
	golden(t, "history", History(historyInput()))
}

func TestHistoryState(t *testing.T) {
	in := historyInput()
	for i := range 41 {
		y := float64(i) / 8
		m := 7300 - 450*y + 300*math.Sin(6*y)
		in.State = append(in.State, FanPoint{2019.4 + y, m, 0.8 * m, 1.2 * m})
	}
	in.Advised, in.NoCut, in.CutsKnown, in.Cuts = nil, nil, false, nil
	// A large bed: tonnes.
	for i := range in.Surveys {
		s := &in.Surveys[i]
		s.Kg, s.Lo, s.Hi = 100*s.Kg, 100*s.Lo, 100*s.Hi
	}
	for i := range in.State {
		s := &in.State[i]
		s.Median, s.Lo, s.Hi = 100*s.Median, 100*s.Lo, 100*s.Hi
	}
	in.Limit *= 100
	golden(t, "history_state", History(in))
}

func TestHistoryLong(t *testing.T) {
	in := historyInput()
	in.Surveys, in.Cuts, in.Limit = nil, nil, nan
	for i := range 25 {
		in.Surveys = append(in.Surveys, SurveyPoint{2000.3 + float64(i), 5000 + 300*float64(i%7), 4000, nan, i%6 != 2, "lost"})
		in.Cuts = append(in.Cuts, YearBar{2000 + i, 100 * float64(i%9), 0})
	}
	in.NoCut = in.Advised // two projections that end at the same height
	golden(t, "history_long", History(in))
}

func TestHistoryOneSurvey(t *testing.T) {
	in := historyInput()
	in.Surveys, in.Cuts, in.Advised, in.NoCut = in.Surveys[:1], nil, nil, nil
	golden(t, "history_one", History(in))
}

func TestHistoryEmpty(t *testing.T) {
	golden(t, "history_empty", History(HistoryInput{Bed: "Kittle Ledge", Limit: nan}))
}

func TestHistoryBadNumbers(t *testing.T) {
	in := historyInput()
	inf := math.Inf(1)
	in.Surveys[0].T, in.Surveys[1].Kg, in.Surveys[2].Lo, in.Surveys[4].Hi = nan, inf, -inf, inf
	in.Advised[3].Median, in.Advised[5].Lo, in.Advised[7].T, in.NoCut[2].Hi = nan, nan, inf, inf
	in.Cuts[0].Cut, in.Cuts[1].Cast, in.Cuts[2].Cut = -5, nan, inf
	in.Limit = inf
	f := History(in)
	svg, err := f.SVG()
	require.NoError(t, err)
	wellFormed(t, svg)
	assert.NotContains(t, f.Alt, "NaN")
	assert.NotContains(t, f.Alt, "Inf")
}

func TestHistoryMissingIsNeverZero(t *testing.T) {
	f := History(historyInput())
	assert.Contains(t, f.Alt, "May 2022: no estimate, not estimable: nothing weighed.")
	assert.Contains(t, f.Alt, "2024: cut not known.")
	assert.Contains(t, f.Alt, "2023: cut 0"+nbsp+"kg, cast weed 600"+nbsp+"kg.")
}
