package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"bedstock/cmd/bedstock/internal/sheets"
	"bedstock/model"
	"bedstock/model/plan"
	"bedstock/survey"
)

// addSheets adds a field sheet a bed to the files of a plan, the empty quadrats.csv of their rows, and the rows of
// surveys.csv for beds whose surveys are listed there.
func addSheets(files map[string][]byte, p plan.Plan, laid *model.Laid, o *opened, note func(string)) error {
	var list []sheets.Sheet
	for _, b := range p.Beds {
		s := sheetOf(b, o)
		if len(s.Quadrats) == 0 {
			continue
		}
		if laid != nil {
			s.Visits = visitsOf(*laid, b.Bed)
		}
		page, err := sheets.HTML(s)
		if err != nil {
			return err
		}
		list = append(list, s)
		files[fmt.Sprintf("sheets/%02d-%s.html", len(list), plainName(b.Bed))] = page
	}
	if len(list) > 0 {
		form := formOf(o.folder, "quadrats.csv")
		text, more := sheets.Rows(form, list)
		files["quadrats.csv"] = text
		if form.Header != nil && len(more) > 0 {
			note("the folder's quadrats.csv has no " + strings.Join(more, ", ") + ": add these columns at the end of its header before rows of the plan's quadrats.csv are put below it")
		}
	}
	listed := slices.DeleteFunc(list, func(s sheets.Sheet) bool {
		return !slices.ContainsFunc(o.folder.Surveys, func(d survey.Declared) bool { return d.Bed == s.Bed })
	})
	if len(listed) > 0 {
		files["surveys.csv"] = sheets.Surveys(formOf(o.folder, "surveys.csv"), listed)
	}
	return nil
}

// sheetOf lays the plan of a bed out on a sheet, in the order in which it is walked.
func sheetOf(b plan.Bed, o *opened) sheets.Sheet {
	s := sheets.Sheet{Bed: b.Bed, QuadratM2: b.QuadratM2, Tides: b.Tides, Species: sheetSpecies(b, o.folder), Invented: o.invented}
	for _, d := range o.folder.Dialects {
		if d.File == "quadrats.csv" {
			s.Dates = d.Dates
		}
	}
	for _, x := range o.folder.Beds {
		if x.ID == b.Bed {
			s.Name = x.At(o.folder.AsOf).Name
		}
	}
	for _, x := range places(plan.Plan{Beds: []plan.Bed{b}}) {
		if x.kind == "quadrat" {
			s.Quadrats = append(s.Quadrats, sheets.Quadrat{Stratum: x.stratum, Transect: x.transect, Quadrat: x.quadrat, Weigh: x.weigh, Where: whereTo(x.at)})
		}
	}
	return s
}

// whereTo says in words where a quadrat lies.
func whereTo(at plan.Point) string {
	switch {
	case !math.IsNaN(at.Along) && !math.IsNaN(at.Up):
		return fmt.Sprintf("%.0f m along, %.0f m up", at.Along, at.Up)
	case !math.IsNaN(at.AlongShare) && !math.IsNaN(at.UpShare):
		return fmt.Sprintf("%.0f %% along, %.0f %% up", 100*at.AlongShare, 100*at.UpShare)
	}
	return ""
}

// sheetSpecies lists the species to look for on a bed: those its last declared survey sought, else those found on it
// before, and those the plan is made for; on a bed of which nothing is known those of the whole folder. Sorted.
func sheetSpecies(b plan.Bed, f *survey.Folder) []sheets.Species {
	var names []string
	last := survey.NoDay
	for _, d := range f.Surveys {
		if d.Bed == b.Bed && d.Sought != nil && (last == survey.NoDay || d.To > last) {
			last, names = d.To, slices.Clone(d.Sought)
		}
	}
	if names == nil {
		found := map[uint32]bool{}
		for i, id := range f.Quadrats.Species {
			if id != 0 && !found[id] && f.Names[f.Quadrats.Bed[i]] == b.Bed && (f.Quadrats.Cover[i] > 0 || f.Quadrats.Biomass[i] > 0) {
				found[id] = true
				names = append(names, f.Names[id])
			}
		}
	}
	for _, x := range b.Species {
		if x.Planned && slices.Contains(f.NamedSpecies(), x.Species) {
			names = append(names, x.Species)
		}
	}
	if len(names) == 0 {
		names = f.NamedSpecies()
	}
	slices.Sort(names)
	var out []sheets.Species
	for _, name := range slices.Compact(names) {
		sp := sheets.Species{Name: name}
		for _, row := range f.Species {
			if row.Name == name {
				sp.Common = row.CommonName
			}
		}
		out = append(out, sp)
	}
	return out
}

// formOf is how a table of the folder is written, the zero form where it has none, it is a sheet of a workbook or a
// mapping reads it.
func formOf(f *survey.Folder, table string) (form sheets.Form) {
	for _, d := range f.Dialects {
		if d.File != table || d.Book != "" || f.Headers[table] == nil {
			continue
		}
		form.Header, form.DecimalComma, form.Windows1252 = f.Headers[table], d.Decimal == "comma", d.Encoding == "windows-1252"
		switch d.Separator {
		case "semicolon":
			form.Separator = ';'
		case "tab":
			form.Separator = '\t'
		}
	}
	return form
}

// plainName is a name as part of the name of a file: letters and digits, anything else a hyphen.
func plainName(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return '-'
	}, name)
}
