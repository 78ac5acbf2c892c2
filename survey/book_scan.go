package survey

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// A sheet has at most so many rows and columns, by its format.
const (
	sheetRows    = 1 << 20
	sheetColumns = 1 << 14
)

// cellKind says what stands in a cell of a sheet.
type cellKind uint8

const (
	openCell     cellKind = iota // text or nothing: read as in a text file
	sureCell                     // a number with decimal point or an ISO date, in every dialect
	midnightCell                 // an ISO date of a format with hours, whose time is 00:00
	truthCell                    // TRUE or FALSE
	errorCell                    // a formula's error: its word
	noneCell                     // a formula without a result
	longCell                     // too long a text: the number of its characters
	unseenCell                   // a text with a control character: which
)

// sheet is what the cells of a sheet hold, row by row without blank rows and without blank cells at the end of a row.
type sheet struct {
	cells  []string
	kinds  []cellKind
	rows   []sheetRow
	merged []string // areas as B2:B5
	covers []reach  // hidden columns
}

// sheetRow is a row with a cell that is not blank.
type sheetRow struct {
	line   int  // 1-based, as the spreadsheet program counts
	to     int  // end of its cells
	plain  bool // nothing is the matter with its cells
	torn   bool // some of its cells are merged with others
	hidden bool
}

// reach is a range of rows or columns, both ends in it.
type reach struct{ from, to int }

// scanner reads the part of a sheet as a stream.
type scanner struct {
	*sheet

	book *book
	d    *xml.Decoder
	buf  []byte // text of an element
	line int    // of the last row
}

// scanSheet reads the cells of a sheet. Whatever the part holds, the error is one for the user.
func (s *bookSheet) scanSheet() (out *sheet, err error) {
	defer notBook(&err)
	text, ok := s.book.part(s.part)
	if !ok {
		return nil, errBadPart
	}
	sc := &scanner{sheet: &sheet{}, book: s.book, d: xml.NewDecoder(bytes.NewReader(text))}
	sc.d.CharsetReader = s.book.file.CharsetReader
	root, err := sc.start()
	if err == nil && root.Name.Local != "worksheet" {
		err = errBadPart
	}
	if err == nil {
		err = sc.children(sc.parts)
	}
	if err != nil {
		return nil, err
	}
	return sc.sheet, nil
}

// start is the first element.
func (sc *scanner) start() (xml.StartElement, error) {
	for {
		token, err := sc.d.Token()
		if e, ok := token.(xml.StartElement); ok || err != nil {
			return e, err
		}
	}
}

// children calls for every element within the present one, up to its end. The call takes the element as a whole.
func (sc *scanner) children(each func(xml.StartElement) error) error {
	for {
		token, err := sc.d.Token()
		if err == io.EOF {
			err = io.ErrUnexpectedEOF
		}
		if err != nil {
			return err
		}
		switch e := token.(type) {
		case xml.StartElement:
			if err := each(e); err != nil {
				return err
			}
		case xml.EndElement:
			return nil
		}
	}
}

// parts reads what a sheet consists of.
func (sc *scanner) parts(e xml.StartElement) error {
	switch e.Name.Local {
	case "sheetData":
		return sc.children(sc.row)
	case "mergeCells", "cols":
		return sc.children(func(e xml.StartElement) error {
			switch e.Name.Local {
			case "mergeCell":
				sc.merged = append(sc.merged, attr(e, "ref"))
			case "col":
				if truth(attr(e, "hidden")) {
					from, _ := strconv.Atoi(attr(e, "min"))
					to, _ := strconv.Atoi(attr(e, "max"))
					sc.covers = append(sc.covers, reach{from, to})
				}
			}
			return sc.d.Skip()
		})
	}
	return sc.d.Skip()
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}

// truth reads a truth value of the format.
func truth(s string) bool { return s == "1" || s == "true" }

// row reads a row.
func (sc *scanner) row(e xml.StartElement) error {
	if e.Name.Local != "row" {
		return sc.d.Skip()
	}
	line := sc.line + 1
	if r := attr(e, "r"); r != "" {
		n, err := strconv.Atoi(r)
		if err != nil || n < line || n > sheetRows {
			return fmt.Errorf("row %s follows row %d", r, sc.line)
		}
		line = n
	}
	sc.line = line
	start := len(sc.cells)
	row := sheetRow{line: line, hidden: truth(attr(e, "hidden")), plain: true}
	column := 0
	err := sc.children(func(e xml.StartElement) error {
		if e.Name.Local != "c" {
			return sc.d.Skip()
		}
		n, err := columnOf(attr(e, "r"), line, column+1)
		if err != nil {
			return err
		}
		column = n
		text, kind, err := sc.cell(e)
		if err != nil || text == "" && kind == openCell {
			return err
		}
		if n > maxColumns {
			return fmt.Errorf("cell %s is filled: a table has at most %d columns", cellName(n, line), maxColumns)
		}
		row.plain = row.plain && kind <= sureCell
		for len(sc.cells) < start+n-1 {
			sc.cells, sc.kinds = append(sc.cells, ""), append(sc.kinds, openCell)
		}
		sc.cells, sc.kinds = append(sc.cells, text), append(sc.kinds, kind)
		return nil
	})
	if err != nil {
		return err
	}
	if row.to = len(sc.cells); row.to > start {
		sc.rows = append(sc.rows, row)
	}
	return nil
}

// columnOf is the column of a cell reference, which must be of that line and not before the next column.
func columnOf(ref string, line, next int) (int, error) {
	if ref == "" {
		return next, nil
	}
	letters := strings.TrimRight(ref, "0123456789")
	n, err := strconv.Atoi(ref[len(letters):])
	column := columnNumber(letters)
	if err != nil || n != line || column < next || column > sheetColumns {
		return 0, fmt.Errorf("cell %q in row %d", ref, line)
	}
	return column, nil
}

// columnNumber is the number of a column called by letters, 0 where they call none.
func columnNumber(letters string) int {
	n := 0
	for i := range len(letters) {
		b := letters[i] &^ 0x20
		if b < 'A' || b > 'Z' || n > sheetColumns {
			return 0
		}
		n = n*26 + int(b-'A') + 1
	}
	return n
}

// columnName calls a column by its letters: A, Z, AA.
func columnName(n int) string {
	var out []byte
	for ; n > 0; n = (n - 1) / 26 {
		out = append(out, byte('A'+(n-1)%26))
	}
	slices.Reverse(out)
	return string(out)
}

// cellName calls a cell as the spreadsheet program does: B12.
func cellName(column, line int) string { return columnName(column) + strconv.Itoa(line) }
