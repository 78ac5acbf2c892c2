package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"bedstock/model"
	"bedstock/model/offtake"
	"bedstock/plots"
	"bedstock/survey"
)

// mostRows is the number of rows that the figure over all beds holds at most.
const mostRows = 60

// pressureInput gathers the last verdict of every stand that was cut, and why the other surveyed ones have none. Stands
// of which nothing was cut are left out.
func pressureInput(a *model.Assessment, opt Options) plots.PressureInput {
	in := plots.PressureInput{Rows: pressureRows(a), Level: a.Rules.Survey.Confidence, Invented: opt.Invented}
	if len(in.Rows) > mostRows {
		slices.SortStableFunc(in.Rows, func(x, y plots.PressureRow) int {
			if x.OK != y.OK {
				return ifElse(x.OK, -1, 1)
			}
			return cmp.Compare(y.Ratio, x.Ratio)
		})
		in.Rows = in.Rows[:mostRows]
	}
	return in
}

func pressureRows(a *model.Assessment) (rows []plots.PressureRow) {
	for i := range a.Units {
		u := &a.Units[i]
		row := plots.PressureRow{Label: bedName(u) + ", " + u.Species}
		switch {
		case notCut(u):
			continue
		case u.Last != nil:
			lastRow(&row, u.Last)
		case len(u.Times) == 1:
			row.Reason = "one survey only"
		case len(u.Times) > 1 && len(u.Pressure) > 0:
			row.Reason = plainReason(u.Pressure[len(u.Pressure)-1].Reason)
		default:
			continue
		}
		rows = append(rows, row)
	}
	return rows
}

func lastRow(row *plots.PressureRow, p *model.Pressure) {
	row.Period = fmt.Sprintf("%s to %s", p.From, p.To)
	row.Verdict = string(p.Verdict)
	row.Ratio, row.Lo, row.Hi = p.Ratio.Median, p.Ratio.Lo, p.Ratio.Hi
	if row.OK = !math.IsNaN(p.Ratio.Median); !row.OK {
		row.Reason = cmp.Or(p.Reason, ifElse(besides(p) && p.Verdict == offtake.CannotTell, p.Note, ""), "it may not have grown at all")
	}
}

// besides tells whether landings without a bed or species may have been cut in a time too, in the public edition as well.
func besides(p *model.Pressure) bool {
	return p.UnallocatedKg > 0 || strings.Contains(p.Note, "landings without a bed or species")
}

// besidesWords says that of the times shown.
func besidesWords(u *model.Unit) string {
	var years []string
	for i := range u.Pressure {
		if p := &u.Pressure[i]; p.Reason == "" && p.CutKg > 0 && besides(p) {
			years = append(years, yearsOf(p.From, p.To))
		}
	}
	if years == nil {
		return ""
	}
	return "In " + strings.Join(years, " and ") + " more may have been cut, of landings without a bed or species"
}

// notCut tells whether nothing was cut from a stand between its last two surveys: it has no pressure to show.
func notCut(u *model.Unit) bool { return u.Last != nil && u.Last.Verdict == offtake.NothingCut }

// curvePoints is the number of stocks at which the recovery curve is worked out.
const curvePoints = 81

// recoveryInput sets the cuts and the advice of a stand beside its recovery curve. A cut stands at what was left after
// it, since the curve tells what grows from what is left standing: under the curve, the stand came back whole.
func recoveryInput(a *model.Assessment, u *model.Unit, opt Options) plots.RecoveryInput {
	s := u.Basis.Stand
	in := plots.RecoveryInput{Bed: bedName(u), Species: u.Species, Level: a.Rules.Survey.Confidence, Invented: opt.Invented}
	k := offtake.Quantile(s.K, 0.5)
	in.Limit, in.Trigger = a.Rules.Offtake.LimitOfK*k, a.Rules.Offtake.TriggerOfK*k
	farthest := 1.05 * k
	for _, p := range u.Pressure {
		if p.Reason != "" || !(p.CutKg > 0) {
			continue
		}
		yearly := p.CutKg / (p.To.Years() - p.From.Years())
		cut := plots.CutPoint{Year: yearsOf(p.From, p.To), Stock: math.Max(p.StockStart-yearly, 0), Kg: yearly,
			Verdict: string(p.Verdict)}
		farthest = math.Max(farthest, 1.02*cut.Stock)
		in.Cuts = append(in.Cuts, cut)
	}
	in.CutsNote = besidesWords(u)
	stock, advised := offtake.Quantile(s.B, 0.5), u.Basis.Year.AdvisedKg
	switch {
	case u.Status != model.Assessed:
		in.Note = plainReason(u.Reason)
	case !math.IsNaN(advised):
		in.AdviceOK, in.AdviceKg, in.AdviceStock = true, advised, math.Max(stock-advised, 0)
		in.Note = "It stands at what the cut would leave"
		farthest = math.Max(farthest, 1.02*in.AdviceStock)
	}
	for i := range curvePoints {
		in.Stock = append(in.Stock, farthest*float64(i)/(curvePoints-1))
	}
	in.Median, in.Lo, in.Hi = offtake.RecoveryCurve(s.R, s.K, in.Stock, in.Level)
	return in
}

// historyInput is what a stand held and gave over the years and what is expected of it.
func (d drawing) historyInput(u *model.Unit) plots.HistoryInput {
	a, opt := d.a, d.opt
	in := plots.HistoryInput{Bed: bedName(u), Species: u.Species, CutsKnown: a.Folder.CutsKnown && !withheldStand(u), Limit: math.NaN(),
		Level: a.Rules.Survey.Confidence, Invented: opt.Invented, Cuts: d.yearBars(u)}
	if withheldStand(u) {
		in.Cuts, in.CutsWhy = nil, "withheld: "+fewWords
	}
	if loose := d.landings.MayBeOf(u.Bed, u.Species); len(loose) > 0 && in.CutsKnown {
		in.CutsNote = survey.LandingWords(loose) + " may be of it and are in no bar"
	}
	for _, s := range u.Stocks {
		p := plots.SurveyPoint{T: decimalYear(s.Date), OK: s.Kg.OK, Kg: s.Kg.Value, Lo: s.Kg.Lo, Hi: s.Kg.Hi, Note: s.Reason}
		if s.Status == survey.SurveyedPart {
			p.OK, p.Note = false, "a part of the bed only"
		}
		in.Surveys = append(in.Surveys, p)
	}
	if u.Growth.Status == "ok" {
		for i, t := range u.Times {
			b := u.Growth.Draws.Col(fmt.Sprintf("B%d", i))
			in.State = append(in.State, plots.FanPoint{T: decimalYear(u.Stocks[t].Date), Median: offtake.Quantile(b, 0.5),
				Lo: offtake.Quantile(b, (1-in.Level)/2), Hi: offtake.Quantile(b, (1+in.Level)/2)})
		}
	}
	if u.Basis == nil {
		return in
	}
	in.Limit = a.Rules.Offtake.LimitOfK * offtake.Quantile(u.Basis.Stand.K, 0.5)
	plans := []offtake.Plan{{}}
	if kg := u.Basis.Year.AdvisedKg; u.Status == model.Assessed && kg > 0 {
		plans = append(plans, offtake.Plan{Kg: kg, Fraction: math.Min(kg/u.Basis.Year.ExploitableQ, 1)})
	}
	for i, fan := range offtake.Fans(u.Basis.Stand, a.Rules.OfftakeOf(u.Pair), plans...) {
		points := fanPoints(u, fan)
		if i == 0 {
			in.NoCut = points
		} else {
			in.Advised = points
		}
	}
	return in
}

// fanPoints are the coming years of a stand on the axis of time, from the season's opening on.
func fanPoints(u *model.Unit, fan []offtake.FanYear) []plots.FanPoint {
	var out []plots.FanPoint
	for _, y := range fan {
		out = append(out, plots.FanPoint{T: decimalYear(u.Basis.Open) + float64(y.Year), Median: y.Median, Lo: y.Lo, Hi: y.Hi})
	}
	return out
}

// middleYear is the calendar year in which the middle of a return lies.
func middleYear(c survey.Cut) int { return (c.From + (c.To-c.From)/2).Year() }

// yearBars sums the returns of a stand by calendar year from the first survey or return to the day of the assessment. A return
// over several days counts in the year of its middle. A year for which the returns are not complete is not known.
func (d drawing) yearBars(u *model.Unit) []plots.YearBar {
	a := d.a
	if !a.Folder.CutsKnown {
		return nil
	}
	last := a.Folder.AsOf.Year()
	first := last
	for _, s := range u.Stocks {
		first = min(first, s.Date.Year())
	}
	sums := map[int]plots.YearBar{}
	for _, c := range d.cuts[u.Pair] {
		if c.From > a.Folder.AsOf {
			continue
		}
		year := middleYear(c)
		first = min(first, year)
		b := sums[year]
		if c.Cast {
			b.Cast += c.Kg
		} else {
			b.Cut += c.Kg
		}
		sums[year] = b
	}
	var out []plots.YearBar
	for y := first; y <= last; y++ {
		b := sums[y]
		b.Year = y
		if to := a.Rules.ReturnsCompleteTo; to != survey.NoDay && to < survey.MakeDay(y, time.January, 1) {
			b.Cut = math.NaN()
		}
		out = append(out, b)
	}
	return out
}

// decimalYear is a day on the axis of calendar years.
func decimalYear(d survey.Day) float64 {
	t := d.Time()
	begin := time.Date(t.Year(), 1, 1, 0, 0, 0, 0, time.UTC)
	return float64(t.Year()) + t.Sub(begin).Hours()/begin.AddDate(1, 0, 0).Sub(begin).Hours()
}

// yearsOf labels the time between two surveys, such as 2022-23.
func yearsOf(from, to survey.Day) string {
	if from.Year() == to.Year() {
		return fmt.Sprint(from.Year())
	}
	return fmt.Sprintf("%d–%02d", from.Year(), to.Year()%100)
}

// standing is the stock of a stand on which its advice rests, else the last of the whole bed, else the last known; nil:
// none.
func standing(u *model.Unit) *survey.Stock {
	if u.Basis != nil && u.Basis.Stock.Kg.OK {
		return &u.Basis.Stock
	}
	for i := len(u.Stocks) - 1; i >= 0; i-- {
		if u.Stocks[i].Kg.OK && u.Stocks[i].Status != survey.SurveyedPart {
			return &u.Stocks[i]
		}
	}
	return lastKnown(u)
}

// lastKnown is the last stock of a stand that could be estimated; nil: none.
func lastKnown(u *model.Unit) *survey.Stock {
	for i := len(u.Stocks) - 1; i >= 0; i-- {
		if u.Stocks[i].Kg.OK {
			return &u.Stocks[i]
		}
	}
	return nil
}

func ifElse[T any](yes bool, a, b T) T {
	if yes {
		return a
	}
	return b
}
