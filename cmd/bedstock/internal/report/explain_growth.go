package report

import (
	"cmp"
	"fmt"
	"math"

	"bedstock/model"
	"bedstock/model/growth"
	"bedstock/model/offtake"
)

// GrowthStepsOf are the numbers from which r, K and the stocks of a stand came about, in the order in which they come in;
// nil with the reason where the growth model was not asked or has no answer.
func GrowthStepsOf(a *model.Assessment, u *model.Unit) ([]Step, string) {
	g := u.Growth
	if g.Status != "ok" {
		return nil, cmp.Or(g.Reason, g.Status)
	}
	x := &stepper{}
	x.table(a, u)
	x.plots(a, u)
	x.held(a, u)
	for t := range u.Series.Surveys {
		x.found(u, t)
		if t+1 < len(u.Series.Surveys) {
			x.between(a, u, t)
		}
	}
	x.told(a, u)
	return x.steps, ""
}

// table is what the species table says, with the spread between beds.
func (x *stepper) table(a *model.Assessment, u *model.Unit) {
	x.step = "species table"
	p := u.Prior
	x.add("r", p.R, "per year", "r_per_year: median")
	x.add("sd of log r", logSD(p.RCV), "log", "sqrt(log(1 + %v^2)), r_cv = %v", p.RCV, p.RCV)
	x.add("spread of log r", a.Rules.SigmaR, "log", "r_spread: scale of the half-normal spread between beds")
	x.add("K", p.K, "kg/m2", "k_kg_m2: median, per m2 of rock where the species can grow")
	x.add("sd of log K", logSD(p.KCV), "log", "sqrt(log(1 + %v^2)), k_cv = %v", p.KCV, p.KCV)
	x.add("spread of log K", a.Rules.SigmaK, "log", "k_spread: scale of the half-normal spread between beds")
	x.add("noise", a.Rules.SigmaProcess, "per root year", "process_sd: scale of the half-normal year-to-year noise of log stock")
}

func logSD(cv float64) float64 { return math.Sqrt(math.Log1p(cv * cv)) }

// plots are the regrowth plots that count for the unit.
func (x *stepper) plots(a *model.Assessment, u *model.Unit) {
	x.step = "regrowth plots"
	for _, p := range a.PlotsOf(u) {
		e, _ := p.Evidence()
		x.add(p.Plot, math.Exp(e.LogR), "per year", "logistic fit over %v years, sd of log r %v; plots as a whole may be off by 0.5 on the log", e.Years, e.SE)
	}
}

// held is what is held of the stand before its surveys.
func (x *stepper) held(a *model.Assessment, u *model.Unit) {
	x.step = "before surveys"
	g, level := u.Growth, 100*a.Rules.Survey.Confidence
	from := "species table"
	if a.PlotsUsed(u) > 0 {
		from = "species table and regrowth plots"
	}
	x.add("r", g.PriorR.Median, "per year", "%s with the spread between beds; %v %% interval %v to %v", from, level, g.PriorR.Lo, g.PriorR.Hi)
	x.add("area", u.Series.Area, "m2", "of the bed")
	how := "suitable_fraction of beds.csv"
	if !u.Occ.Given {
		how = fmt.Sprintf("(0.5 + %s)/(1 + %s): quadrats that held it and all, over the design effect, all surveys", shownStep(u.Occ.With), shownStep(u.Occ.N))
	}
	x.add("where it can grow", u.Series.Occ, "share", "%s", how)
	x.add("K by the table", u.Prior.K*u.Series.Area*u.Series.Occ, "kg", "%v x %v x %v", u.Prior.K, u.Series.Area, u.Series.Occ)
	x.add("K", g.PriorK.Median, "kg", "with the spread between beds; %v %% interval %v to %v", level, g.PriorK.Lo, g.PriorK.Hi)
}

// found is the t-th survey and what the model makes of it.
func (x *stepper) found(u *model.Unit, t int) {
	o, day := u.Series.Surveys[t], u.SurveyedOn(t)
	x.step = "survey " + day.String()
	x.add("found", o.Kg, "kg", "estimate on %v m2, %v sampling units, %v degrees of freedom", u.Series.Area, o.PSU, o.DF)
	if o.Kg > 0 {
		x.add("cv", o.CV, "ratio", "of sampling: that of the species' surveys, sqrt(mean of cv^2 n / n), n = %v sampling units", o.PSU)
		for _, e := range o.Shared {
			x.add("shared error", e.CV, "ratio", "cv of the error it shares with other surveys: %s", e.ID)
		}
	}
	b := u.Growth.Draws.Col(fmt.Sprintf("B%d", t))
	x.add("stock", offtake.Quantile(b, 0.5), "kg", "median of the draws, with all surveys taken together; 95 %% interval %v to %v",
		offtake.Quantile(b, 0.025), offtake.Quantile(b, 0.975))
}

// between is what lies between the t-th survey and the next: cuts, growth and storms, and what the map makes of medians.
func (x *stepper) between(a *model.Assessment, u *model.Unit, t int) {
	s := u.Series
	t1, t2 := s.Surveys[t].T, s.Surveys[t+1].T
	x.step = fmt.Sprintf("to %s", u.SurveyedOn(t+1))
	if kg := s.UnplacedKg(t + 1); kg > 0 && s.CutsKnown && !s.Told(t+1) {
		x.add("perhaps cut", kg, "kg", "besides what is known, of landings without a bed or species: more than %v of the smaller stock, the stock may have changed by anything", growth.Negligible)
		return
	}
	if !s.Told(t + 1) {
		x.add("years", t2-t1, "years", "what was cut is not known: the stock may have changed by anything")
		return
	}
	cut := 0.0
	for _, c := range s.Cuts {
		if c.T >= t1 && c.T < t2 {
			cut += c.Kg
		}
	}
	x.add("growing time", u.Season.Integral(t1, t2), "years", "of %v years, by peak_month and amplitude", t2-t1)
	x.add("cut", cut/a.Rules.ReportedShare, "kg", "%v kg reported over reported_share %v", cut, a.Rules.ReportedShare)
	for _, e := range s.Events {
		if e.T < t1 || e.T >= t2 {
			continue
		}
		if math.IsNaN(e.Left) {
			x.add("storm", a.Rules.Offtake.StormSurvival, "share", "left by an event of unknown strength: storm_survival, known to 0.3 on the log")
			continue
		}
		x.add("storm", e.Left, "share", "fraction_left of events.csv")
	}
	b, next := u.Growth.Draws.Col(fmt.Sprintf("B%d", t)), u.Growth.Draws.Col(fmt.Sprintf("B%d", t+1))
	x.add("expected", mapped(a, u, t, offtake.Quantile(b, 0.5)), "kg",
		"where the logistic map leads from %v kg with the medians r = %v, K = %v, cuts and storms on their days", offtake.Quantile(b, 0.5), u.Growth.R.Median, u.Growth.K.Median)
	x.add("change", offtake.Quantile(next, 0.5)-offtake.Quantile(b, 0.5), "kg", "of the medians: %v - %v", offtake.Quantile(next, 0.5), offtake.Quantile(b, 0.5))
}

// mapped is where the exact map leads from a stock at the t-th survey to the next.
func mapped(a *model.Assessment, u *model.Unit, t int, kg float64) float64 {
	cuts := make([]growth.Pulse, 0, len(u.Series.Cuts))
	for _, c := range u.Series.Cuts {
		cuts = append(cuts, growth.Pulse{T: c.T, Kg: c.Kg / a.Rules.ReportedShare})
	}
	s := u.Series
	path := growth.NewPath(u.Season, s.Surveys[t].T, s.Surveys[t+1].T, cuts, s.Events, a.Rules.Offtake.StormSurvival)
	return 1 / path.Advance(1/kg, u.Growth.R.Median, 1/u.Growth.K.Median)
}

// told is what is known in the end, and how far to trust the draws.
func (x *stepper) told(a *model.Assessment, u *model.Unit) {
	x.step = "all together"
	g, level := u.Growth, 100*a.Rules.Survey.Confidence
	x.add("r", g.R.Median, "per year", "median of %v draws; %v %% interval %v to %v", g.Draws.Len(), level, g.R.Lo, g.R.Hi)
	x.add("K", g.K.Median, "kg", "median; %v %% interval %v to %v", level, g.K.Lo, g.K.Hi)
	x.add("noise", offtake.Quantile(g.Draws.Col("sigma"), 0.5), "per root year", "median, of the beds of the species together")
	if g.Draws.Has(growth.CutFactor) {
		f := g.Draws.Col(growth.CutFactor)
		x.add("reported share", 1/offtake.Quantile(f, 0.5), "share", "median, of the beds of the species together; before the surveys %v with the cv %v", a.Rules.ReportedShare, a.Rules.ReportedCV)
	}
	x.add("how little is known", g.LogRShrink, "ratio", "spread of log r after the surveys over that of the species table: above weak_spread %v the weak cap holds, and comes in from weak_ramp %v below", a.Rules.Offtake.WeakSpread, a.Rules.Offtake.WeakRamp)
	x.add("R-hat", g.RHat, "", "largest of r, K and the stocks; at most 1.01")
	x.add("effective draws", g.ESS, "draws", "smallest of r, K and the stocks; at least 400")
}
