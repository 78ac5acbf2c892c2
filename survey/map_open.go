package survey

import (
	"fmt"
	"slices"
	"strings"
)

// listMapped looks the files of the mapping up and checks it as far as it can be without them.
func (r *reading) listMapped() {
	m := &r.opt.Mapping
	for _, f := range m.Files {
		r.found.files[f.Table] = f.Name
		if isBook(f.Name) && r.files[f.Name] != nil {
			r.found.unread[f.Table] = true
			r.found.noteAt(f.At, fmt.Sprintf("as %q: the name of the sheet stands behind that of the workbook", f.Name+"[Sheet1]"), "%s is a workbook: it must be said which of its sheets is %s", f.Name, f.Table)
		} else if !r.has(f.Name) {
			r.found.unread[f.Table] = true
			var names []string
			for name := range r.files {
				names = append(names, name)
			}
			for name := range r.books {
				names = append(names, name)
			}
			slices.Sort(names)
			r.found.noteAt(f.At, r.namedHint(f.Name, names), "%s is to be read from %s, but the folder has no such file", f.Table, f.Name)
		} else if r.files[f.Table] != nil {
			r.found.note(finding{file: f.At.File, line: f.At.Line, at: f.At.Column, severity: Doubt, hint: "remove or rename " + f.Table + ", or take this out"},
				"the folder has %s too, which is not read: %s is", f.Table, f.Name)
		}
	}
	for i := range m.Tables {
		t := &m.Tables[i]
		spec := tableOf(t.Table)
		if spec == nil {
			r.found.noteAt(t.At, fileHint(t.Table), "a survey folder has no table %q", t.Table)
			continue
		}
		made := newMappedTable(spec, t, m, r.found)
		if made == nil {
			r.found.unread[t.Table] = true
			continue
		}
		if !r.has(m.file(t.Table)) && m.file(t.Table) == t.Table && !spec.needed {
			r.found.noteAt(t.At, "take the mapping out, or name the file in [files]", "there is no %s to be read by this", t.Table)
		}
		made.name = r.found.fileOf(t.Table)
		r.found.mapped[t.Table] = made
	}
}

// namedHint is a hint with the file or sheet that was perhaps meant by a name, also by that of a sheet alone.
func (r *reading) namedHint(name string, names []string) string {
	for _, called := range names {
		if s := r.books[called]; s != nil && strings.EqualFold(strings.TrimSuffix(name, ".csv"), s.name) {
			return "did you mean " + called + "?"
		}
	}
	return didYouMean(name, names)
}

// mapping is how a table is read, nil where as it stands; false: its mapping has a fault.
func (r *reading) mapping(spec *tableSpec) (*mappedTable, bool) {
	if r.found.unread[spec.file] {
		return nil, false
	}
	t := r.found.mapped[spec.file]
	if t == nil {
		if len(r.opt.Mapping.Species) == 0 || spec == &speciesTable || spec.find("species") == nil && spec.find("species_sought") == nil {
			return nil, true
		}
		t = namesOnly(spec, &r.opt.Mapping)
		t.name = r.found.fileOf(spec.file)
		r.found.mapped[spec.file] = t
	}
	if t.m.Join != nil {
		if t.join = r.readJoin(t.m.Join, t); t.join == nil {
			r.found.unread[spec.file] = true
			return nil, false
		}
	}
	if t.wide != nil {
		t.wide.known = r.names
	}
	r.mapped = append(r.mapped, t)
	return t, true
}

// namesOnly is the mapping of a table of which only the species have other names.
func namesOnly(spec *tableSpec, m *Mapping) *mappedTable {
	t := newMappedTable(spec, &TableMap{Table: spec.file}, m, &findings{})
	t.own = spec
	return t
}

// reads says whether a file of the folder is read under a name of its own.
func (m *Mapping) reads(name string) bool {
	for _, f := range m.Files {
		if f.Name == name {
			return true
		}
	}
	for _, t := range m.Tables {
		if t.Join != nil && t.Join.File == name {
			return true
		}
	}
	return false
}

// fileOf is the name that a table has in the folder: that of a file, or of a sheet with its workbook.
func (fs *findings) fileOf(table string) string {
	if name, ok := fs.files[table]; ok {
		return name
	}
	return table
}

// inputOf is the file that holds a table.
func (fs *findings) inputOf(table string) string {
	name := fs.fileOf(table)
	if book, ok := fs.books[name]; ok {
		return book
	}
	return name
}

// ownHeaders gives findings the headers of the file that their columns are made of.
func (t *mappedTable) ownHeaders(list []finding) {
	if t == nil {
		return
	}
	for i := range list {
		if c := t.find(list[i].column); c != nil && len(c.heads) > 0 && list[i].own == "" {
			list[i].own = foldHeader(c.heads[0])
		}
	}
}

func (t *mappedTable) find(column string) *mappedColumn {
	for i := range t.cols {
		if t.cols[i].ColumnMap != nil && t.cols[i].Column == column {
			return &t.cols[i]
		}
	}
	return nil
}

// ownPlace names a problem of a table after the file and header it came from.
func (t *mappedTable) ownPlace(p Problem, f finding, file string) Problem {
	p.File = file
	if t == nil {
		return p
	}
	c := t.find(f.column)
	if c == nil {
		return p
	}
	if c.Form != "" {
		p.Text = strings.Replace(p.Text, othersISO, "", 1)
	}
	switch {
	case c.Cells, c.Header:
		if f.read != "" && f.own != "" && !strings.Contains(p.Text, f.read) && (c.Unit != "" || c.Form != "") {
			p.Text += fmt.Sprintf(" (here %q)", f.read)
		}
	case c.Fixed:
		p.Text += fmt.Sprintf(" (%s is %q by %s:%d)", c.Column, c.Value, c.At.File, c.At.Line)
	case f.at > 0 && f.read != "" && (c.Form != "" || c.Unit != "" || c.Per != "" || c.Times != ""):
		p.Text += fmt.Sprintf(" (%s is made of %s, here %q)", c.Column, c.Origin(), f.read)
	default:
		p.Text += fmt.Sprintf(" (%s is made of %s)", c.Column, c.Origin())
	}
	if c.class != nil && strings.Contains(p.Text, "is not a number") {
		p.Text = strings.Replace(strings.Replace(p.Text, ` " is not a number`, `" is not a number`, 1), "is not a number", "is no class of cover", 1)
		p.Hint = c.class.hint()
	}
	if c.Form != "" && strings.Contains(p.Text, "is not a date") && p.Hint != noSuchDay {
		p.Hint = fmt.Sprintf("mend the date, or the form in %s:%d", c.At.File, c.At.Line)
	}
	return p
}
