package survey

import (
	"cmp"
	"slices"
	"strings"
)

// asideRule is a row of setaside.csv at work: rows of its file that agree with every cell given are left out.
type asideRule struct {
	file, bed, date, quadrat, species string // blank: any; species folded
	rows                              int
	refused                           bool
}

// setAside says whether a record is left out. A record that several rules name counts for the first of them.
func (r *rowReader) setAside(record []string) bool {
	for _, rule := range r.aside {
		if rule.agrees(r, record) {
			rule.rows++
			return true
		}
	}
	return false
}

func (a *asideRule) agrees(r *rowReader, record []string) bool {
	for i, c := range r.spec.columns {
		want := ""
		switch c.name {
		case "bed":
			want = a.bed
		case "date":
			want = a.date
		case "quadrat":
			want = a.quadrat
		case "species":
			want = a.species
		}
		if want == "" {
			continue
		}
		got := r.cell(record, i)
		if c.name == "species" {
			got = foldSpecies(got)
		}
		if got != want && (c.name != "date" || !sameDay(&c, got, want)) {
			return false
		}
	}
	return true
}

// sameDay says whether a date of the file is the given one in other words.
func sameDay(c *column, got, iso string) bool {
	d, bad := c.day(got)
	return bad == nil && d.String() == iso
}

// readSetAside reads setaside.csv; the rules take effect on the files read after it.
func (r *reading) readSetAside() {
	type row struct {
		File    textCell `csv:"file"`
		Bed     textCell `csv:"bed"`
		Date    dayCell  `csv:"date"`
		Quadrat textCell `csv:"quadrat"`
		Species textCell `csv:"species"`
		Reason  textCell `csv:"reason"`
		By      textCell `csv:"by"`
		On      dayCell  `csv:"on"`
	}
	rows, lines := readSmall[row](r, &setAsideTable)
	for i, w := range rows {
		s := SetAside{File: w.File.s, Bed: w.Bed.s, Quadrat: w.Quadrat.s, Species: w.Species.s, Day: w.Date.Day,
			Reason: w.Reason.s, By: w.By.s, On: w.On.Day, Line: lines[i]}
		rule := &asideRule{file: s.File, bed: s.Bed, date: s.Day.String(), quadrat: s.Quadrat, species: foldSpecies(s.Species)}
		if r.asideFits(s, w.Date.raw) {
			table := r.tableNamed(s.File)
			r.aside[table] = append(r.aside[table], rule)
		} else {
			rule.refused = true
		}
		r.f.SetAside = append(r.f.SetAside, s)
		r.asideRules = append(r.asideRules, rule)
	}
}

// tableNamed is the table of ours that has that name in the folder, as a file or a sheet; other names are given back.
func (r *reading) tableNamed(name string) string {
	for table, s := range r.sheets {
		if s.called() == name {
			return table
		}
	}
	return r.opt.Mapping.tableOf(name)
}

// asideFits checks that the rule names a table and only columns that the table has.
func (r *reading) asideFits(s SetAside, date string) bool {
	if s.File == "" || (date != "" && s.Day == NoDay) {
		return false // noted already
	}
	spec := tableOf(r.tableNamed(s.File))
	if spec == nil || spec == &setAsideTable {
		r.found.fault("setaside.csv", s.Line, "file", fileHint(s.File), "%q is not a table whose rows can be set aside", s.File)
		return false
	}
	ok := true
	for _, c := range []struct{ name, given string }{
		{"bed", s.Bed}, {"date", date}, {"quadrat", s.Quadrat}, {"species", s.Species},
	} {
		if c.given != "" && spec.find(c.name) == nil {
			r.found.fault("setaside.csv", s.Line, c.name, "leave the cell blank", "%s has no column %s", s.File, c.name)
			ok = false
		}
	}
	return ok
}

// countAside enters how many rows each rule left out.
func (r *reading) countAside() {
	for i, rule := range r.asideRules {
		s := &r.f.SetAside[i]
		switch s.Rows = rule.rows; {
		case rule.refused:
		case s.Rows == 0 && rule.date != "" && r.datesUnsure(s.File): // noted already
		case s.Rows == 0:
			r.found.doubt("setaside.csv", s.Line, "", "bed, date, quadrat and species must be as in the row, or blank for any",
				"no row of %s was left out by this", s.File)
		case s.Rows > 0 && rule.bed+rule.date+rule.quadrat+rule.species == "":
			r.found.doubt("setaside.csv", s.Line, "", "name the bed, date, quadrat or species to leave out less",
				"leaves out all %d rows of %s", s.Rows, s.File)
		}
	}
}

// datesUnsure says whether it cannot be told how the dates of a table are written.
func (r *reading) datesUnsure(file string) bool {
	table := r.tableNamed(file)
	return slices.ContainsFunc(r.tables, func(t *rowReader) bool { return t.spec.file == table && t.dialect.Dates == "" })
}

// fileHint names the table that was perhaps meant.
func fileHint(name string) string {
	var files []string
	for _, t := range surveyTables {
		files = append(files, t.file)
	}
	low := strings.ToLower(name)
	return cmp.Or(didYouMean(low, files), didYouMean(low+".csv", files), "write the name of a file, as quadrats.csv")
}
