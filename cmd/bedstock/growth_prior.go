package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// trial is another value of the species table for one species.
type trial struct {
	species string // as the folder has it
	row     survey.Species
	set     []cell // what is changed, in the order of priorKeys
}

// cell is one value of the species table.
type cell struct {
	column, text string
	value        float64
}

// priorKeys are the names with which values are given, and their columns.
var priorKeys = []struct{ key, column string }{{"r", "r_per_year"}, {"cv", "r_cv"}, {"k", "k_kg_m2"}, {"kcv", "k_cv"}}

// parseTrial reads SPECIES:r=0.4,cv=0.3.
func parseTrial(text string, folder *survey.Folder) (trial, error) {
	bad := func(format string, args ...any) (trial, error) {
		return trial{}, usageError(fmt.Sprintf("--prior %q: ", text) + fmt.Sprintf(format, args...) + "\nhint: --prior \"SPECIES:r=0.4,cv=0.3\"; also k= and kcv=")
	}
	name, values, ok := strings.Cut(text, ":")
	if !ok {
		return bad("no colon between species and values")
	}
	i := slices.IndexFunc(folder.Species, func(s survey.Species) bool { return strings.EqualFold(s.Name, strings.Join(strings.Fields(name), " ")) })
	if i < 0 {
		return bad("%s is neither in the surveys nor in the species table", strings.TrimSpace(name))
	}
	t := trial{species: folder.Species[i].Name, row: folder.Species[i]}
	for part := range strings.SplitSeq(values, ",") {
		key, number, ok := strings.Cut(strings.TrimSpace(part), "=")
		k := slices.IndexFunc(priorKeys, func(p struct{ key, column string }) bool { return p.key == strings.TrimSpace(key) })
		if !ok || k < 0 {
			return bad("%q is none of r=, cv=, k=, kcv=", part)
		}
		number = strings.TrimSpace(number)
		v, err := strconv.ParseFloat(number, 64)
		if err != nil || !(v > 0) || v > 1000 || strings.ContainsAny(number, "xXpPiInN_") {
			return bad("%s=%s is not a number above 0", key, number)
		}
		column := priorKeys[k].column
		if slices.ContainsFunc(t.set, func(c cell) bool { return c.column == column }) {
			return bad("%s is given twice", key)
		}
		t.set = append(t.set, cell{column, number, v})
	}
	return t, nil
}

// apply changes a row of the species table.
func (t trial) apply(row *survey.Species) {
	for _, c := range t.set {
		field := map[string]*survey.Num{"r_per_year": &row.R, "r_cv": &row.RCV, "k_kg_m2": &row.K, "k_cv": &row.KCV}[c.column]
		field.V, field.OK = c.value, true
	}
	row.InTable = true
}

// was is the value that a column has without the trial.
func (t trial) was(column string) survey.Num {
	return map[string]survey.Num{"r_per_year": t.row.R, "r_cv": t.row.RCV, "k_kg_m2": t.row.K, "k_cv": t.row.KCV}[column]
}

// words says what is changed from what.
func (t trial) words() string {
	var parts []string
	for _, c := range t.set {
		was := "nothing"
		if w := t.was(c.column); w.OK {
			was = strconv.FormatFloat(w.V, 'g', 6, 64)
		}
		parts = append(parts, fmt.Sprintf("%s %s (was %s)", c.column, c.text, was))
	}
	return t.species + ": " + strings.Join(parts, ", ")
}

// trials reads all of --prior; a species may be named once.
func (c growthCmd) trials(folder *survey.Folder) ([]trial, error) {
	var out []trial
	for _, text := range c.Prior {
		t, err := parseTrial(text, folder)
		if err != nil {
			return nil, err
		}
		if slices.ContainsFunc(out, func(o trial) bool { return o.species == t.species }) {
			return nil, usageError(fmt.Sprintf("--prior names %s twice\nhint: give all its values in one, as in \"%s:r=0.4,cv=0.3\"", t.species, t.species))
		}
		out = append(out, t)
	}
	return out, nil
}

// priors shows what other values of the species table would change, and saves them where that is asked for.
func (c growthCmd) priors(e *env, o *opened, a *model.Assessment) (screen, error) {
	trials, err := c.trials(a.Folder)
	if err != nil {
		return screen{}, err
	}
	named := func(species string) bool {
		return slices.ContainsFunc(trials, func(t trial) bool { return t.species == species })
	}
	b := a.With(func(p model.Pair) bool { return named(p.Species) }, func(row *survey.Species) {
		for _, t := range trials {
			if t.species == row.Name {
				t.apply(row)
			}
		}
	})
	t := table.Table{Title: fmt.Sprintf("What other values of the species table would change (seed %d, %d draws)", a.Seed, a.Draws), Columns: []table.Column{
		col("bed"), col("species"), col("r now", "per year"), col("r then", "per year"), col("K now", "kg"), col("K then", "kg"),
		col("offtake now", "kg a year"), col("offtake then", "kg a year"), col("limited by"), col("status then")}}
	m := table.Table{Columns: []table.Column{col("bed"), col("species"), col("r_now"), col("r_then"), col("k_now"), col("k_then"), col("advised_kg_now"),
		col("advised_kg_then"), col("limited_by_then"), col("status_then")}}
	for i := range b.Units {
		then := &b.Units[i]
		now := unitOf(a, then.Pair)
		if now == nil || !named(then.Species) {
			continue
		}
		kgNow, kgThen, by := yearKg(now), yearKg(then), "-"
		if then.Basis != nil {
			by = string(then.Basis.Year.LimitedBy)
		}
		status := then.Growth.Status
		if then.Reason != "" {
			status = then.Reason
		}
		t.Add(table.Text(then.Bed), table.Text(then.Species), told(now.Growth.R), told(then.Growth.R), told(now.Growth.K), told(then.Growth.K),
			kg(kgNow), kg(kgThen), table.Text(by), table.Text(status))
		m.Add(table.Text(then.Bed), table.Text(then.Species), median(now.Growth.R.Median), median(then.Growth.R.Median), median(now.Growth.K.Median),
			median(then.Growth.K.Median), table.Number(kgNow, 6), table.Number(kgThen, 6), table.Text(by), table.Text(status))
	}
	for _, tr := range trials {
		t.Notes = append(t.Notes, tr.words())
	}
	v := screen{machine: m, people: []table.Table{t}, hint: "--save writes these values into species.csv of the survey folder"}
	if c.Save {
		said := ""
		err := e.writing(func() (err error) {
			said, err = c.save(o, a, trials)
			return err
		})
		if err != nil {
			return screen{}, err
		}
		e.note(said)
		v.hint = fmt.Sprintf("bedstock rules %s prints the values in force and their source", typed(c.Survey))
	}
	return v, nil
}

func median(v float64) table.Cell {
	if !(v > 0) {
		return table.Missing
	}
	return table.Number(v, 6)
}

// yearKg is the offtake of the year that is advised; NaN: none.
func yearKg(u *model.Unit) float64 {
	if u.Basis == nil {
		return math.NaN()
	}
	return u.Basis.Year.AdvisedKg
}

// unitOf is the unit of a pair; nil: it is not assessed.
func unitOf(a *model.Assessment, p model.Pair) *model.Unit {
	for i := range a.Units {
		if a.Units[i].Pair == p {
			return &a.Units[i]
		}
	}
	return nil
}
