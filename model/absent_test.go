package model

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedstock/model/growth"
	"bedstock/survey"
)

func TestAbsentNotes(t *testing.T) {
	a := &Assessment{Absent: []Pair{{"skerry", "dulse"}, {"flat", "dulse"}, {"flat", "carragheen"}},
		Stocks: []survey.Stock{{Bed: "skerry", Species: "dulse"}, {Bed: "skerry", Species: "dulse"}, {Bed: "flat", Species: "dulse"}, {Bed: "flat", Species: "carragheen"}}}
	assert.Equal(t, []string{
		"carragheen: sought and never found on flat (1 survey): nothing to cut, and nothing known of how it would grow there",
		"dulse: sought and never found on skerry (2 surveys), flat (1 survey): nothing to cut, and nothing known of how it would grow there",
	}, a.AbsentNotes())
	for i := range 10 {
		a.Absent = append(a.Absent, Pair{"skerry", fmt.Sprint("species ", i)})
	}
	assert.Equal(t, []string{"sought and never found: 12 species on one bed or more; there is no stock, regrowth or offtake of what was never found"}, a.AbsentNotes())
	assert.Empty(t, (&Assessment{}).AbsentNotes())
}

// A cut larger than what was surveyed before it is told where the growth model took the cut's side, not where both can be.
func TestOverCut(t *testing.T) {
	day := survey.MakeDay(2025, 7, 10)
	u := &Unit{Stocks: []survey.Stock{{Date: day, Kg: survey.Estimate{OK: true, Value: 100, Lo: 60, Hi: 140}}, {Date: day + 365}}, Times: []int{0, 1}}
	s := growth.Series{CutsKnown: true, Cuts: []growth.Pulse{{T: day.Years() + 0.1, Kg: 300}},
		Surveys: []growth.Observation{{T: day.Years(), Kg: 200}, {T: day.Years() + 1, Kg: 180}}}
	post := func(stock float64) growth.Posterior {
		p := growth.Posterior{Draws: growth.Draws{Chains: 1, N: 100, Names: []string{"B0", "B1"}}}
		for range 100 {
			p.Draws.X = append(p.Draws.X, stock, stock)
		}
		return p
	}
	a := &assessor{out: &Assessment{Config: Config{Rules: DefaultRules()}}, confidence: 0.95}
	assert.Equal(t, "more was cut after the survey of 2025-07-10 (300 kg) than it found (100 kg, 60 to 140): mend harvest.csv or the survey",
		a.overCut(u, s, post(310)), "the bed is twice as large now: 280 kg is the end of the interval")
	assert.Empty(t, a.overCut(u, s, post(270)))
	s.Cuts[0].Kg = 250
	assert.Empty(t, a.overCut(u, s, post(310)), "the survey allows the cut")
	s.Cuts[0].Kg, s.CutsKnown = 300, false
	assert.Empty(t, a.overCut(u, s, post(310)))
}
