package survey

import (
	"slices"
	"strconv"
	"strings"
)

// filling fills blank cells from the row above, where the rules of a folder ask for it.
type filling struct {
	places []int    // of the columns to be filled
	above  []string // what stood there last
	bed    int      // which of them is the bed; -1: none
	within []int    // which of them are places within a bed
}

// dittoMarks stand for the cell above.
var dittoMarks = []string{`"`, "''", "\u201d", "\u3003", "ditto", "do.", "id.", "idem", `-"-`, "-''-"}

// longestDitto is the length of the longest of them.
const longestDitto = 5

// fillDown has the blank cells of the given columns filled from the row above. Columns that the table does not have are
// passed over: what is said of all tables need not fit each.
func (r *rowReader) fillDown(names []string) {
	for k := range r.spec.columns {
		c := &r.spec.columns[k]
		if ours := r.spec.ours[c.name]; ours != nil {
			c = ours
		}
		if i := r.columns[k]; i >= 0 && c.fillable() && slices.Contains(names, c.name) {
			if r.fill == nil {
				r.fill = &filling{bed: -1}
			}
			switch n := len(r.fill.places); c.name {
			case "bed":
				r.fill.bed = n
			case "stratum", "transect", "quadrat":
				r.fill.within = append(r.fill.within, n)
			}
			r.fill.places = append(r.fill.places, i)
			r.fill.above = append(r.fill.above, "")
		}
	}
}

// fillRow fills the blank cells of a record, or keeps those that are not for the next. The strata, transects and quadrats
// of a bed are not those of the next.
func (r *rowReader) fillRow(record []string) {
	for k, i := range r.fill.places {
		if i >= len(record) {
			continue
		}
		if s := record[i]; s != "" && !slices.Contains(dittoMarks, strings.ToLower(s)) {
			if k == r.fill.bed && s != r.fill.above[k] {
				for _, j := range r.fill.within {
					r.fill.above[j] = ""
				}
			}
			r.fill.above[k] = s
		} else if above := r.fill.above[k]; above != "" {
			record[i] = above
			r.dialect.Filled++
		}
	}
}

// totalWords begin or end the label of a row of totals.
var totalWords = []string{"total", "totals", "subtotal", "sum", "mean", "average"}

// isTotal notes a row that adds up the rows above it, which would be counted with them, or has marks that stand for the
// cell above.
func (r *rowReader) isTotal(record []string) bool {
	for _, k := range r.labels {
		s := r.cell(record, k)
		n := len(s)
		if n == 0 || !labelEnd[s[n-1]|0x20] {
			continue
		}
		if n <= longestDitto && slices.ContainsFunc(dittoMarks, func(m string) bool { return strings.EqualFold(m, s) }) {
			r.found.fault(r.spec.file, r.line, r.spec.columns[k].name, dittoHint(&r.spec.columns[k]), "%q seems to stand for the cell above", s)
			return true
		}
		if n < 3 || !endsAsTotal(s[n-2], s[n-1]) || !totalWord(s) {
			continue
		}
		r.found.fault(r.spec.file, r.line, r.spec.columns[k].name, "delete the row, or set it aside in setaside.csv",
			"%q: a row of totals would be counted with the rows that it adds up", s)
		return true
	}
	return false
}

// dittoHint says how a mark for the cell above can be read.
func dittoHint(c *column) string {
	if !c.fillable() {
		return "write it in every row"
	}
	return "write it in every row, or have such marks and blanks filled: rules.toml, [input]: fill_down = [" + strconv.Quote(c.name) + "]"
}

// labelEnd holds the last letters of totalWords and dittoMarks, in small letters.
var labelEnd = [256]bool{'l': true, 's': true, 'm': true, 'n': true, 'e': true, ':': true,
	'"': true, '\'': true, '\x9d' | 0x20: true, '\x83' | 0x20: true, 'o': true, '.': true, '-': true}

// endsAsTotal says whether the last two letters of a label can be those of a word of totalWords.
func endsAsTotal(a, b byte) bool {
	a |= 0x20
	switch b | 0x20 {
	case 'l', 'n':
		return a == 'a'
	case 's':
		return a == 'l'
	case 'm':
		return a == 'u'
	case 'e':
		return a == 'g'
	}
	return b == ':'
}

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
