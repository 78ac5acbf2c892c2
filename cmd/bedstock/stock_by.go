package main

import (
	"fmt"
	"slices"
	"strings"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// ways are the values of --by.
var ways = []struct {
	name string
	by   survey.By
}{{"bed", survey.ByBed}, {"stratum", survey.ByStratum}, {"zone", survey.ByZone}, {"shore", survey.ByShore},
	{"species", survey.BySpecies}, {"group", survey.ByGroup}}

// by reads --by.
func (c stockCmd) by() (survey.By, error) {
	var by survey.By
	for _, name := range c.By {
		i := slices.IndexFunc(ways, func(w struct {
			name string
			by   survey.By
		}) bool {
			return strings.EqualFold(strings.TrimSpace(name), w.name)
		})
		if i < 0 {
			return 0, usageError(fmt.Sprintf("--by %q: there are bed, stratum, zone, shore, species and group\nhint: several are joined by commas: --by shore,species", name))
		}
		by |= ways[i].by
	}
	return by, nil
}

// divides refuses a division that the folder or the filter does not have.
func (c stockCmd) divides(by survey.By, f *survey.Folder) error {
	has := func(of func(survey.BedPeriod) string) bool {
		return slices.ContainsFunc(f.Beds, func(b survey.Bed) bool {
			return slices.ContainsFunc(b.Periods, func(p survey.BedPeriod) bool { return of(p) != "" })
		})
	}
	switch {
	case len(c.Bed) > 0 && by&(survey.ByBed|survey.ByStratum) == 0:
		return usageError("--bed cannot narrow sums over beds\nhint: --by bed," + strings.Join(c.By, ",") + " keeps beds apart")
	case len(c.Species) > 0 && by&survey.BySpecies == 0:
		return usageError("--species cannot narrow sums over species\nhint: --by " + strings.Join(c.By, ",") + ",species keeps species apart")
	case by&survey.ByStratum != 0 && len(f.Strata) == 0:
		return usageError("--by stratum: there is no strata.csv, every bed is one stratum\nhint: --by bed")
	case by&survey.ByZone != 0 && !has(func(p survey.BedPeriod) string { return p.Zone }):
		return usageError("--by zone: no bed has a zone\nhint: write lower, mid or upper under zone in beds.csv")
	case by&survey.ByShore != 0 && !has(func(p survey.BedPeriod) string { return p.Shore }):
		return usageError("--by shore: no bed has a shore\nhint: name it under shore in beds.csv")
	case by&survey.ByGroup != 0 && !slices.ContainsFunc(f.Species, func(s survey.Species) bool { return s.Group != "" }):
		return usageError("--by group: no species has a group\nhint: name it under group in species.csv")
	}
	return nil
}

// totals shows sums.
func (c stockCmd) totals(o *opened) (view, error) {
	by, err := c.by()
	if err != nil {
		return view{}, err
	}
	if err := c.divides(by, o.folder); err != nil {
		return view{}, err
	}
	all := slices.DeleteFunc(survey.Totals(o.folder, o.rules.Survey, by), func(t survey.Total) bool {
		return len(c.Bed) > 0 && !among(c.Bed, t.Bed) || len(c.Species) > 0 && !among(c.Species, t.Species)
	})
	return view{machine: report.Totals(all, by), people: c.totalsText(all, by, o), empty: c.unsought(),
		hint: "--format csv has cover, kg per m2, the ground held and all counts"}, nil
}

// totalsText is what people read of sums.
func (c stockCmd) totalsText(all []survey.Total, by survey.By, o *opened) table.Table {
	places := report.TotalPlaces(by)
	t := table.Table{Title: fmt.Sprintf("Standing stock, kg wet, summed by %s, on %s", strings.Join(c.By, ", "), o.folder.AsOf)}
	for _, p := range places {
		t.Columns = append(t.Columns, col(p.Name))
	}
	t.Columns = append(t.Columns, col("survey"), col("beds"), col("species summed"), col("area", "m2"), col("ground held", "%"), col("cover", "%"),
		col("stock", "kg"),
		col("CV", "%"), col(levelOf(o), "kg"), col("stock/m2", "kg"), col("without what is not known", "kg"), col("note"))
	var notes noter
	absent := 0
	for _, x := range all {
		if len(c.Species) == 0 && x.Status != survey.NotEstimable && x.QuadratsWith == 0 {
			absent++
			continue
		}
		var row []table.Cell
		var who []string
		for _, p := range places {
			row, who = append(row, table.Text(p.Of(x))), append(who, p.Of(x))
		}
		kg, cv, interval := kgCells(x.Kg)
		known := table.Missing
		if !x.Kg.OK && x.Known.OK {
			known = valueRange(x.Known, 1)
		}
		t.Rows = append(t.Rows, append(row, table.Text(x.Survey), table.Int(len(x.Beds)), table.Int(len(x.Summed)), areaCell(x.Area),
			coverCell(x.Held), coverCell(x.Cover), kg, cv, interval, coverCell(x.KgM2), known, short(string(x.Status))))
		name := strings.Join(slices.DeleteFunc(append(who, x.Survey), func(s string) bool { return s == "" }), " ")
		notes.addReason(name, x.Reason)
		notes.add(name, outside(x.Warnings)...)
	}
	t.Notes = notes.alike()
	if absent > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("%s of a species that was looked for and not found; --format csv lists them", plural(absent, "sum")))
	}
	t = withoutEmpty(t, "without what is not known")
	for name, bit := range map[string]survey.By{"beds": survey.ByBed | survey.ByStratum, "species summed": survey.BySpecies} {
		if by&bit != 0 {
			t = without(t, name)
		}
	}
	return t
}

// areaCell is an area in whole m2.
func areaCell(e survey.Estimate) table.Cell {
	if !e.OK {
		return table.Missing
	}
	return table.Number(e.Value, 4)
}

// without leaves out a column.
func without(t table.Table, name string) table.Table {
	i := slices.IndexFunc(t.Columns, func(c table.Column) bool { return c.Name == name })
	t.Columns = slices.Delete(slices.Clone(t.Columns), i, i+1)
	for r := range t.Rows {
		t.Rows[r] = slices.Delete(slices.Clone(t.Rows[r]), i, i+1)
	}
	return t
}

// withoutEmpty leaves out a column where no row has anything in it.
func withoutEmpty(t table.Table, name string) table.Table {
	i := slices.IndexFunc(t.Columns, func(c table.Column) bool { return c.Name == name })
	for _, row := range t.Rows {
		if !row[i].IsMissing() {
			return t
		}
	}
	return without(t, name)
}
