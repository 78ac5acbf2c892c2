package survey

import (
	"encoding/csv"
	"strings"
)

// records gives the records of a table as they stand, one after the other, and says where they stand. A record is good
// until the next.
type records interface {
	next() ([]string, error) // [io.EOF] after the last; a [csv.ParseError] is torn and can be passed over
	line() int               // of the last record
	column(i int) int        // byte column of a cell of the last record
}

// tableText is a table as it stands: UTF-8 text without byte-order mark, or the cells of a sheet of a workbook.
type tableText struct {
	text string
	sep  byte // between cells; 0: not known yet, or a sheet
	skip int  // lines above the header

	quotes int                    // 1: none, 2: some; 0: not known yet
	again  func() (string, error) // reads the text once more where it was let go

	sheet *sheet
	width int         // of the sheet, in columns, from the header on
	mark  decimalMark // with which the sheet's numbers are handed on
	late  bool        // day numbers count from 1904
}

// records starts at the header.
func (t *tableText) records() records {
	if t.sheet != nil {
		return t.sheetRecords(false)
	}
	r := csv.NewReader(strings.NewReader(afterLines(t.text, t.skip)))
	r.FieldsPerRecord, r.ReuseRecord, r.Comma = -1, true, rune(t.sep)
	return &quotedRecords{Reader: r, skip: t.skip}
}

// longerThan says whether most of the first rows below the header have more cells than that.
func (t *tableText) longerThan(header int) bool {
	if t.sheet != nil {
		return false
	}
	rows := t.records()
	if _, err := rows.next(); err != nil {
		return false
	}
	longer, n := 0, 0
	for ; n < 9; n++ {
		row, err := rows.next()
		if err != nil {
			break
		}
		if len(row) > header {
			longer++
		}
	}
	return n > 1 && 2*longer > n
}

// rest reads on after the last record. A text without quotes is split at its separators, several times faster.
func (t *tableText) rest(last records) records {
	if t.sheet != nil || t.quoted() {
		return last
	}
	return newLineSplitter(t.text, t.sep, last.line())
}

// quoted says whether there is a quote anywhere.
func (t *tableText) quoted() bool {
	if t.quotes == 0 {
		t.quotes = 1
		if hasByte(t.text, '"') {
			t.quotes = 2
		}
	}
	return t.quotes == 2
}

// unsettled gives the records below the header as far as they may be written in several ways; nil where there is no
// header.
func (t *tableText) unsettled() records {
	rows := t.records()
	if t.sheet != nil {
		rows = t.sheetRecords(true)
	}
	if _, err := rows.next(); err != nil {
		return nil
	}
	return t.rest(rows)
}

// capacity bounds how many rows there can be, by the lines and by the separators that every row needs.
func (t *tableText) capacity(columns int) int {
	if t.sheet != nil {
		return min(len(t.sheet.rows), maxRows) + 1
	}
	return rowsWithin(t.text, countLines(t.text), columns)
}

// rowsWithin is how many rows there can be in a text with so many ends of lines.
func rowsWithin(text string, ends, columns int) int {
	lines := ends
	if !strings.HasSuffix(text, "\n") {
		lines++
	}
	return min(lines, len(text)/max(1, columns)+1, maxRows+1)
}

// quotedRecords reads records whose cells may stand in quotes.
type quotedRecords struct {
	*csv.Reader
	skip int // lines above its text
}

func (q *quotedRecords) next() ([]string, error) {
	record, err := q.Read()
	if pe, ok := err.(*csv.ParseError); ok {
		torn := *pe
		torn.StartLine, torn.Line = pe.StartLine+q.skip, pe.Line+q.skip
		return nil, &torn
	}
	return record, err
}

func (q *quotedRecords) line() int {
	line, _ := q.FieldPos(0)
	return line + q.skip
}

func (q *quotedRecords) column(i int) int {
	_, at := q.FieldPos(i)
	return at
}
