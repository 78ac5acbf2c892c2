package survey

import (
	"io"
	"iter"
	"slices"
	"sort"
	"strings"
)

// newSheetText is the table of a sheet, without what is below its header; false where there is no header, which is noted.
func newSheetText(s *sheet, spec *tableSpec, rules InputRules, found *findings) (*tableText, bool) {
	t := &tableText{sheet: s}
	if len(s.rows) == 0 {
		hint := "write at least the header, or remove the sheet"
		if spec.needed {
			hint = "write the header and at least one row"
		}
		found.fault(spec.file, 0, "", hint, "is empty")
		return t, false
	}
	if rules.SkipLines.OK {
		t.skip = int(rules.SkipLines.V)
	} else {
		t.skip = headerLine(s.known(spec))
	}
	i := s.below(t.skip)
	if i == len(s.rows) {
		found.fault(spec.file, 0, "", "skip_lines in rules.toml must be fewer", "has no line below the %d to be passed over", t.skip)
		return t, false
	}
	t.skip = s.rows[i].line - 1 // the header need not be the first of them
	for ; i < len(s.rows); i++ {
		t.width = max(t.width, len(s.row(i)))
	}
	return t, true
}

// known gives the rows by the lines above them, and how many names of columns each holds.
func (s *sheet) known(spec *tableSpec) iter.Seq2[int, int] {
	return func(yield func(int, int) bool) {
		for i, row := range s.rows {
			n := 0
			for _, name := range s.row(i) {
				if spec.find(foldHeader(name)) != nil {
					n++
				}
			}
			if !yield(row.line-1, n) {
				return
			}
		}
	}
}

// row is the cells of a row.
func (s *sheet) row(i int) []string { return s.cells[s.from(i):s.rows[i].to] }

func (s *sheet) from(i int) int {
	if i == 0 {
		return 0
	}
	return s.rows[i-1].to
}

// below is the first row below so many lines.
func (s *sheet) below(lines int) int {
	return sort.Search(len(s.rows), func(i int) bool { return s.rows[i].line > lines })
}

// sheetRecords gives the rows of a sheet. Numbers of its cells are written with the table's mark of decimals, for the
// cells of text beside them may have a decimal comma.
type sheetRecords struct {
	t      *tableText
	at     int  // of the last record
	open   bool // numbers are blank: they tell nothing of how the others are written
	record []string
}

func (t *tableText) sheetRecords(open bool) *sheetRecords {
	return &sheetRecords{t: t, at: t.sheet.below(t.skip) - 1, open: open, record: make([]string, t.width)}
}

func (r *sheetRecords) next() ([]string, error) {
	s := r.t.sheet
	if r.at+1 >= len(s.rows) {
		return nil, io.EOF
	}
	r.at++
	n := copy(r.record, s.row(r.at))
	clear(r.record[n:])
	if r.open || r.t.mark == commaMark {
		r.rewrite()
	}
	return r.record, nil
}

// rewrite writes the numbers of a record with the table's mark, or takes them out.
func (r *sheetRecords) rewrite() {
	for i, kind := range r.kinds() {
		if kind != sureCell {
			continue
		}
		if _, bad := parseNumber(r.record[i]); bad != nil {
			continue // a date
		}
		if r.open {
			r.record[i] = ""
		} else {
			r.record[i] = strings.Replace(r.record[i], ".", ",", 1)
		}
	}
}

// kinds are the kinds of the cells of the last record.
func (r *sheetRecords) kinds() []cellKind {
	s := r.t.sheet
	return s.kinds[s.from(r.at):s.rows[r.at].to]
}

func (r *sheetRecords) line() int { return r.t.sheet.rows[r.at].line }

func (r *sheetRecords) column(i int) int { return i + 1 }

// locateCells turns the column names of findings into the numbers of columns, and adds what the spreadsheet program
// calls the cell.
func (t *tableText) locateCells(list []finding) {
	header := t.header()
	for i := range list {
		f := &list[i]
		if f.line == 0 || f.column == "" && f.at == 0 {
			continue
		}
		row := t.sheet.below(f.line - 1)
		if row == len(t.sheet.rows) {
			continue
		}
		cells := t.sheet.row(row)
		if f.at == 0 {
			if f.at = 1 + slices.Index(header, f.headed()); f.at == 0 {
				continue
			}
			if f.at <= len(cells) {
				f.read = strings.TrimSpace(cells[f.at-1])
			}
		}
		f.cell = cellName(f.at, f.line)
	}
}
