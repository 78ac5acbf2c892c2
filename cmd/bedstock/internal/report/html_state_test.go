package report

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedstock/model"
	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// madeUp is an assessment with one stand for each state, in an order other than that of what needs action.
func madeUp() *model.Assessment {
	stand := func(b, k float64) *model.Basis {
		s := offtake.Stand{R: []float64{0.5, 0.5}, K: []float64{k, k}, B: []float64{b, b}, Sigma: []float64{0.1, 0.1}, Exploitable: 1}
		return &model.Basis{Stand: s, Year: offtake.Advice{AdvisedKg: 10, LowStock: 0.5, LimitedBy: offtake.ByLowStock}}
	}
	above := &model.Pressure{Verdict: offtake.AboveRecovery, CutKg: 100, Recovery: growth.Interval{Median: 50, Lo: 40, Hi: 60}}
	thick := &model.Pressure{Verdict: offtake.AboveRecovery, CutKg: 100, AboveBest: true, Recovery: growth.Interval{Median: 50, Lo: 40, Hi: 60}}
	unit := func(bed string, status model.Status, basis *model.Basis, last *model.Pressure) model.Unit {
		return model.Unit{Pair: model.Pair{Bed: bed, Species: "S"}, Status: status, Reason: "so it is", Basis: basis, Last: last,
			Stocks: []survey.Stock{{Bed: bed, Species: "S"}}}
	}
	a := &model.Assessment{Config: model.Config{Rules: model.DefaultRules()}, Folder: &survey.Folder{}}
	a.Units = []model.Unit{
		unit("open", model.Assessed, stand(80, 100), nil),
		unit("closed", model.Closed, stand(80, 100), above),
		unit("unknown", model.NotAssessed, nil, nil),
		unit("resting", model.Resting, stand(80, 100), nil),
		unit("low", model.Assessed, stand(30, 100), nil),
		unit("thick", model.Assessed, stand(80, 100), thick),
		unit("above", model.Assessed, stand(30, 100), above),
	}
	return a
}

func TestOrderOfWhatNeedsAction(t *testing.T) {
	a := madeUp()
	var got []string
	for _, i := range byAction(a) {
		got = append(got, a.Units[i].Bed)
	}
	assert.Equal(t, []string{"above", "thick", "low", "unknown", "closed", "resting", "open"}, got)
}

func TestStateOfAStandWithNothingToGive(t *testing.T) {
	a := madeUp()
	u := &a.Units[0]
	assert.Equal(t, stateOpen, stateOf(a, u))
	u.Basis.Year.AdvisedKg, u.Basis.Year.LimitedBy = 0, offtake.ByRisk
	assert.Equal(t, stateLow, stateOf(a, u))
	assert.Equal(t, "Nothing should be cut: even 0 kg does not keep the chance of being below 20 % of a full bed within 5 %. Survey again before any of it is cut.", summaryOf(a, u))
	u.Basis.Year.RiskKg = 10
	assert.Equal(t, "Nothing should be cut: the risk of falling too low forbids it. Survey again before any of it is cut.", summaryOf(a, u))
}

func TestReasonsOfTheMethodsArePutInPlainWords(t *testing.T) {
	for _, r := range []string{"R-hat 1.103 (at most 1.01), effective draws 26 (at least 400)", "not converged: R-hat 1.02", "not converged"} {
		assert.Equal(t, unsettled, plainReason(r))
	}
	assert.Equal(t, "nothing weighed", plainReason("nothing weighed"))
	assert.Equal(t, "no reason given", plainReason(""))
}

func TestWhatLowStockTakesOff(t *testing.T) {
	s := model.Season{LimitedBy: offtake.ByLowStock, Year: &offtake.Advice{LowStock: 0.75}}
	assert.Equal(t, "low stock: 25 % taken off", limiting(s))
	s.Year.LowStock = 0
	assert.Equal(t, "low stock: all taken off", limiting(s))
	assert.Equal(t, "too little known", limiting(model.Season{LimitedBy: offtake.ByNotAssessed}))
	assert.Equal(t, "no more than regrows", limiting(model.Season{LimitedBy: offtake.ByReplacement}))
}

func TestShownNumbers(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	assert.Equal(t, "1240 (1020 to 1500)", spanOf(1237, 1024, 1499).String())
	assert.Equal(t, "1237.2 (1231.0 to 1244.0)", spanOf(1237.2, 1231, 1244).String(), "digits follow the interval: half of 6.2 is 3.1")
	assert.Equal(t, "not known", spanOf(nan, 1, 2).String())
	assert.Equal(t, "1240", spanOf(1237, nan, nan).String())
	assert.Equal(t, "500 (hardly known, 0.013 to 20\u202f000\u202f000)", spanOf(503, 0.0131, 19.8e6).String(), "never 0 where it is not 0")
	assert.Equal(t, "not known", kilos(nan))
	assert.Equal(t, "undisclosed", kilos(inf), "in the public edition")
	assert.Equal(t, "0", kilos(0))
	assert.Equal(t, "12\u202f300", kilos(12345))
	assert.Equal(t, "5200", number(5200, 6))
	assert.Equal(t, "no upper end", number(inf, 2))
	for want, share := range map[string]float64{"0 %": 0, "under 0.1 %": 1e-5, "0.3 %": 0.003, "5 %": 0.05, "over 99 %": 0.9999, "100 %": 1, "not known": nan} {
		assert.Equal(t, want, percent(share))
	}
}

func TestListed(t *testing.T) {
	assert.Equal(t, "", listed(nil))
	assert.Equal(t, "a", listed([]string{"a"}))
	assert.Equal(t, "a, b and c", listed([]string{"a", "b", "c"}))
}

// The sum of independent standard errors is the root of the sum of squares: 3, 4 and 12 give 13. With a shared error it
// is not given.
func TestTotals(t *testing.T) {
	a := madeUp()
	units := make([]*model.Unit, 3)
	for i, se := range []float64{3, 4, 12} {
		u := &a.Units[i]
		u.Status = model.Assessed
		u.Stocks = []survey.Stock{{Kg: survey.Estimate{OK: true, Value: 100, SE: se}, Shared: []survey.SharedError{{ID: u.Bed, CV: 0.1}}}}
		u.Seasons = []model.Season{{Name: "spring", Status: model.Assessed, AdvisedKg: float64(10 * (i + 1))}}
		units[i] = u
	}
	sum := totalOf(a.Uses(), "shore", "S", units)
	assert.Equal(t, total{Shore: "shore", Species: "S", Beds: "3 of 3", Stock: "300", SE: "13", Seasons: []string{"60"}}, sum)
	units[2].Stocks[0].Shared[0].ID = units[0].Bed
	units[1].Seasons[0].AdvisedKg = math.NaN()
	units[1].Status = model.NotAssessed
	sum = totalOf(a.Uses(), "shore", "S", units)
	assert.Equal(t, "not given", sum.SE)
	assert.Equal(t, "2 of 3", sum.Beds)
	assert.Equal(t, []string{"40"}, sum.Seasons)
	units[0].Seasons[0].AdvisedKg, units[2].Seasons[0].AdvisedKg = math.NaN(), math.NaN()
	assert.Equal(t, []string{"no advice"}, totalOf(a.Uses(), "shore", "S", units).Seasons)
}

// Seasons of one name that are not the same days have columns and sums of their own, headed by their days.
func TestSeasonsOfOneNameAndOtherDays(t *testing.T) {
	a := madeUp()
	a.Units = a.Units[:2]
	for i := range a.Units {
		from, to := survey.MakeDay(2027, 3, 15+i), survey.MakeDay(2027, 6, 30)
		a.Units[i].Status = model.Assessed
		a.Units[i].Seasons = []model.Season{{Name: "spring", From: from, To: to, Status: model.Assessed, AdvisedKg: float64(10 * (i + 1))}}
	}
	heads := []string{"spring 2027 (2027-03-15 to 2027-06-30)", "spring 2027 (2027-03-16 to 2027-06-30)"}
	assert.Equal(t, heads, seasonHeads(a))
	second := firstRowOf(a, 1, a.Uses())
	assert.Equal(t, []string{"no season for it", ""}, []string{second.Seasons[0].Note, second.Seasons[1].Note})
	assert.Equal(t, heads, []string{second.Seasons[0].Head, second.Seasons[1].Head})
	assert.Equal(t, "20 kg", second.Seasons[1].Kg)
	assert.Equal(t, []string{"10", "20"}, totalOf(a.Uses(), "shore", "S", []*model.Unit{&a.Units[0], &a.Units[1]}).Seasons)
	assert.Contains(t, advice(a), "At most 10 kg in "+heads[0]+" and 20 kg in "+heads[1])
}

// An advice that the public edition withholds is no lack of knowledge, and sums say that it is missing from them.
func TestWithheldAdviceIsCalledSo(t *testing.T) {
	a := madeUp()
	a.Units = a.Units[:2]
	for i := range a.Units {
		a.Units[i].Status = model.Assessed
		a.Units[i].Seasons = []model.Season{{Name: "spring", From: survey.MakeDay(2027, 3, 15), To: survey.MakeDay(2027, 6, 30), Status: model.Assessed, AdvisedKg: 10}}
	}
	u := &a.Units[1]
	withholdAdvice(&u.Seasons[0])
	u.Status, u.Reason = model.NotAssessed, withheldAdvice
	assert.Equal(t, []badge{{"advice withheld", "–", "unknown"}}, badgesOf(a, u)[len(badgesOf(a, u))-1:])
	assert.Equal(t, "withheld", limiting(u.Seasons[0]))
	assert.Equal(t, "withheld", firstRowOf(a, 1, a.Uses()).Seasons[0].Note)
	use := a.Uses()[0]
	assert.Equal(t, "10 without 1 withheld", seasonTotal([]*model.Unit{&a.Units[0], u}, use))
	assert.Equal(t, "withheld", seasonTotal([]*model.Unit{u}, use))
	assert.Contains(t, advice(a), "; for 1 of 2 the advice is withheld and in no sum here")
	assert.Equal(t, "The advice is withheld, as it would tell what was cut before. Ask those who decide.", InWords(u, kilos))
	u.Seasons[0].CutKg = math.Inf(1)
	assert.Equal(t, "Stop: more is cut in spring 2027 than is advised. The advice is withheld, as it would tell what was cut before. Ask those who decide.", summaryOf(a, u))
	use.CutKg, use.Withheld = 5, 1
	assert.Equal(t, "10 kg is advised for spring 2027, without 1 stand whose advice is withheld; of all together, 5 kg is cut", use.Sentence(kilos, atMost))
}

// What is taken off a season for earlier cuts is what limits it.
func TestTakeOffInTheTable(t *testing.T) {
	assert.Equal(t, "700 kg cut too much before: taken off", limiting(model.Season{LimitedBy: offtake.ByCutBefore, OffKg: 700}))
}
