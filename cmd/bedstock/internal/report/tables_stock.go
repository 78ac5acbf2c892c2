package report

import (
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// StockMore is [Stock] with what only a reader of the stock alone needs.
func StockMore(stocks []survey.Stock) table.Table {
	t := Stock(stocks)
	t.Columns = append(t.Columns, columns("cv", "interval", "exploitable_share", "exploitable_se", "n_quadrats_with", "n_psu_with",
		"design_effect")...)
	for i, s := range stocks {
		t.Rows[i] = append(t.Rows[i], est(s.Kg, s.Kg.CV()), table.Text(s.Kg.Kind), est(s.Kg, s.Exploitable), est(s.Kg, s.ExploitableSE),
			table.Int(s.QuadratsWith), table.Int(s.PSUWith), num(s.DesignEffect))
	}
	return t
}

// Totals is a row a total, with the columns of the place that by asks for.
func Totals(totals []survey.Total, by survey.By) table.Table {
	places := TotalPlaces(by)
	t := table.Table{}
	for _, p := range places {
		t.Columns = append(t.Columns, table.Column{Name: p.Name})
	}
	t.Columns = append(t.Columns, columns("survey", "date", "beds", "species_summed", "area_m2", "kg", "se_kg", "lo_kg", "hi_kg", "df", "cv",
		"interval", "kg_m2", "kg_m2_se", "cover_pct", "cover_se", "held_pct", "held_se", "known_kg", "n_quadrats", "n_quadrats_with",
		"n_psu", "n_psu_with", "design_effect", "own_cv", "status", "reason", "warnings")...)
	for _, x := range totals {
		var row []table.Cell
		for _, p := range places {
			row = append(row, table.Text(p.Of(x)))
		}
		row = append(row, table.Text(x.Survey), day(x.Date), joined(x.Beds), joined(x.Summed), est(x.Area, x.Area.Value))
		row = append(row, whole(x.Kg)...)
		row = append(row, est(x.Kg, x.Kg.CV()), table.Text(x.Kg.Kind), est(x.KgM2, x.KgM2.Value), est(x.KgM2, x.KgM2.SE),
			est(x.Cover, x.Cover.Value), est(x.Cover, x.Cover.SE), est(x.Held, x.Held.Value), est(x.Held, x.Held.SE),
			est(x.Known, x.Known.Value), table.Int(x.Quadrats), table.Int(x.QuadratsWith), table.Int(x.PSU), table.Int(x.PSUWith),
			num(x.DesignEffect), num(x.OwnCV), table.Text(string(x.Status)), table.Text(x.Reason), joined(x.Warnings))
		t.Rows = append(t.Rows, row)
	}
	return t
}

// Place is a column that says where or of what a total is.
type Place struct {
	Name string
	Of   func(survey.Total) string
}

// TotalPlaces are the columns of the place that by asks for.
func TotalPlaces(by survey.By) []Place {
	if by&survey.ByStratum != 0 {
		by |= survey.ByBed
	}
	var out []Place
	for _, p := range []struct {
		by survey.By
		Place
	}{
		{survey.ByShore, Place{"shore", func(t survey.Total) string { return t.Shore }}},
		{survey.ByZone, Place{"zone", func(t survey.Total) string { return t.Zone }}},
		{survey.ByBed, Place{"bed", func(t survey.Total) string { return t.Bed }}},
		{survey.ByStratum, Place{"stratum", func(t survey.Total) string { return t.Stratum }}},
		{survey.ByGroup, Place{"group", func(t survey.Total) string { return t.Group }}},
		{survey.BySpecies, Place{"species", func(t survey.Total) string { return t.Species }}},
	} {
		if by&p.by != 0 {
			out = append(out, p.Place)
		}
	}
	return out
}

// whole is value, standard error, bounds and degrees of freedom of an estimate.
func whole(e survey.Estimate) []table.Cell {
	return []table.Cell{est(e, e.Value), est(e, e.SE), est(e, e.Lo), est(e, e.Hi), est(e, e.DF)}
}

// ranged is value and bounds of an estimate.
func ranged(e survey.Estimate) []table.Cell {
	return []table.Cell{est(e, e.Value), est(e, e.Lo), est(e, e.Hi)}
}

// optional is a number that may be missing.
func optional(n survey.Num) table.Cell {
	if !n.OK {
		return table.Missing
	}
	return num(n.V)
}

// Changes is a row a bed, species and pair of surveys.
func Changes(changes []survey.Change) table.Table {
	t := table.Table{Columns: columns("bed", "species", "from", "to", "from_date", "to_date", "years", "area_m2", "from_kg", "to_kg",
		"change_kg", "se_kg", "lo_kg", "hi_kg", "df", "cover_change", "cover_lo", "cover_hi", "relative", "relative_lo", "relative_hi",
		"cut_kg", "net_kg", "net_lo", "net_hi", "n_paired", "correlation", "verdict", "status", "reason", "next", "no_net", "warnings")}
	for _, c := range changes {
		row := []table.Cell{table.Text(c.Bed), table.Text(c.Species), table.Text(c.From), table.Text(c.To), day(c.FromDate), day(c.ToDate),
			num(c.Years), num(c.Area), num(c.FromKg), num(c.ToKg)}
		row = append(row, whole(c.Kg)...)
		row = append(row, ranged(c.Cover)...)
		row = append(row, ranged(c.Relative)...)
		row = append(row, optional(c.Cut))
		row = append(row, ranged(c.Net)...)
		t.Rows = append(t.Rows, append(row, table.Int(c.Paired), num(c.Correlation), table.Text(c.Verdict()), table.Text(string(c.Status)),
			table.Text(c.Reason), table.Text(c.Next), table.Text(c.ReasonNoNet), joined(c.Warnings)))
	}
	return t
}

// Trends is a row a bed and species.
func Trends(trends []survey.Trend) table.Table {
	t := table.Table{Columns: columns("bed", "species", "from_date", "to_date", "surveys", "per_year", "se", "lo", "hi", "df", "method",
		"process_sd", "serial", "per_area", "verdict", "status", "reason", "next", "warnings")}
	for _, x := range trends {
		row := []table.Cell{table.Text(x.Bed), table.Text(x.Species), dayOrNone(x.FromDate, x.Surveys), dayOrNone(x.ToDate, x.Surveys),
			joined(x.Surveys)}
		row = append(row, whole(x.PerYear)...)
		t.Rows = append(t.Rows, append(row, table.Text(x.Method), num(x.Process), num(x.Serial), table.Bool(x.PerArea),
			table.Text(x.Verdict()), table.Text(string(x.Status)), table.Text(x.Reason), table.Text(x.Next), joined(x.Warnings)))
	}
	return t
}

func dayOrNone(d survey.Day, surveys []string) table.Cell {
	if len(surveys) == 0 {
		return table.Missing
	}
	return day(d)
}

// Detectables is a row a bed, species and number of sampling units.
func Detectables(all []survey.Detectable) table.Table {
	t := table.Table{Columns: columns("bed", "species", "survey", "n_psu", "more", "permanent", "power", "level", "df", "fall", "rise", "fall_kg",
		"rise_kg", "status", "reason", "next")}
	for _, d := range all {
		t.Add(table.Text(d.Bed), table.Text(d.Species), table.Text(d.Survey), table.Int(d.Units), table.Int(d.More), table.Bool(d.Paired),
			num(survey.DetectPower), num(d.Level), num(d.DF), num(d.Fall), num(d.Rise), num(d.FallKg), num(d.RiseKg),
			table.Text(string(d.Status)), table.Text(d.Reason), table.Text(d.Next))
	}
	return t
}

// Lengths is a row a bed, species and survey.
func Lengths(all []survey.LengthSummary) table.Table {
	t := table.Table{Columns: columns("bed", "species", "survey", "date", "source", "counted_by", "n_fronds", "n_quadrats", "n_means", "n_psu",
		"known_share", "mean_cm", "se_cm", "lo_cm", "hi_cm", "df", "p5_cm", "p25_cm", "p50_cm", "p50_lo", "p50_hi", "p75_cm", "p95_cm",
		"longest_cm", "recruits", "recruits_lo", "recruits_hi", "long_enough", "long_enough_lo", "long_enough_hi", "above_leave",
		"above_leave_lo", "above_leave_hi", "exploitable", "exploitable_lo", "exploitable_hi", "status", "reason", "warnings")}
	for _, l := range all {
		row := []table.Cell{table.Text(l.Bed), table.Text(l.Species), table.Text(l.Survey), day(l.Date), table.Text(l.Source),
			table.Text(l.CountedBy), table.Int(l.Fronds), table.Int(l.Quadrats), table.Int(l.Means), table.Int(l.Units), num(l.Known)}
		row = append(row, whole(l.Mean)...)
		row = append(row, percentiles(l)...)
		row = append(row, optional(l.Longest))
		for _, e := range []survey.Estimate{l.Recruits, l.LongEnough, l.AboveLeave, l.Exploitable} {
			row = append(row, ranged(e)...)
		}
		t.Rows = append(t.Rows, append(row, table.Text(string(l.Status)), table.Text(l.Reason), joined(l.Warnings)))
	}
	return t
}

// percentiles are the 5, 25, 50 (with bounds), 75 and 95 % of the lengths.
func percentiles(l survey.LengthSummary) []table.Cell {
	var out []table.Cell
	for _, p := range []float64{0.05, 0.25, 0.5, 0.75, 0.95} {
		e := Percentile(l, p)
		if p == 0.5 {
			out = append(out, ranged(e)...)
			continue
		}
		out = append(out, est(e, e.Value))
	}
	return out
}

// Percentile is a percentile of the lengths, not OK where it is not among them.
func Percentile(l survey.LengthSummary, p float64) survey.Estimate {
	for _, x := range l.Percentiles {
		if x.P == p {
			return x.Estimate
		}
	}
	return survey.Estimate{}
}
