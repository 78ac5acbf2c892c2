package report

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model"
	"bedstock/model/growth"
)

// The methods part holds the evidence of every stand that the growth model was asked about, each source by itself.
func TestGrowthPart(t *testing.T) {
	a := demoOnce()
	p := growthOf(a)
	assert.Equal(t, len(a.Units), len(p.Stands)+p.Unasked)
	require.Len(t, p.Species, len(a.Species))
	assert.Contains(t, p.Foretold, "that could be foretold from those before")
	for _, s := range p.Stands {
		for _, cell := range []string{s.TableR, s.PlotsR, s.SurveysR, s.R, s.TableK, s.SurveysK, s.K, s.Informed, s.RHat, s.ESS, s.Status} {
			assert.NotEmpty(t, cell, s)
			assert.NotContains(t, cell, "NaN", s)
		}
	}
	html, err := HTML(a, demoFigures(), invented)
	require.NoError(t, err)
	all := elements(t, html)
	assert.Contains(t, textOf(t, all, "growth-caption"), "surveys of the species’ beds alone")
	assert.Contains(t, textOf(t, all, "pool-caption"), "how far beds differ")
}

func TestOddSurveysInWords(t *testing.T) {
	u := model.Unit{Pair: model.Pair{Bed: "skerry", Species: "dulse"}}
	u.Stocks = append(u.Stocks, demoOnce().Units[0].Stocks[0], demoOnce().Units[0].Stocks[1])
	u.Times = []int{0, 1}
	c := model.GrowthCheck{}
	c.Predictive.Surveys = []growth.Foreseen{
		{Kg: 100, Status: "ok", Tail: 0.4},
		{Kg: 0, Status: "ok", Tail: 0.002, Unexpected: true, Expected: growth.Interval{Median: 200, Lo: 100, Hi: 400}},
	}
	odd := oddRows(&u, c)
	require.Len(t, odd, 1)
	assert.Equal(t, "none", odd[0].Found)
	assert.Equal(t, "200 (100 to 400) kg", odd[0].Expected)
	assert.Equal(t, u.Stocks[1].Date.String(), odd[0].Date)
	assert.Equal(t, "0.2 %", odd[0].Tail)
	nan := growth.Interval{Median: math.NaN(), Lo: math.NaN(), Hi: math.NaN()}
	assert.Equal(t, "nothing; n 4", said(nan, model.EvidenceRow{N: 4}))
	assert.Equal(t, "none", said(nan, model.EvidenceRow{}))
	assert.Equal(t, none, known(growth.Interval{}))
}
