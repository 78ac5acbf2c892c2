package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedstock/model"
	"bedstock/model/offtake"
)

// The coming years of every stand with an advice: no cut, the advice, a third; without the advice where it is closed.
func TestComingYears(t *testing.T) {
	a := demoOnce()
	open, closed, more := 0, 0, 0
	for i := range a.Units {
		u := &a.Units[i]
		var f *offtake.Futures
		if u.Basis != nil {
			f = offtake.NewFutures(u.Basis.Stand, a.Rules.OfftakeOf(u.Pair))
		}
		p := aheadOf(a, u, f)
		if p == nil {
			assert.True(t, u.Basis == nil || u.Status == model.NotAssessed || u.Basis.Stand.Annual || u.Basis.Year.ExploitableQ <= gram, u.Pair)
			continue
		}
		var plans []string
		for _, r := range p.Rows {
			plans = append(plans, r.Plan)
			assert.Len(t, r.Stocks, len(p.Years), u.Pair)
			assert.Equal(t, r.Plan == "As advised", r.Advised)
			assert.NotContains(t, r.Stocks[0].Value+r.Yearly+r.Risk, "NaN", u.Pair)
		}
		if u.Status == model.Assessed {
			open++
			assert.Equal(t, []string{"No cut", "As advised", "A third"}, plans, u.Pair)
			assert.Equal(t, kilos(u.FirstKg()), p.Rows[1].First, u.Pair)
			if u.FirstKg() > u.Basis.Year.AdvisedKg {
				more++
				continue
			}
			assert.Equal(t, model.RiskWords(u.Basis.Year.Risk), p.Rows[1].Risk, "the risk of the advice, as elsewhere: %v", u.Pair)
		} else {
			closed++
			assert.Equal(t, []string{"No cut", "A third"}, plans, u.Pair)
		}
		spared := p.Rows[0]
		assert.Equal(t, kilos(u.YearCutKg), spared.First, u.Pair)
		assert.Equal(t, u.YearCutKg == 0, spared.Yearly == kilos(0), u.Pair)
		assert.Equal(t, u.YearCutKg > 0, strings.Contains(p.Note, "No cut: none but the"), u.Pair)
	}
	assert.Positive(t, open)
	assert.Positive(t, closed)
	assert.Positive(t, more, "where more is cut than is advised for the year, the first year is that")
}

func TestMilestones(t *testing.T) {
	assert.Equal(t, []int{1, 5, 10}, milestones(10))
	assert.Equal(t, []int{1}, milestones(1))
	assert.Equal(t, []int{1, 2}, milestones(2))
	assert.Equal(t, []int{1, 2, 3}, milestones(3))
}
