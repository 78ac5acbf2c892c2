package survey

import (
	"fmt"
	"slices"
	"strings"
)

// checkHeader finds the place of every column. Missing required columns and doubled ones are faults, and so are
// unknown ones that stand for a column which is absent; other unknown ones are doubts. It says whether rows can be kept.
func (r *rowReader) checkHeader() bool {
	spec := r.spec
	r.columns = make([]int, len(spec.columns))
	for i := range r.columns {
		r.columns[i] = -1
	}
	line := r.records.line()
	ok := true
	taken := map[string]bool{} // columns that an unknown one was perhaps meant to be
	for i, name := range r.header {
		f := finding{file: spec.file, line: line, at: r.records.column(i)}
		k := slices.IndexFunc(spec.columns, func(c column) bool { return c.name == name })
		switch {
		case k < 0 && spec.foreign:
			r.others = append(r.others, i)
		case slices.Contains(r.flawed, i):
		case name == "":
			r.unnamed = append(r.unnamed, i)
		case slices.Contains(r.header[:i], name):
			f.hint = "keep one of them"
			r.found.note(f, "column %q stands twice in the header", name)
			r.header[i] = "" // the first is read
			ok = false
		case k < 0 && r.mistaken(name) != nil:
			c := r.mistaken(name)
			taken[c.name] = true
			ok = false
			f.hint = nameHint(c)
			r.found.note(f, "unknown column %q, and there is no column %s", name, c.name)
		case k < 0:
			f.severity, f.hint = Doubt, didYouMean(name, r.absent())
			r.found.note(f, "unknown column %q is not read", name)
		default:
			r.columns[k] = i
		}
	}
	for i, c := range spec.columns {
		if !c.required || r.columns[i] >= 0 {
			continue
		}
		ok = false
		if !taken[c.name] {
			r.found.note(finding{file: spec.file, line: line, hint: missingHint(c)}, "column %q is missing", c.name)
		}
	}
	return ok
}

// named says whether the header names any column; one that does not is noted.
func (r *rowReader) named() bool {
	if r.spec.foreign || slices.ContainsFunc(r.header, func(s string) bool { return r.spec.find(s) != nil }) {
		return true
	}
	f := finding{file: r.spec.file, line: r.records.line(), lost: true}
	mark, quoted := r.otherMarks()
	switch {
	case quoted:
		f.hint = `save it with " around texts, or with nothing around them where no text has a comma in it`
		r.found.note(f, "its cells stand between the marks %s", mark)
	case mark != "":
		f.hint = "save it with commas, semicolons or tabs between the cells (CSV UTF-8)"
		r.found.note(f, "its cells are separated by %s", mark)
	case slices.ContainsFunc(r.header, func(s string) bool { return r.mistaken(s) != nil }):
		return true
	default:
		f.hint = "the first line names the columns, separated by commas, semicolons or tabs: at least " + enumerate(r.spec.required())
		r.found.note(f, "no column of this table is named here: the header is missing, or this is another file")
	}
	return false
}

// otherMarks are the marks between or around the cells of a header that are none of ours, by which it names two columns at
// least; empty where there are none.
func (r *rowReader) otherMarks() (mark string, around bool) {
	names := func(cells []string) bool {
		n := 0
		for _, s := range cells {
			if r.spec.find(foldHeader(s)) != nil {
				n++
			}
		}
		return n > 1
	}
	for _, mark := range []string{"'", "`"} {
		bare := make([]string, len(r.spelled))
		for i, s := range r.spelled {
			bare[i] = strings.Trim(s, mark+" ")
		}
		if names(bare) {
			return mark, true
		}
	}
	whole := strings.Join(r.spelled, ",")
	for _, mark := range []string{"|", ":", "/", "^", "~"} {
		if names(strings.Split(whole, mark)) {
			return mark, false
		}
	}
	if names(strings.Fields(whole)) {
		return "blanks", false
	}
	return "", false
}

// required lists the columns that a table must have.
func (t *tableSpec) required() []string {
	var out []string
	for _, c := range t.columns {
		if c.required {
			out = append(out, c.name)
		}
	}
	return out
}

// absent lists the columns that the header does not name.
func (r *rowReader) absent() []string {
	var out []string
	for _, c := range r.spec.columns {
		if !slices.Contains(r.header, c.name) {
			out = append(out, c.name)
		}
	}
	return out
}

// nameHint says what the column is called and what it holds.
func nameHint(c *column) string {
	unit := ""
	if c.unit != "" {
		unit = ", in " + c.unit
	}
	hint := fmt.Sprintf("did you mean %s%s? %s", c.name, unit, c.about)
	if !c.required {
		hint += " If it is something else, give it a name less like that"
	}
	return hint
}

func missingHint(c column) string {
	if c.unit == "" {
		return "add the column: " + c.about
	}
	return fmt.Sprintf("add the column, in %s: %s", c.unit, c.about)
}

// didYouMean is a hint with the nearest of some names, empty where none is near.
func didYouMean(name string, names []string) string {
	best, least := "", 1+max(1, len(name)/3)
	for _, n := range names {
		d := editDistance(name, n)
		if strings.HasPrefix(n, name+"_") || strings.HasPrefix(name, n+"_") || strings.HasSuffix(n, "_"+name) {
			d = min(d, 1)
		}
		if d < least {
			best, least = n, d
		}
	}
	if best == "" {
		return ""
	}
	return "did you mean " + best + "?"
}

// editDistance is the Levenshtein distance in bytes: the fewest bytes to insert, remove or replace.
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, diagonal+1)
		}
	}
	return row[len(b)]
}

// headerCells is the header of a table as it is spelled, in memory of its own.
func headerCells(t *rowReader) []string {
	out := make([]string, len(t.spelled))
	for i, s := range t.spelled {
		out[i] = strings.Clone(strings.TrimSpace(s))
	}
	return out
}
