package report

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// season is an assessed autumn that runs on the day of the made-up assessment, with nothing granted and nothing cut.
func season(advised float64) model.Season {
	return model.Season{Name: "autumn", From: survey.MakeDay(2026, 8, 15), To: survey.MakeDay(2026, 10, 15), AdvisedKg: advised,
		GrantedKg: math.NaN(), Status: model.Assessed, LimitedBy: offtake.ByCap, Survey: survey.MakeDay(2026, 8, 1)}
}

// used is the made-up assessment on a day of autumn, the stand that may be cut with a season.
func used(s model.Season) (*model.Assessment, *model.Unit) {
	a := madeUp()
	a.Folder.AsOf = survey.MakeDay(2026, 9, 20)
	a.Units[0].Seasons = []model.Season{s}
	a.Units[0].Row = &survey.Species{MinLength: survey.Some(30), Leave: survey.Some(15)}
	return a, &a.Units[0]
}

func TestCutBeyondTheAdvice(t *testing.T) {
	s := season(828)
	s.CutKg, s.GrantedKg = 1410, 1600
	a, u := used(s)
	assert.Equal(t, []state{stateOver}, statesOf(a, u))
	granted := *u
	granted.Seasons = []model.Season{season(0)}
	granted.Seasons[0].GrantedKg = granted.Seasons[0].AdvisedKg + 1
	assert.Equal(t, stateGranted, stateOf(a, &granted))
	var order []string
	for _, i := range byAction(a) {
		order = append(order, a.Units[i].Bed)
	}
	assert.Equal(t, []string{"above", "thick", "open", "low", "unknown", "closed", "resting"}, order, "after what is cut above recovery")
	assert.Equal(t, []string{"granted 1600", "cut 1410", "may still cut 0"}, seasonCellOf(a, s).Use)
	assert.Contains(t, summaryOf(a, u), "Stop: 1410 kg is cut in autumn 2026, 828 kg is advised.")
	assert.NotContains(t, summaryOf(a, u), "At most", "nothing is left of the only season")
	assert.Contains(t, unitPartOf(a, 0, nil).Sentence, "No more in the autumn season (1410 kg is cut, 828 kg is advised).")
	assert.Equal(t, 1, strings.Count(unitPartOf(a, 0, nil).Sentence, "1410 kg"), "what is cut is told once")
	row := newByBed(a, nil).noticeRowOf(u, s)
	assert.Equal(t, "advised 828 kg; 1410 kg is already cut: stop", row.Kg)
	assert.Equal(t, "1600 kg, above the advice", row.Granted)
	assert.Empty(t, row.How, "how to cut is said where something may be cut")
	assert.Equal(t, []string{"Of the 828 kg advised for autumn 2026, 1410 kg is cut; 1 stand is over its advice; 1 of 1 grant is above it."}, uses(a, Options{}))
}

func TestWordsOfANotice(t *testing.T) {
	s := season(828)
	a, u := used(s)
	row := newByBed(a, nil).noticeRowOf(u, s)
	assert.Equal(t, "828", row.Kg)
	assert.Equal(t, "only what is 30 cm or longer; leave 15 cm standing", row.How)
	assert.Equal(t, "no decision recorded", row.Granted)
	s.CutKg = 410
	assert.Equal(t, "828; 410 is already cut, 418 may still be cut", allowed(s))
	s.GrantedKg = 500
	assert.Equal(t, "500, as granted (828 advised); 410 is already cut, 90 may still be cut", allowed(s))
	s.GrantedKg = 900
	assert.Equal(t, "828; 410 is already cut, 418 may still be cut", allowed(s), "never more than is advised")
	s.GrantedKg, s.UnallocatedKg = math.NaN(), 18
	assert.Equal(t, "828; 410 is already cut and perhaps 18 besides: 418 may still be cut, or as little as 400", allowed(s))
	s.UnallocatedKg = 500
	assert.Equal(t, "828; 410 is already cut and perhaps 500 besides: 418 may still be cut, or as little as 0", allowed(s))
	s.UnallocatedKg = 0
	s.AdvisedKg = 0
	assert.Equal(t, "nothing; 410 kg was cut all the same: stop", allowed(s))
	assert.Empty(t, newByBed(a, nil).noticeRowOf(u, s).How)
	s.CutKg = 0
	assert.Equal(t, "nothing", allowed(s))
	s.Status, s.Reason = model.Closed, "outfall"
	assert.Equal(t, "nothing: closed, outfall", allowed(s))
	s.CutKg = 50
	assert.Equal(t, "nothing: closed, outfall; 50 kg was cut before", allowed(s))
	s.ShutKg = 20
	assert.Equal(t, "nothing: closed, outfall; 20 kg was cut all the same", allowed(s))
}

func TestClosedForAPartOfASeason(t *testing.T) {
	day := survey.MakeDay
	s := season(100)
	s.Closures = []survey.Closure{{From: day(2026, 9, 1), To: day(2026, 9, 30), Reason: "nesting"}, {From: day(2026, 10, 10), To: survey.NoDay}}
	a, u := used(s)
	row := newByBed(a, nil).noticeRowOf(u, s)
	assert.Equal(t, []string{"not from 2026-09-01 to 2026-09-30: nesting", "not from 2026-10-10 until further notice: no reason given"}, row.Not)
	assert.Equal(t, "closed today", row.Today)
	assert.Equal(t, "closed today", seasonCellOf(a, s).Note)
	a.Folder.AsOf = day(2026, 10, 5)
	assert.Empty(t, newByBed(a, nil).noticeRowOf(u, s).Today)
}

func TestOfWhatANoticeAdvisesNothing(t *testing.T) {
	assert.Equal(t, "This bed has not been surveyed: no amount is advised.", noneWords(0, 0, 0, false))
	assert.Equal(t, "No species of which an amount could be advised was found here.", noneWords(0, 0, 0, true))
	assert.Equal(t, "Too little is known of what grows here: no amount is advised.", noneWords(0, 3, 0, true))
	assert.Equal(t, "1 other species that grew here before was not found in the last survey: no amount is advised.", noneWords(2, 0, 1, true))
	assert.Equal(t, "2 other species were found here of which too little is known: no amount is advised. "+
		"1 other species that grew here before was not found in the last survey: no amount is advised.", noneWords(1, 2, 1, true))
	assert.Equal(t, "", noneWords(2, 0, 0, true))
	a := demoOnce()
	for i := range a.Units {
		if u := &a.Units[i]; u.Bed == "quernside" && u.Species == "Himanthalia elongata" {
			assert.True(t, notFound(u))
		}
	}
	assert.True(t, surveyed(a)["quernside"])
	assert.False(t, surveyed(a)["nowhere"])
}

func TestMissingLengths(t *testing.T) {
	assert.Equal(t, "", lengthsWanted(&survey.Species{MinLength: survey.Some(1), Leave: survey.Some(1)}))
	assert.Equal(t, "No cutting height is set: set leave_cm in species.csv.", lengthsWanted(&survey.Species{MinLength: survey.Some(1)}))
	assert.Equal(t, "No shortest length or cutting height is set: set min_length_cm and leave_cm in species.csv.", lengthsWanted(nil))
	assert.Equal(t, "leave 15 cm standing; no shortest length is set", howToCut(&survey.Species{Leave: survey.Some(15)}))
}

// A stand whose last survey reached a part of the bed is shown by the stock that its advice rests on, also in the sums.
func TestStockOfTheWholeBed(t *testing.T) {
	day := survey.MakeDay
	kg := func(v float64) survey.Estimate {
		return survey.Estimate{OK: true, Value: v, SE: 5, Lo: v - 10, Hi: v + 10}
	}
	whole := survey.Stock{Survey: "2025", Date: day(2025, 7, 28), Kg: kg(361), Status: survey.OK}
	part := survey.Stock{Survey: "2026", Date: day(2026, 8, 1), Kg: kg(24), Status: survey.SurveyedPart, Reason: "not visited: stratum lower"}
	a, u := used(season(100))
	u.Stocks = []survey.Stock{whole, part}
	u.Basis.Stock = whole
	stock, surveyed, note := stockNow(u)
	assert.Equal(t, "361.0 kg", stock.Value)
	assert.Equal(t, "2025-07-28", surveyed)
	assert.Equal(t, "whole bed; survey 2026 not visited: stratum lower", note)
	assert.Contains(t, summaryOf(a, u), "the stock is that of 2025-07-28, as the last survey did not reach the whole bed")
	assert.Equal(t, "361.0", totalOf(a.Uses(), "shore", "S", []*model.Unit{u}).Stock)
	u.Basis, u.Stocks = nil, []survey.Stock{part}
	assert.Equal(t, "24.0, part only", totalOf(a.Uses(), "shore", "S", []*model.Unit{u}).Stock)
}

func TestBothStatesOfAStandAreShown(t *testing.T) {
	a := madeUp()
	above, closed := &a.Units[6], &a.Units[1]
	assert.Equal(t, []state{stateAbove, stateLow}, statesOf(a, above))
	assert.Equal(t, []state{stateClosed, stateAbove}, statesOf(a, closed), "closing it does not undo what was cut")
	assert.Contains(t, summaryOf(a, closed), "more was cut (100 kg) than grew back")
	for _, c := range counts(a) {
		if c.badge == stateAbove.badge() {
			assert.Equal(t, 3, c.N, "the closed one counts")
		}
	}
}

// r = 0.5 from 10 of 100 without storms and noise: 10 e^0.5y/(90 + 10 e^0.5y) of 1 is above 0.4 after y = 2 ln(0.4 90/(0.6 10))
// = 3.58 years, so at the end of the fourth.
func TestOutlookOfALowStand(t *testing.T) {
	a := madeUp()
	u := &a.Units[4]
	a.Rules.Offtake.StormChance = 0
	u.Basis.Stand = offtake.Stand{R: []float64{0.5, 0.5}, K: []float64{100, 100}, B: []float64{10, 10}, Sigma: []float64{0, 0}, Exploitable: 1}
	u.Basis.Open = survey.MakeDay(2026, 8, 15)
	assert.Equal(t, "Now 10 kg, probably below the limit of 20 kg. If nothing is cut it is expected above the trigger of 40 kg about 2030.", outlook(a, u, futuresOf(a, u)))
	u.Basis.Stand.R = []float64{0.05, 0.05}
	assert.Equal(t, "Now 10 kg, probably below the limit of 20 kg. If nothing is cut it is not expected above the trigger of 40 kg within 10 years.", outlook(a, u, futuresOf(a, u)))
	u.Basis.Stand.B = []float64{80, 80}
	assert.Equal(t, "", outlook(a, u, futuresOf(a, u)))
}

func TestSumsOfOfftakeAreRoundedDown(t *testing.T) {
	a, u := used(season(1238))
	v := *u
	v.Seasons = []model.Season{season(9449)}
	assert.Equal(t, "10\u202f600", seasonTotal([]*model.Unit{u, &v}, a.Uses()[0]), "10 687 kg")
	a.Units = []model.Unit{*u, v}
	assert.Contains(t, advice(a), "At most 10\u202f600 kg in autumn 2026")
}

func TestPartsOfTheYear(t *testing.T) {
	s := season(30)
	a, u := used(s)
	u.Basis.Year.AdvisedKg = 100
	u.Basis.Stock.Date = s.Survey
	assert.Equal(t, []string{"autumn 2026: 30 kg"}, seasonParts(a, u))
	u.Seasons[0].AdvisedKg = 20
	assert.Equal(t, []string{"autumn 2026: 20 kg (less than its 30 %: less is expected to stand then)"}, seasonParts(a, u))
	year := u.Basis.Year
	u.Seasons[0].Year, u.Seasons[0].CapKg = &year, 120
	assert.Equal(t, []string{"autumn 2026: 20 kg (less than its 30 %: rounded down)"}, seasonParts(a, u))
	u.Seasons[0].OffKg = 10
	assert.Equal(t, []string{"autumn 2026: 20 kg (less than its 30 %: 10 kg was cut beyond the advice before it)"}, seasonParts(a, u))
}

func TestRulesOtherThanTheDefaultsAreNamed(t *testing.T) {
	a := madeUp()
	r, problems := model.ParseRules(model.RulesText{Name: "rules.toml", Text: []byte("\n\nrisk = 0.5\n")})
	require.Empty(t, problems)
	a.Rules = r
	a.Folder.Beds = []survey.Bed{{ID: "open", Periods: []survey.BedPeriod{{}}}}
	html, err := HTML(a, nil, Options{})
	require.NoError(t, err)
	all := elements(t, html)
	n := 0
	for _, e := range named(all, "p") {
		if squeeze(e.text) == "Rules other than the defaults: risk 0.5 (rules.toml:3)." {
			n++
		}
	}
	assert.Equal(t, 2, n, "on the first screen and on the notice")
}

func TestVerdictHasNoMoreDigitsThanItsInterval(t *testing.T) {
	u := &model.Unit{Last: &model.Pressure{Verdict: offtake.NothingCut}}
	u.Last.Recovery.Median, u.Last.Recovery.Lo, u.Last.Recovery.Hi = 1163, -4652, 9604
	assert.Contains(t, verdictSentence(u), "the stock changed by 1200 kg (-4700 to 9600)")
	u.Last.Verdict, u.Last.CutKg = offtake.CannotTell, 1234
	assert.Contains(t, verdictSentence(u), "1230 kg was cut and 1200 kg (-4700 to 9600) grew back")
}

func TestRiskIsThatOfTheAdvice(t *testing.T) {
	s := season(100)
	s.Year = &offtake.Advice{Risk: 0.031}
	later := s
	later.Year = &offtake.Advice{Risk: 0.042}
	u := &model.Unit{Seasons: []model.Season{s, later}}
	assert.Equal(t, "4.2 %", riskOf(u))
	u.Seasons[1].Status = model.Closed
	assert.Equal(t, "3.1 %", riskOf(u), "that of a take that is not allowed is not shown")
	u.Seasons[0].Year.Risk = math.NaN()
	assert.Equal(t, "", riskOf(u), "an annual has none")
}

// Where more is cut than is advised, the risk of the advice is not that of the stand: what comes of the cut stands beside it, as
// in the coming years.
func TestRiskAsCut(t *testing.T) {
	a := demoOnce()
	told := 0
	for i := range a.Units {
		u := &a.Units[i]
		shown := firstRowOf(a, i, a.Uses())
		assert.Equal(t, riskOf(u), shown.Risk)
		words := RiskAsCut(a, u)
		assert.Equal(t, words, shown.RiskAsCut)
		if words == "" {
			continue
		}
		told++
		assert.True(t, slices.ContainsFunc(u.Seasons, model.Season.Over))
		for _, row := range aheadOf(a, u, futuresOf(a, u)).Rows {
			if row.Advised {
				assert.Equal(t, row.Risk+" with what is cut", words)
			}
		}
	}
	assert.Positive(t, told)
}

func TestCaveats(t *testing.T) {
	a, u := used(season(100))
	day := survey.MakeDay
	u.Basis.Stock = survey.Stock{Date: day(2026, 8, 1), Warnings: []string{"interval too narrow: only 4 transects hold the species"}}
	u.Stocks = []survey.Stock{u.Basis.Stock}
	assert.Equal(t, "Mind: only 4 transects hold the species.", caveat(u))
	u.Basis.Year.Weakness, u.Basis.Year.LimitedBy = 1, offtake.ByRisk
	assert.Equal(t, "Mind: little is known of how fast it regrows here; only 4 transects hold the species.", caveat(u), "the share is not what binds")
	u.Basis.Year.LimitedBy = offtake.ByCap
	u.Losses = []survey.Event{{Bed: "*", Day: day(2026, 9, 1), Kind: "storm", Left: survey.Some(0.5)}}
	assert.Equal(t, "Mind: the storm of 2026-09-01 left 50 % of what was surveyed; little is known of how fast it regrows here, so a smaller share is advised.", caveat(u))
	u.Seasons[0].Survey = day(2025, 8, 1)
	assert.Contains(t, caveat(u), "the survey of 2025-08-01 is over a year older than the season")
	u.Status, u.Reason = model.NotAssessed, "the storm of 2026-09-01 came after the survey of 2026-08-01 and what it left is not known"
	assert.Contains(t, summaryOf(a, u), "Not assessed: the storm of 2026-09-01")
}
