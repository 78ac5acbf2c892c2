package main

import (
	"fmt"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/growth"
)

// evidence sets the sources beside each other.
func (c growthCmd) evidence(a *model.Assessment) screen {
	t := table.Table{Title: fmt.Sprintf("What each source says of r and K, %g %% intervals", 100*a.Rules.Survey.Confidence), Columns: []table.Column{
		col("bed"), col("species"), col("source"), col("n"), col("r", "per year"), col("K", "kg"), col("status")}}
	said := map[string]bool{}
	for _, r := range a.EvidenceTable() {
		if !c.keep(r.Bed, r.Species) {
			continue
		}
		n := table.Missing
		if r.Source == model.FromPlots || r.Source == model.FromSurveys {
			n = table.Int(r.N)
		}
		note := r.Note
		if key := r.Species + "|" + note; (r.Source == model.FromTable || r.Source == model.FromPlots) && said[key] {
			note = "" // of the species, not of the bed: once is enough
		} else {
			said[key] = true
		}
		t.Add(table.Text(r.Bed), table.Text(r.Species), table.Text(string(r.Source)), n, told(r.R), told(r.K), table.Text(statusText(r.Status, note)))
	}
	t.Notes = []string{"regrowth plots are cleared, small and chosen: as a whole they may be off by 0.5 on the log of r, and beds differ from each other, so that all together may be wider than the plots by themselves",
		"surveys alone: the surveys of the beds of the species that are estimated together, with a table that says next to nothing and without the plots",
		"nothing: there is such evidence, and it tells neither r nor K"}
	return screen{machine: c.narrow(report.EvidenceRows(a)), people: []table.Table{t},
		hint: fmt.Sprintf("bedstock growth %s --prior \"SPECIES:r=…,cv=…\" tries another value of the table", typed(c.Survey))}
}

// checks sets each survey against its forecast.
func (c growthCmd) checks(a *model.Assessment) screen {
	t := table.Table{Title: fmt.Sprintf("Each survey against what those before let one expect, %g %% intervals", 100*a.Rules.Survey.Confidence),
		Columns: []table.Column{col("bed"), col("species"), col("survey"), col("found", "kg"), col("expected", "kg"), col("P of less"), col("note")}}
	odd, checked := 0, 0
	for i, g := range a.GrowthChecks() {
		u := &a.Units[i]
		if !c.keep(u.Bed, u.Species) {
			continue
		}
		checked, odd = checked+g.Predictive.Checked, odd+g.Predictive.Unexpected
		for k, s := range g.Predictive.Surveys {
			note := s.Reason
			if s.Unexpected {
				note = "not as expected"
			}
			expected := table.Text("-")
			if s.Status == "ok" {
				expected = table.Text(foretold(s.Expected))
				if s.Expected.Hi > vague*s.Expected.Median && note == "" {
					note = "foretold so vaguely that hardly any survey could contradict it"
				}
			}
			t.Add(table.Text(u.Bed), table.Text(u.Species), table.Text(u.SurveyedOn(k).String()), kg(s.Kg), expected, probability(s.P), table.Text(note))
		}
	}
	t.Notes = []string{fmt.Sprintf("%d of %d surveys lie where fewer than 1 in 100 are expected", odd, checked),
		"a survey not as expected: look for a typing slip, a cut that was not returned, a storm that is not in events.csv, another observer"}
	return screen{machine: c.narrow(report.CheckRows(a)), people: []table.Table{t},
		hint: fmt.Sprintf("bedstock stock %s --explain BED/SPECIES/SURVEY shows how a stock came about", typed(c.Survey))}
}

// vague is how many times the median the upper end of a forecast may be before it is no check.
const vague = 20

// foretold is a forecast; one of which the ends lie far apart has its digits number by number.
func foretold(i growth.Interval) string {
	if i.Hi > 10*i.Median {
		return fmt.Sprintf("%s (%s to %s)", report.Weight(i.Median), report.Weight(i.Lo), report.Weight(i.Hi))
	}
	return report.Interval(i.Median, i.Lo, i.Hi)
}

// sensitivity shows how far r, K and the offtake lean on the table's r.
func (c growthCmd) sensitivity(a *model.Assessment) screen {
	t := table.Table{Title: "If the species table's r were another", Columns: []table.Column{col("bed"), col("species"), col("table's r", "per year"),
		col("r", "per year"), col("K", "kg"), col("offtake", "kg a year"), col("limited by"), col("status")}}
	for _, s := range a.Sensitivity() {
		if !c.keep(s.Bed, s.Species) {
			continue
		}
		t.Add(table.Text(s.Bed), table.Text(s.Species), table.Number(s.TableR, 3), told(s.R), told(s.K), kg(s.AdvisedKg), table.Text(string(s.LimitedBy)),
			table.Text(statusText(s.GrowthStatus, s.Reason)))
	}
	t.Notes = []string{"first as the table has it, then half and twice that; where r, K and offtake hardly move, the surveys and plots carry them",
		"a higher r in the table may lower the offtake: where the surveys say little of r, the cap for little known species comes in (weak_spread in bedstock rules)"}
	return screen{machine: c.narrow(report.SensitivityRows(a)), people: []table.Table{t},
		hint: fmt.Sprintf("bedstock growth %s --evidence shows what each source says", typed(c.Survey))}
}
