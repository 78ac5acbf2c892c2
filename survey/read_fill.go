package survey

import (
	"slices"
	"strings"
)

// filling fills blank cells from the row above, where the rules of a folder ask for it.
type filling struct {
	places []int    // of the columns to be filled
	above  []string // what stood there last
}

// dittoMarks stand for the cell above.
var dittoMarks = []string{`"`, "''", "\u201d", "\u3003", "ditto", "do.", `-"-`, "-''-"}

// fillDown has the blank cells of the given columns filled from the row above. Columns that the table does not have are
// passed over: what is said of all tables need not fit each.
func (r *rowReader) fillDown(names []string) {
	for k := range r.spec.columns {
		c := &r.spec.columns[k]
		if i := r.columns[k]; i >= 0 && c.fillable() && slices.Contains(names, c.name) {
			if r.fill == nil {
				r.fill = &filling{}
			}
			r.fill.places = append(r.fill.places, i)
			r.fill.above = append(r.fill.above, "")
		}
	}
}

// fillRow fills the blank cells of a record, or keeps those that are not for the next.
func (r *rowReader) fillRow(record []string) {
	for k, i := range r.fill.places {
		if i >= len(record) {
			continue
		}
		if s := record[i]; s != "" && !slices.Contains(dittoMarks, strings.ToLower(s)) {
			r.fill.above[k] = s
		} else if above := r.fill.above[k]; above != "" {
			record[i] = above
			r.dialect.Filled++
		}
	}
}

// totalWords begin or end the label of a row of totals.
var totalWords = []string{"total", "totals", "subtotal", "sum", "mean", "average"}

// isTotal notes a row that adds up the rows above it: it would be counted with them.
func (r *rowReader) isTotal(record []string) bool {
	for _, k := range r.labels {
		s := r.cell(record, k)
		if n := len(s); n < 3 || !totalEnd[s[n-1]|0x20] || !totalWord(s) {
			continue
		}
		r.found.fault(r.spec.file, r.line, r.spec.columns[k].name, "delete the row, or set it aside in setaside.csv",
			"%q: a row of totals would be counted with the rows that it adds up", s)
		return true
	}
	return false
}

// totalEnd holds the last letters of totalWords.
var totalEnd = [256]bool{'l': true, 's': true, 'm': true, 'n': true, 'e': true, ':': true}

// totalWord says whether a label is that of a row of totals, as Total, Grand total, Total: or Skarn Total.
func totalWord(s string) bool {
	s = strings.TrimRight(s, ": ")
	last := s[strings.LastIndexByte(s, ' ')+1:]
	i := slices.IndexFunc(totalWords, func(w string) bool { return strings.EqualFold(w, last) })
	switch {
	case i < 0:
		return false
	case len(last) == len(s):
		return true
	}
	return strings.HasSuffix(totalWords[i], "total") && strings.Count(s, " ") <= 2
}

// labelColumns are the columns in which a row of totals says that it is one.
func (r *rowReader) labelColumns() {
	for k, c := range r.spec.columns {
		if r.columns[k] >= 0 && slices.Contains([]string{"bed", "stratum", "transect", "quadrat", "species", "plot", "date"}, c.name) {
			r.labels = append(r.labels, k)
		}
	}
}
