package survey

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// rowReader reads the records of one file whose header was checked. Records that cannot be used (torn quotes, wrong
// number of cells) are noted and passed over; blank rows and rows set aside are passed over.
//
// It stands in for a [csv.Reader]: names of the header are folded, cells trimmed.
type rowReader struct {
	text    *tableText
	records records
	spec    *tableSpec
	found   *findings
	aside   []*asideRule

	header  []string      // folded names as in the file
	columns []int         // place of each column of spec in a record, -1 where the file has none
	unnamed []int         // places in the header without a name
	flawed  []int         // places in the header that hold none, which was said
	others  []int         // places in the header that a mapping leaves alone
	spelled []string      // the header as in the file
	first   string        // its first cell
	headed  int           // line of the header
	line    int           // line of the last record
	lines   []int         // of all records that ReadAll returned
	repeats *lineSplitter // the records, where it tells what a record repeats
	good    bool          // the last record could be used
	same    int           // how many of its cells repeat those of a record before it that could be used
	rows    int           // rows that are not blank
	most    int           // see [rowReader.mostRows]; 0: not known yet
	limit   int           // how many are read
	longer  bool          // most rows have more cells than the header: blank ones at the end, by the way it was saved
	commas  bool          // its cells are separated by commas
	ended   bool          // another table began
	mapped  *mappedRows   // where the file is read by a mapping
	fill    *filling      // nil: nothing is filled down
	labels  []int         // columns in which a row of totals says that it is one
	dialect Dialect       // how the table is written
	partial bool          // columns are missing or doubled: cells are checked, rows are not kept
}

// newRowReader checks the header of a table and finds out how its cells are written; nil where it cannot be read on.
func newRowReader(t *tableText, spec *tableSpec, rules InputRules, found *findings) *rowReader {
	r := &rowReader{text: t, records: t.records(), spec: spec, found: found, limit: spec.limit()}
	header, err := r.records.next()
	if err != nil {
		r.torn(err)
		return nil
	}
	if !narrow(len(header), r.records.line(), spec, found) {
		return nil
	}
	r.headerWhole(header)
	r.spelled, r.first = slices.Clone(header), strings.TrimSpace(header[0])
	for _, s := range header {
		r.header = append(r.header, foldHeader(s))
	}
	if !r.named() {
		return nil
	}
	r.headed = r.records.line()
	r.partial = !r.checkHeader()
	r.longer, r.commas = t.longerThan(len(header)), t.sep == ','
	r.records = t.rest(r.records)
	r.writtenAs(t, rules)
	r.fillDown(rules.FillDown)
	r.labelColumns()
	return r
}

// mostRows is how many rows there can be.
func (r *rowReader) mostRows() int {
	if r.most == 0 {
		r.most = r.text.capacity(len(r.header))
	}
	return r.most
}

// Read returns the next usable record, trimmed, or [io.EOF].
func (r *rowReader) Read() ([]string, error) {
	if r.mapped != nil {
		record, err := r.mapped.read(r)
		if r.full() {
			return nil, io.EOF
		}
		return record, err
	}
	for {
		record, err := r.next()
		if err == io.EOF || r.ended {
			return nil, io.EOF
		}
		if r.same = 0; r.repeats != nil && r.good {
			r.same = r.repeats.same
		}
		r.good = false
		if err == nil {
			r.good = r.usable(record)
		} else {
			r.rows++
			r.torn(err)
		}
		if r.full() {
			return nil, io.EOF
		}
		if r.good {
			return record, nil
		}
	}
}

// next reads a record as it stands.
func (r *rowReader) next() ([]string, error) {
	record, err := r.records.next()
	if err == nil {
		r.line = r.records.line()
	}
	return record, err
}

// usable trims a record and says whether it is a row to be read.
func (r *rowReader) usable(record []string) bool {
	blank, long := true, false
	for i := 0; i < r.same && blank; i++ { // these were looked at
		blank = record[i] == ""
	}
	for i := r.same; i < len(record); i++ {
		s := record[i]
		if s == "" {
			continue
		}
		if t := trim(s); len(t) < len(s) {
			record[i] = t
		}
		blank = blank && record[i] == ""
		long = long || len(s) > maxCell
	}
	if blank || r.pasted(record) {
		return false
	}
	r.rows++
	if r.fill != nil {
		r.fillRow(record)
	}
	return !r.setAside(record) && r.even(record) && r.whole(record) && (!long || r.short(record)) && (r.spec.foreign || !r.isTotal(record, nil))
}

// trim is [strings.TrimSpace], quicker where there is nothing to trim.
func trim(s string) string {
	if a, b := s[0], s[len(s)-1]; ' ' < a && a < 0x80 && ' ' < b && b < 0x80 {
		return s
	}
	return strings.TrimSpace(s)
}

// ReadAll returns the folded header and all usable records.
func (r *rowReader) ReadAll() ([][]string, error) {
	all := [][]string{r.header}
	for {
		record, err := r.Read()
		if err == io.EOF {
			return all, nil
		}
		all = append(all, slices.Clone(record))
		r.lines = append(r.lines, r.line)
	}
}

// torn notes a record that cannot be told apart from the next.
func (r *rowReader) torn(err error) {
	pe, ok := errors.AsType[*csv.ParseError](err)
	if !ok {
		panic(fmt.Sprintf("survey: reading text: %v", err))
	}
	hint := `put a quote inside a cell twice ("") and quotes around the cell`
	f := finding{file: r.spec.file, line: pe.Line, at: pe.Column, hint: hint, lost: true}
	switch {
	case errors.Is(err, csv.ErrBareQuote):
		r.found.note(f, "a quote inside a cell without quotes around it")
	case pe.StartLine != pe.Line:
		f.line, f.at = pe.StartLine, 0
		r.found.note(f, "quotes opened in this row do not close as they should; line %d is read as part of it", pe.Line)
	default:
		r.found.note(f, "quotes around a cell do not close as they should")
	}
}

// even notes a record that has not as many cells as the header; blank cells too many do no harm.
func (r *rowReader) even(record []string) bool {
	n := len(r.header)
	cells := len(record)
	for i := len(record); i > n && record[i-1] == ""; i-- {
		record = record[:i-1]
	}
	if len(record) == n && cells > n && r.commas && !r.longer && r.parted(record) {
		r.found.note(finding{file: r.spec.file, line: r.line, lost: true, hint: "write 1.5 for 1,5, or put quotes around a text with a comma in it; if nothing is parted, take the comma at the end away"},
			"has %d cells, blank ones at the end, and the header has %d: did a comma within a cell part it, and move the others along?", cells, n)
		return false
	}
	if len(record) != n {
		mark := wordOf(r.text.sep)
		hint := "a row has as many cells as the header; blank ones keep their " + mark
		if len(record) > n {
			hint = "put quotes around a text with a " + mark + " in it"
			if r.commas {
				hint += "; write numbers with a decimal point"
			}
		}
		r.found.note(finding{file: r.spec.file, line: r.line, hint: hint, lost: true}, "has %d cells, the header has %d",
			len(record), n)
		return false
	}
	for _, i := range r.unnamed {
		if record[i] != "" {
			r.found.note(finding{file: r.spec.file, line: r.line, at: r.records.column(i), lost: true,
				hint: "give the column a name, or empty the cell"}, "%q stands in a column without a name", record[i])
			return false
		}
	}
	return true
}

// parted says whether a number may have been parted at its decimal comma: two cells of figures alone stand side by side,
// the first in a column of numbers.
func (r *rowReader) parted(record []string) bool {
	for k := range r.spec.columns {
		c := r.spec.oursAt(k)
		if i := r.columns[k]; i >= 0 && i+1 < len(record) && c.kind == numberKind && onlyDigits(record[i]) && onlyDigits(record[i+1]) {
			return true
		}
	}
	return false
}

// repeated says whether the cell of a column is that of the record returned before.
func (r *rowReader) repeated(column int) bool {
	i := r.columns[column]
	return 0 <= i && i < r.same
}

// cell is the cell of the column with that index in the description of the file, blank where the file or a record that
// is too short has none.
func (r *rowReader) cell(record []string, column int) string {
	if i := r.columns[column]; i >= 0 && i < len(record) {
		return record[i]
	}
	return ""
}
