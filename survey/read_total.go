package survey

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// dittoMarks stand for the cell above, in small letters.
var dittoMarks = []string{`"`, `""`, "''", "\u201c", "\u201d", "\u201e", "\u2033", "\u3003", "ditto", "do.", "-do-", "dto", "dto.", "id.", "idem",
	`-"-`, "-''-", "-\u201d-", "as above", "same", "same as above"}

// longestDitto is the length of the longest of them.
const longestDitto = 13

// dittoStart holds them by their first byte, letters in both cases.
var dittoStart = dittosByStart()

func dittosByStart() (out [256][]string) {
	for _, m := range dittoMarks {
		starts := []byte{m[0]}
		if 'a' <= m[0] && m[0] <= 'z' {
			starts = append(starts, m[0]-'a'+'A')
		}
		for _, b := range starts {
			out[b] = append(out[b], m)
		}
	}
	return out
}

// isDitto says whether a cell stands for the one above.
func isDitto(s string) bool {
	return s != "" && len(s) <= longestDitto &&
		slices.ContainsFunc(dittoStart[s[0]], func(m string) bool { return strings.EqualFold(m, s) })
}

// totalWords end the label of a row of totals.
var totalWords = []string{"total", "totals", "subtotal", "sum", "mean", "average"}

// labelled are the columns in which a row of totals says that it is one.
var labelled = []string{"bed", "stratum", "transect", "quadrat", "species", "plot", "date"}

// labelColumns finds the columns in which marks for the cell above and labels of totals are looked for.
func (r *rowReader) labelColumns() {
	for k := range r.spec.columns {
		if c := r.spec.oursAt(k); r.columns[k] >= 0 && (c.fillable() || c.name == "species") {
			r.labels = append(r.labels, k)
		}
	}
}

// oursAt is the column of ours that one of a foreign file stands for, of our own files the column itself.
func (t *tableSpec) oursAt(k int) *column {
	if ours := t.ours[t.columns[k].name]; ours != nil {
		return ours
	}
	return &t.columns[k]
}

// isTotal notes a row that adds up the rows above it, which would be counted with them, or has marks that stand for the
// cell above. What a mapping takes for a word of its own is neither.
func (r *rowReader) isTotal(record []string, taken func(column *column, cell string) bool) bool {
	for _, k := range r.labels {
		if r.repeated(k) {
			continue // it was looked at
		}
		s := r.cell(record, k)
		ends := len(s) >= 3 && endsAsTotal(s[len(s)-2], s[len(s)-1])
		if s == "" || dittoStart[s[0]] == nil && !ends {
			continue
		}
		c := r.spec.oursAt(k)
		switch {
		case isDitto(s):
			if taken == nil || !taken(c, s) {
				r.found.fault(r.spec.file, r.line, r.spec.columns[k].name, r.dittoHint(k), "%s seems to stand for the cell above", dittoWords(s))
				return true
			}
		case !ends || r.spec == &setAsideTable || !slices.Contains(labelled, c.name) || !totalWord(s): // a row that names one adds up none
		case taken == nil || !taken(c, s):
			r.found.fault(r.spec.file, r.line, r.spec.columns[k].name, r.totalHint(k, s),
				"%q: a row of totals would be counted with the rows that it adds up", s)
			return true
		}
	}
	return false
}

// totalHint says what to do with a row of totals.
func (r *rowReader) totalHint(k int, label string) string {
	if !r.spec.foreign {
		return "delete the row, or set it aside in setaside.csv"
	}
	head := r.spelled[r.columns[k]]
	return fmt.Sprintf("delete the row, or leave it out: rules.toml, [read.%q]: except = {%q = %q}", r.spec.file, head, label)
}

// dittoWords quotes a mark that is no quote itself.
func dittoWords(s string) string {
	if strings.ContainsAny(s, "\"'") {
		return "the mark " + s
	}
	return strconv.Quote(s)
}

// dittoHint says how a mark for the cell above can be read.
func (r *rowReader) dittoHint(k int) string {
	c := r.spec.oursAt(k)
	switch {
	case !c.fillable():
		return "write it in every row"
	case r.spec.columns[k].fills:
		return nothingAbove(c)
	}
	return "write it in every row, or have such marks and blanks filled: rules.toml, [input]: fill_down = [" + strconv.Quote(c.name) + "]"
}

// nothingAbove says what to do with a cell that is to be filled from above, where nothing stands above it.
func nothingAbove(c *column) string {
	if slices.Contains([]string{"stratum", "transect", "quadrat"}, c.name) {
		return "write it in this row: fill_down has nothing above it in this bed to fill it from"
	}
	return "write it in this row: fill_down has nothing above it to fill it from"
}

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
