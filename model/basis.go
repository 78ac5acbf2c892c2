package model

import (
	"fmt"
	"math"

	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// basis works out the year's advice that the n-th observation of a unit gives, the last of it before a day, with what was
// known of the species before that day: the stock brought to the opening of the first season after it, the limits. The
// reason tells why there is none.
//
// Where landings that may be from the unit free some time of the growth model, the basis with nothing of them is beside it, and
// the one that advises less comes first.
func (a *assessor) basis(u *Unit, n int, before survey.Day) (*Basis, string) {
	series, post := a.known(u, before)
	b, reason := a.basisOf(u, n, series, post)
	r := a.runBefore(u, before)
	if b == nil || r == nil || r.without == nil {
		return b, reason
	}
	series, post = r.without.of(u)
	other, _ := a.basisOf(u, n, series, post)
	if other != nil && other.Year.AdvisedKg < b.Year.AdvisedKg {
		b, other = other, b
		u.warn("the advice takes the landings without a bed or species as cut elsewhere, where the surveys tell more of how fast it grows and less may be cut")
	}
	b.Other = other
	return b, ""
}

// basisOf is the basis that a series and its posterior give.
func (a *assessor) basisOf(u *Unit, n int, series growth.Series, post growth.Posterior) (*Basis, string) {
	b := &Basis{Stock: u.Stocks[u.Times[n]], Series: series}
	if post.Status != "ok" {
		return nil, post.Status + ": " + post.Reason
	}
	if b.Stock.QuadratsWith == 0 {
		return nil, fmt.Sprintf("the last survey, %s, found none", b.Stock.Date)
	}
	b.Open = a.opening(u.Species, b.Stock.Date)
	b.Stand = a.stand(u, b, post, n)
	if reason := contradiction(b, a.confidence); reason != "" {
		return nil, reason
	}
	if reason := a.overCut(u, b.Series, post); reason != "" {
		return nil, reason
	}
	if reason := a.bring(u, b, post); reason != "" {
		return nil, reason
	}
	b.Year, b.Futures = offtake.AdviseFrom(b.Stand, a.out.Rules.OfftakeOf(u.Pair))
	b.Audit = offtake.Audit(b.Stand, a.out.Rules.Offtake)
	return b, ""
}

// opening is the first day of the first season of a species that begins after a survey, the day after the survey
// without seasons.
func (a *assessor) opening(species string, date survey.Day) survey.Day {
	open := survey.NoDay
	for _, s := range a.out.Rules.SeasonsOf(species) {
		if from, _ := after(s, date); open == survey.NoDay || from < open {
			open = from
		}
	}
	if open == survey.NoDay {
		return date + 1
	}
	return open
}

func (a *assessor) stand(u *Unit, b *Basis, post growth.Posterior, n int) offtake.Stand {
	d := post.Draws.Cols("r", "K", fmt.Sprintf("B%d", n), "sigma")
	s := offtake.Stand{R: d[0], K: d[1], B: d[2], Sigma: d[3],
		Exploitable: b.Stock.Exploitable, SurveyCV: b.Series.Surveys[n].CV, LogRShrink: post.LogRShrink, ESS: post.ESS,
		SurveyQ: surveyQuantile(b.Stock.Kg, b.scale(), a.out.Rules.Offtake.StockQuantile),
		Annual:  u.Row.Life == "annual", Seed: a.out.Seed, Stream: "offtake|" + u.Species}
	if math.IsNaN(s.SurveyCV) {
		s.SurveyCV = 0
	}
	if u.Row.MaxFraction.OK {
		s.MaxFraction = u.Row.MaxFraction.V
	}
	return s
}

// surveyQuantile is the quantile of a survey's own estimate, on the area that the bed has now (scale); 0 where the
// estimate has no standard error.
func surveyQuantile(kg survey.Estimate, scale, q float64) float64 {
	if v := kg.Quantile(q) * scale; v > 0 {
		return math.Max(v, tiny)
	}
	return 0
}

// gram in kg: less than that is no offtake.
const gram = 1e-3

// tiny is a stock in kg that is as good as none.
const tiny = 1e-9

// contradiction tells where the growth model holds a stock that the survey excludes: then the species table, not what
// was measured, would give the offtake.
func contradiction(b *Basis, level float64) string {
	kg := b.Stock.Kg
	if math.IsNaN(kg.Hi) || kg.Value <= 0 {
		return ""
	}
	if low := offtake.Quantile(b.Stand.B, (1-level)/2); low > kg.Hi*b.scale() {
		return fmt.Sprintf("survey and species table contradict each other: %s kg were found (%s to %s), growth and k_kg_m2 let one expect over %s kg; survey again, or mend k_kg_m2 or suitable_fraction",
			Kg(kg.Value), Kg(kg.Lo), Kg(kg.Hi), Kg(low))
	}
	return ""
}

// overCut tells where more was cut after a survey than that survey allows to have stood: then one of the two records is
// wrong, and what the growth model makes of both is no ground for an offtake.
func (a *assessor) overCut(u *Unit, s growth.Series, post growth.Posterior) string {
	for i, o := range s.Surveys {
		kg := u.Stocks[u.Times[i]].Kg
		if !s.CutsKnown || math.IsNaN(kg.Hi) || kg.Value <= 0 || i+1 == len(s.Surveys) {
			continue
		}
		scale := o.Kg / kg.Value
		cut := a.cutBetween(s, i)
		if cut > kg.Hi*scale && offtake.Quantile(post.Draws.Col(fmt.Sprintf("B%d", i)), (1-a.confidence)/2) > kg.Hi*scale {
			return fmt.Sprintf("more was cut after the survey of %s (%s kg) than it found (%s kg, %s to %s): mend harvest.csv or the survey",
				u.Stocks[u.Times[i]].Date, Kg(cut), Kg(kg.Value), Kg(kg.Lo), Kg(kg.Hi))
		}
	}
	return ""
}

// scale is the area that the bed has now over that of the survey.
func (b *Basis) scale() float64 {
	return b.Series.Surveys[len(b.Series.Surveys)-1].Kg / b.Stock.Kg.Value
}

// bring moves the surveyed stock to the opening of the first season after the survey: what was cut since outside the
// seasons, and all that may have been of landings without a bed or species, and what storms took is gone, and the season's
// ratio of the species holds where it has one, else the smaller of the surveyed and the projected stock.
func (a *assessor) bring(u *Unit, b *Basis, post growth.Posterior) string {
	cut, left := 0.0, 1.0
	for _, c := range u.Series.Cuts {
		if c.T >= b.Stock.Date.Years() && !a.inSeason(u.Species, c.T, b.Stock.Date) {
			cut += c.Kg / a.out.Rules.ReportedShare
		}
	}
	for _, c := range u.loosePulses {
		if c.T >= b.Stock.Date.Years() && !a.inSeason(u.Species, c.T, b.Stock.Date) {
			cut += c.Kg
			b.LooseKg += c.Kg
		}
	}
	b.TakenKg = cut
	for _, e := range u.Series.Events {
		if e.T < b.Stock.Date.Years() {
			continue
		}
		if math.IsNaN(e.Left) {
			return suspended(u, b.Stock.Date)
		}
		left *= e.Left
	}
	if q := b.Stand.SurveyQ; q > 0 {
		b.Stand.SurveyQ = math.Max(math.Max(q-cut, 0)*left*u.Row.SeasonRatio.Or(1), tiny)
	}
	grow := u.Season.Integral(b.Stock.Date.Years(), b.Open.Years())
	factor := a.out.cutFactors(post)
	for i, s := range b.Stand.B {
		s = math.Max(s-cut*a.out.Rules.ReportedShare*factor[i], 0) * left
		if u.Row.SeasonRatio.OK {
			b.Stand.B[i] = s * u.Row.SeasonRatio.V
		} else {
			b.Stand.B[i] = math.Min(s, project(s, b.Stand.R[i]*grow, b.Stand.K[i]))
		}
	}
	if days := b.Open - b.Stock.Date; !u.Row.SeasonRatio.OK && days > 60 {
		u.warn("%d days from the survey to the season, and no season_ratio for %s: the stock is taken as surveyed", days, u.Species)
	}
	return ""
}

// suspended names the first event after a survey of which nobody knows what it left.
func suspended(u *Unit, date survey.Day) string {
	kind, day := "storm", survey.NoDay
	for _, e := range u.Losses {
		if !e.Left.OK && e.Day >= date && (day == survey.NoDay || e.Day < day) {
			kind, day = e.Kind, e.Day
		}
	}
	if kind == "other" {
		kind = "event"
	}
	return fmt.Sprintf("the %s of %s came after the survey of %s and what it left is not known: survey again, or give fraction_left in events.csv",
		kind, day, date)
}

// inSeason tells whether a time lies in a season of a species that begins after a survey and so rests on it: what is cut then is part
// of that survey's advice. A season that ran already at the survey rests on an earlier one.
func (a *assessor) inSeason(species string, t float64, survey survey.Day) bool {
	for _, s := range a.out.Rules.SeasonsOf(species) {
		for from, to := after(s, survey); from.Years() <= t; from, to = after(s, from) {
			if t < (to + 1).Years() {
				return true
			}
		}
	}
	return false
}

// project is the stock after the growth integral rg.
func project(stock, rg, k float64) float64 {
	return 1 / growth.Grow(1/stock, rg, 1/k)
}
