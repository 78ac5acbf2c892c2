package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// changes shows the change from each survey to the next.
func (c stockCmd) changes(stocks []survey.Stock, o *opened) (view, error) {
	pairs, err := c.pairs(stocks)
	if err != nil {
		return view{}, err
	}
	stocks = slices.DeleteFunc(stocks, func(s survey.Stock) bool { return !c.keep(s.Bed, s.Species) })
	all := survey.Changes(o.folder, stocks, o.rules.Survey, pairs...)
	return view{machine: report.Changes(all), people: c.changesText(all, stocks, o),
		empty: "a change needs two surveys of a bed that looked for the species; survey it again at the same season",
		hint:  "--trend fits all surveys at once, --detect tells how small a change the next survey would find"}, nil
}

// pairs are the surveys that --from and --to name, none where each is compared with the next.
func (c stockCmd) pairs(stocks []survey.Stock) ([]survey.SurveyPair, error) {
	if c.From == "" {
		return nil, nil
	}
	ends := map[string][2]*survey.Stock{} // of a bed
	var labels []string
	var out []survey.SurveyPair
	for k := range stocks {
		s := &stocks[k]
		if !slices.Contains(labels, s.Survey) {
			labels = append(labels, s.Survey)
		}
		if !among(c.Bed, s.Bed) {
			continue
		}
		d := ends[s.Bed]
		for i, label := range []string{c.From, c.To} {
			if strings.EqualFold(label, s.Survey) {
				d[i] = s
			}
		}
		ends[s.Bed] = d
	}
	slices.Sort(labels)
	for _, bed := range slices.Sorted(maps.Keys(ends)) {
		if d := ends[bed]; d[0] != nil && d[1] != nil {
			if d[0].Date >= d[1].Date {
				return nil, usageError(fmt.Sprintf("--from %s is not before --to %s on bed %s", c.From, c.To, bed))
			}
			out = append(out, survey.SurveyPair{Bed: bed, From: d[0].Survey, To: d[1].Survey})
		}
	}
	if len(out) == 0 {
		return nil, usageError(fmt.Sprintf("--from %s --to %s: no bed has both surveys\nhint: the surveys are %s", c.From, c.To, few(labels)))
	}
	return out, nil
}

// changesText is what people read of changes.
func (c stockCmd) changesText(all []survey.Change, stocks []survey.Stock, o *opened) table.Table {
	t := table.Table{Title: "Change of the standing stock from survey to survey, kg wet", Columns: []table.Column{
		col("bed"), col("species"), col("from"), col("to"), col("cover", "% points"), col("change", "kg"), col(levelOf(o), "kg"), col("of the stock", "%"),
		col("cut between", "kg"), col("change + cut", "kg"), col("there is"), col("note")}}
	var notes noter
	absent := 0
	found := foundIn(stocks)
	for _, x := range all {
		if len(c.Species) == 0 && !found[[3]string{x.Bed, x.Species, x.From}] && !found[[3]string{x.Bed, x.Species, x.To}] {
			absent++
			continue
		}
		who := x.Bed + " " + x.Species + " " + x.To
		net := valueRange(x.Net, 1)
		if !x.Net.OK && x.Kg.OK {
			notes.addReason(who, x.ReasonNoNet)
		}
		t.Add(table.Text(x.Bed), table.Text(x.Species), table.Text(x.From), table.Text(x.To), valueRange(x.Cover, 1), changeCell(x.Kg), rangeCell(x.Kg, 1),
			percentRange(x.Relative), kgOrNone(x.Cut), net, table.Text(verdict(x)), short(string(x.Status)))
		notes.addReason(who, strings.TrimPrefix(strings.TrimPrefix(x.Reason, x.From+": "), x.To+": "), x.Next)
		notes.add(who, x.Warnings...)
	}
	t.Notes = notes.alike()
	if absent > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("%s of a species found in neither survey; --format csv lists them", plural(absent, "change")))
	}
	return t
}

// verdict is the direction of the change, that of the cover where the weight is not known.
func verdict(x survey.Change) string {
	switch {
	case x.Kg.OK || !x.Cover.OK:
		return x.Verdict()
	case x.Cover.Lo > 0:
		return "more cover"
	case x.Cover.Hi < 0:
		return "less cover"
	}
	return x.Verdict()
}

// foundIn tells by bed, species and survey whether the species was found.
func foundIn(stocks []survey.Stock) map[[3]string]bool {
	out := map[[3]string]bool{}
	for _, s := range stocks {
		out[[3]string{s.Bed, s.Species, s.Survey}] = s.QuadratsWith > 0
	}
	return out
}

// changeCell is a change in kg.
func changeCell(e survey.Estimate) table.Cell {
	if !e.OK {
		return table.Missing
	}
	se := e.SE
	if !(se > 0) && e.Hi > e.Lo {
		se = (e.Hi - e.Lo) / 4
	}
	return table.Estimate(e.Value, se)
}

// kgOrNone is a weight that may not be known.
func kgOrNone(n survey.Num) table.Cell {
	if !n.OK {
		return table.Missing
	}
	return table.Number(n.V, 3)
}

// trends shows the trend over all surveys.
func (c stockCmd) trends(stocks []survey.Stock, o *opened) view {
	all := slices.DeleteFunc(survey.Trends(stocks, o.rules.Survey), func(x survey.Trend) bool { return !c.keep(x.Bed, x.Species) })
	t := table.Table{Title: "Trend of the standing stock, a year", Columns: []table.Column{
		col("bed"), col("species"), col("surveys"), col("from"), col("to"), col("a year", "%"), col(levelOf(o), "%"), col("the stock is"), col("fitted"), col("note")}}
	var notes noter
	absent := 0
	found := everFound(stocks)
	for _, x := range all {
		if len(c.Species) == 0 && !found[[2]string{x.Bed, x.Species}] {
			absent++
			continue
		}
		value, from, to := table.Missing, table.Missing, table.Missing
		if x.PerYear.OK {
			value = table.Estimate(100*x.PerYear.Value, 100*coarse(x.PerYear).SE)
			from, to = table.Text(x.FromDate.String()), table.Text(x.ToDate.String())
		}
		t.Add(table.Text(x.Bed), table.Text(x.Species), table.Int(len(x.Surveys)), from, to, value, rangeCell(x.PerYear, 100),
			table.Text(x.Verdict()), table.Text(x.Method), short(string(x.Status)))
		notes.addReason(x.Bed+" "+x.Species, x.Reason, x.Next)
		notes.add(x.Bed+" "+x.Species, x.Warnings...)
	}
	t.Notes = notes.alike()
	if absent > 0 {
		t.Notes = append(t.Notes, plural(absent, "trend")+" of a species found in no survey of the bed; --format csv lists them")
	}
	return view{machine: report.Trends(all), people: t, empty: c.unsought(),
		hint: "the trend is that of the stock with its cuts; bedstock growth %[1]s takes them apart"}
}

// everFound tells by bed and species whether any survey found the species.
func everFound(stocks []survey.Stock) map[[2]string]bool {
	out := map[[2]string]bool{}
	for _, s := range stocks {
		if s.QuadratsWith > 0 {
			out[[2]string{s.Bed, s.Species}] = true
		}
	}
	return out
}

// detectable shows how small a change the next survey would find.
func (c stockCmd) detectable(stocks []survey.Stock, o *opened) view {
	opt := o.rules.Survey
	stocks = slices.DeleteFunc(stocks, func(s survey.Stock) bool { return !c.keep(s.Bed, s.Species) })
	all := survey.LeastDetectable(stocks, survey.Changes(o.folder, stocks, opt), opt, c.More...)
	t := table.Table{Title: fmt.Sprintf("The smallest change since the last survey that the next would find, with a chance of %g %%", 100*survey.DetectPower),
		Columns: []table.Column{col("bed"), col("species"), col("last survey"), col("transects or quadrats"), col("more"), col("fall", "%"), col("rise", "%"),
			col("fall", "kg"), col("rise", "kg"), col("note")}}
	t.Columns[7].Name, t.Columns[7].Head, t.Columns[8].Name, t.Columns[8].Head = "fall_kg", "fall", "rise_kg", "rise"
	var notes noter
	absent := 0
	found := everFound(stocks)
	for _, d := range all {
		if len(c.Species) == 0 && !found[[2]string{d.Bed, d.Species}] {
			absent++
			continue
		}
		notes.addReason(d.Bed+" "+d.Species, d.Reason, d.Next)
		t.Add(table.Text(d.Bed), table.Text(d.Species), table.Text(d.Survey), table.Int(d.Units), table.Int(d.More), percentCell(d.Fall), percentCell(d.Rise),
			table.Number(d.FallKg, 2), table.Number(d.RiseKg, 2), short(string(d.Status)))
	}
	t.Notes = notes.alike()
	if absent > 0 {
		t.Notes = append(t.Notes, plural(absent, "row")+" of a species found in no survey of the bed; --format csv lists them")
	}
	hint := ""
	if len(c.More) == 0 {
		hint = "--more 5 --more 10 tell what five and ten transects (or quadrats) more would find"
	}
	return view{machine: report.Detectables(all), people: t, empty: c.unsought(), hint: hint}
}
