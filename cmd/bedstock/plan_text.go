package main

import (
	"fmt"
	"math"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/plan"
)

// planTable is the plan for other programs, a row a bed, stratum and species.
func planTable(p plan.Plan) table.Table {
	t := table.Table{Columns: []table.Column{col("bed"), col("species"), col("stratum"), col("area_m2"), col("transects"), col("quadrats_per_transect"),
		col("weigh_per_transect"), col("quadrats"), col("to_weigh"), col("quadrat_m2"), col("bed_hours"), col("bed_tides"), col("planned_for"), col("cv"), col("cv_lo"), col("cv_hi"),
		col("last_cv"), col("hour_more_cv"), col("stock_kg"), col("cap_kg"), col("cap_then_kg"), col("status"), col("reason")}}
	for _, b := range p.Beds {
		if len(b.Strata) == 0 {
			row := make([]table.Cell, len(t.Columns))
			row[0], row[len(row)-2], row[len(row)-1] = table.Text(b.Bed), table.Text(string(b.Status)), table.Text(b.Reason)
			t.Add(row...)
		}
		for _, x := range b.Species {
			status, reason := x.Status, x.Reason
			if b.Status == plan.Guess && status == plan.OK {
				status = b.Status
			}
			if reason == "" {
				reason = b.Reason
			}
			for _, s := range b.Strata {
				n, quadrats, weigh := counts(s)
				t.Add(table.Text(b.Bed), table.Text(x.Species), table.Text(s.Stratum), table.Number(s.Area, 8), table.Int(n), each(n, b.Quadrats), each(n, b.Weigh),
					table.Int(quadrats), table.Int(weigh), table.Number(b.QuadratM2, 6), table.Number(b.Minutes/60, 6), table.Int(b.Tides), table.Text(yesNo(x.Planned)), table.Number(x.CV, 6),
					table.Number(x.Lo, 6), table.Number(x.Hi, 6), table.Number(x.LastCV, 6), table.Number(x.HourCV, 6), table.Number(x.StockKg, 6),
					table.Number(x.CapKg, 6), table.Number(x.CapThen, 6), table.Text(string(status)), table.Text(reason))
			}
		}
	}
	return t
}

func yesNo(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}

// counts are the transects, quadrats and weighings of a stratum; no transect where quadrats stand alone.
func counts(s plan.Stratum) (transects, quadrats, weigh int) {
	for _, tr := range s.Transects {
		if tr.Transect != "" {
			transects++
		}
		quadrats += len(tr.Quadrats)
		for _, q := range tr.Quadrats {
			if q.Weigh {
				weigh++
			}
		}
	}
	return transects, quadrats, weigh
}

// each is a number for each of n transects; none where quadrats stand alone.
func each(n, of int) table.Cell {
	if n == 0 {
		return table.Missing
	}
	return table.Int(of)
}

// people are the tables that people read: what to do, and what it will tell.
func (c planCmd) people(p plan.Plan, laid *model.Laid, rules model.Rules, opt model.PlanOptions) []table.Table {
	work := c.work(p, rules, opt)
	if laid == nil {
		work.Notes = append(work.Notes, noTides)
		return []table.Table{work, c.gain(p, rules)}
	}
	return []table.Table{work, daysTable(*laid, rules), c.gain(p, rules)}
}

func (c planCmd) work(p plan.Plan, rules model.Rules, opt model.PlanOptions) table.Table {
	aim := fmt.Sprintf("for a CV of %s %%", percentText(orElse(opt.CV, rules.Plan.CV)))
	switch {
	case opt.Budget.Minutes > 0:
		aim = fmt.Sprintf("for the smallest CVs of %g hours", c.Hours)
	case opt.Budget.Tides > 0:
		aim = "for the smallest CVs of " + plural(opt.Budget.Tides, "low water")
	}
	t := table.Table{Title: fmt.Sprintf("The next survey, %s (seed %d)", aim, p.Seed), Columns: []table.Column{col("bed"), col("stratum"), col("transects"),
		col("quadrats", "each"), col("weighed", "each"), col("quadrats", "in all"), col("to weigh", "in all"), col("hours", "of the bed"), col("low waters"), col("status")}}
	t.Columns[5].Name, t.Columns[5].Head = "quadrats_all", "quadrats"
	var notes noter
	for _, b := range p.Beds {
		notes.add(b.Bed, b.Warnings...)
		if b.Reason != "" {
			notes.add(b.Bed, b.Reason)
		}
		if len(b.Strata) == 0 {
			t.Add(table.Text(b.Bed), table.Missing, table.Missing, table.Missing, table.Missing, table.Missing, table.Missing, table.Missing, table.Missing, table.Text(string(b.Status)))
		}
		for i, s := range b.Strata {
			n, quadrats, weigh := counts(s)
			hours, tides, status := table.Missing, table.Missing, ""
			if i == 0 {
				hours, tides, status = table.Number(b.Minutes/60, 2), table.Int(b.Tides), string(b.Status)
			}
			t.Add(table.Text(b.Bed), table.Text(s.Stratum), each(n, n), each(n, b.Quadrats), each(n, b.Weigh), table.Int(quadrats), table.Int(weigh), hours, tides, table.Text(status))
		}
	}
	k := rules.Plan.Costs
	t.Notes = append(notes.lines(), fmt.Sprintf("in all %.1f hours and %s; minutes counted: %g a quadrat, %g more to weigh one, %g a transect, %g to reach and leave the bed, of %g at a low water ([plan] in rules.toml)",
		p.Minutes/60, plural(p.Tides, "low water"), k.Quadrat, k.Weigh, k.Transect, k.Visit, k.Tide))
	return t
}

// gain is what the survey is expected to tell.
func (c planCmd) gain(p plan.Plan, rules model.Rules) table.Table {
	t := table.Table{Title: "What it is expected to tell", Columns: []table.Column{col("bed"), col("species"), col("planned for"), col("last CV", "%"), col("CV then", "%"),
		col("may be", "%"), col("an hour more", "%"), col("cap now", "kg"), col("cap then", "kg"), col("status")}}
	var notes noter
	for _, b := range p.Beds {
		for _, x := range b.Species {
			may := ""
			if !math.IsNaN(x.Lo) {
				may = percentText(x.Lo) + " to " + percentText(x.Hi)
			}
			t.Add(table.Text(b.Bed), table.Text(x.Species), table.Text(yesNo(x.Planned)), percentCell(x.LastCV), percentCell(x.CV), table.Text(may), percentCell(x.HourCV),
				kg(x.CapKg), kg(x.CapThen), table.Text(string(x.Status)))
			if x.Reason != "" {
				notes.add(b.Bed+"/"+x.Species, x.Reason)
			}
		}
	}
	t.Notes = append(notes.lines(),
		fmt.Sprintf("CV: standard error over stock; may be: where it lies at %g %% confidence, as the variances are estimates; an hour more: the CV with an hour more work on the bed", 100*rules.Survey.Confidence),
		fmt.Sprintf("cap: the highest fraction of the %g quantile of what is long enough to cut, from one survey alone, if the next finds the same stock; the cap of an advice is a smaller share where little is known of regrowth, and other limits may hold below it", rules.Offtake.StockQuantile))
	return t
}

func orElse(v, other float64) float64 {
	if v == 0 {
		return other
	}
	return v
}

// percentText is a share in whole percent.
func percentText(v float64) string { return fmt.Sprintf("%.0f", 100*v) }
