package survey

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// sheetTable reads a sheet as far as its header; nil where it is refused.
func sheetTable(s *bookSheet, spec *tableSpec, m *mappedTable, rules InputRules, found *findings, texts map[string]*tableText) *rowReader {
	cells, err := s.scanSheet()
	if err != nil {
		found.note(finding{file: spec.file, hint: bookMendHint, first: true}, "cannot be read: %v", err)
		return nil
	}
	t, ok := newSheetText(cells, spec, rules, found)
	t.late = s.book.date904
	texts[spec.file] = t
	if !ok || !t.unmerged(spec.file, found) {
		return nil
	}
	t.sayHidden(s, spec.file, found)
	var rows *rowReader
	if m != nil {
		rows = newMappedReader(t, m, rules, found)
	} else {
		rows = newRowReader(t, spec, rules, found)
	}
	if rows != nil {
		d := rows.readAs()
		d.Book, d.Sheet, d.Titles = s.book.name, s.name, t.skip
	}
	return rows
}

// unmerged faults merged cells of the table, whose rows are then passed over, and says whether the header is free of them.
func (t *tableText) unmerged(file string, found *findings) bool {
	s, header := t.sheet, true
	for _, ref := range s.merged {
		left, right, from, to, ok := areaOf(ref)
		if !ok || to <= t.skip || left == right && from == to || left > t.width || !s.filled(from, to) {
			continue
		}
		line := max(from, t.skip+1)
		what := "only the first holds what is read"
		if s.blankAt(left, from) {
			what += ", and it is blank"
		}
		found.note(finding{file: file, line: line, at: left, lost: true, hint: "unmerge them, and write in each cell what holds for it"},
			"the cells %s are merged: %s", ref, what)
		header = header && from > t.skip+1
		for i := s.below(from - 1); i < len(s.rows) && s.rows[i].line <= to; i++ {
			s.rows[i].torn, s.rows[i].plain = true, false
		}
	}
	return header
}

// blankAt says whether nothing stands in a cell.
func (s *sheet) blankAt(column, line int) bool {
	i := s.below(line - 1)
	if i == len(s.rows) || s.rows[i].line > line {
		return true
	}
	cells := s.row(i)
	return column > len(cells) || strings.TrimSpace(cells[column-1]) == ""
}

// filled says whether a row of these lines has a cell that is not blank.
func (s *sheet) filled(from, to int) bool {
	i := s.below(from - 1)
	return i < len(s.rows) && s.rows[i].line <= to
}

// areaOf reads an area such as B2:B5.
func areaOf(ref string) (left, right, from, to int, ok bool) {
	a, b, ok := strings.Cut(ref, ":")
	if !ok {
		return 0, 0, 0, 0, false
	}
	corner := func(s string) (int, int) {
		letters := strings.TrimRight(s, "0123456789")
		n, err := strconv.Atoi(s[len(letters):])
		if err != nil {
			return 0, 0
		}
		return columnNumber(letters), n
	}
	left, from = corner(a)
	right, to = corner(b)
	return left, right, from, to, left > 0 && from > 0 && right >= left && to >= from
}

// sayHidden warns of rows and columns that are read though they are hidden.
func (t *tableText) sayHidden(s *bookSheet, file string, found *findings) {
	const hint = "show them and look whether they are meant: what is hidden counts like the rest"
	if s.hidden {
		found.doubt(file, 0, "", "show the sheet and look whether it is meant", "the sheet is hidden, and is read")
	}
	var lines []int
	for _, row := range t.sheet.rows[t.sheet.below(t.skip):] {
		if row.hidden {
			lines = append(lines, row.line)
		}
	}
	if len(lines) > 0 {
		found.doubt(file, 0, "", hint, "hidden, and read: %s %s", plural("row", len(lines)), reaches(lines, strconv.Itoa))
	}
	var columns []int
	for i, name := range t.header() {
		if name != "" && slices.ContainsFunc(t.sheet.covers, func(c reach) bool { return c.from <= i+1 && i+1 <= c.to }) {
			columns = append(columns, i+1)
		}
	}
	if len(columns) > 0 {
		found.doubt(file, 0, "", hint, "hidden, and read: %s %s", plural("column", len(columns)), reaches(columns, columnName))
	}
}

// reaches writes ascending numbers as 3, 5 to 9, at most ten of them.
func reaches(numbers []int, name func(int) string) string {
	var words []string
	for i := 0; i < len(numbers); {
		k := i
		for k+1 < len(numbers) && numbers[k+1] == numbers[k]+1 {
			k++
		}
		if len(words) == 10 {
			words = append(words, fmt.Sprintf("and %d more", len(numbers)-i))
			break
		}
		if k == i+1 {
			k = i // 4, 5
		}
		if word := name(numbers[i]); k == i {
			words = append(words, word)
		} else {
			words = append(words, word+" to "+name(numbers[k]))
		}
		i = k + 1
	}
	return strings.Join(words, ", ")
}
