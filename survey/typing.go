package survey

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
)

// Typings is what two typings of one table hold that differs: double entry.
type Typings struct {
	Table         string // the file of a survey folder that was typed twice
	First, Second string // as messages call the two files
	Rows          int    // rows that stand in both
	Differ        []TypingDiff
	Columns       []TypingColumn // in the order of the table, those that stand in both files and hold anything
	All           TypingColumn   // all columns together
	Apart         []string       // columns that stand in one file only, and are not compared
}

// DiffKind says how two typings of a row differ.
type DiffKind string

// The kinds of [TypingDiff].
const (
	CellDiffers DiffKind = "differs"
	FirstOnly   DiffKind = "first only"  // the row stands in the first file only
	SecondOnly  DiffKind = "second only" // the row stands in the second file only
)

// TypingDiff is one cell typed differently, or one row that stands in one file only.
type TypingDiff struct {
	Kind          DiffKind
	Column        string // name of the cell's column; empty for a row
	Row           string // the key of the row in words
	First, Second TypedCell
}

// TypedCell is a cell of a typing, or a row of it, at its place. Line is 0 where the file has no such row.
type TypedCell struct {
	Line, Column int // 1-based; column in characters, 0 for a whole row
	Text         string
}

// CompareTypings compares two typings of a table cell by cell: the table of the folder first, and the file of that
// name in the folder second. Which table it is a typing of follows from its name (quadrats.csv, quadrats-2.csv), else
// from its header.
//
// Rows are matched by the key of the table (fronds and cuts, which have none, by what names them and in their order).
// A row without its like is matched to one that differs in a single cell of the key, where there is just one. Numbers are
// compared as numbers, dates as dates, words and species without regard to case, other text trimmed; a blank cell
// differs from 0.
//
// Rows of either file that cannot be told apart come back as problems, and the others are compared. Both files must be
// plain files; nothing is written. How the folder's tables are written is taken from opt; what the second file leaves open is
// read as the first.
func CompareTypings(first, second fs.FS, name string, opt Options) (*Typings, Problems, error) {
	found := &findings{}
	texts := map[string]*tableText{}
	spec, sheet, err := typedTable(second, name)
	if err != nil {
		return nil, nil, err
	}
	own, err := folderSheet(first, spec)
	if err != nil {
		return nil, nil, err
	}
	t := &Typings{Table: spec.file, First: spec.file, Second: name}
	if own != nil {
		t.First = own.called()
	}
	if sheet != nil {
		t.Second = sheet.called()
	}
	if t.First == t.Second {
		t.Second = "second " + t.Second
	}
	rules := opt.inputRules(spec.file)
	a, err := readTyping(first, spec, spec.file, own, t.First, rules, found, texts)
	if err != nil {
		return nil, nil, err
	}
	var as InputRules
	if b, err := readTyping(second, spec, name, sheet, t.Second, as, &findings{}, map[string]*tableText{}); err == nil && b != nil {
		if b.dialect.Dates == "" {
			as.Dates = rules.Dates
		}
		if b.dialect.Decimal == "" {
			as.Decimal = rules.Decimal
		}
	}
	b, err := readTyping(second, spec, name, sheet, t.Second, as, found, texts)
	if err != nil {
		return nil, nil, err
	}
	if a != nil && b != nil {
		t.compare(spec, a, b)
		t.place(texts)
	}
	problems := found.problems(texts)
	for i := range problems { // rules.toml knows the table, not the second file
		problems[i].Hint = strings.ReplaceAll(problems[i].Hint, `[input."`+t.Second+`"]`, `[input."`+spec.file+`"]`)
	}
	return t, problems, nil
}

// typing is one typing of a table.
type typing struct {
	header  []string
	columns []int // place of each column of the table in a record, -1 where the file has none
	rows    [][]string
	lines   []int
	dialect Dialect
}

// cell is the cell of a column of the table; blank where the file has none.
func (t *typing) cell(row, column int) string {
	if i := t.columns[column]; i >= 0 && i < len(t.rows[row]) {
		return t.rows[row][i]
	}
	return ""
}

// readTyping reads the usable rows of a file, or of a sheet where there is one; nil where its header or its text is refused.
func readTyping(fsys fs.FS, spec *tableSpec, file string, sheet *bookSheet, called string, rules InputRules, found *findings, texts map[string]*tableText) (*typing, error) {
	own := *spec
	own.file = called
	var r *rowReader
	if sheet != nil {
		r = sheetTable(sheet, &own, nil, rules, found, texts)
	} else {
		text, _, err := readText(fsys, file, found)
		if err != nil {
			if errors.Is(err, errRefused) {
				return nil, nil
			}
			return nil, err
		}
		r = textTable(text, &own, nil, rules, found, texts)
	}
	if r == nil || r.partial {
		return nil, nil
	}
	all, err := r.ReadAll()
	if err != nil {
		return nil, err
	}
	for _, row := range all[1:] {
		r.plainCells(row)
	}
	return &typing{header: r.header, columns: r.columns, rows: all[1:], lines: r.lines, dialect: *r.readAs()}, nil
}

// typedTable finds the table that a file is a typing of, by its name or else by its header; of a workbook also the sheet.
func typedTable(fsys fs.FS, name string) (*tableSpec, *bookSheet, error) {
	stem := strings.ToLower(strings.TrimSuffix(strings.ToLower(name), ".csv"))
	var named *tableSpec
	for _, t := range surveyTables {
		table := strings.TrimSuffix(t.file, ".csv")
		rest, ok := strings.CutPrefix(stem, table)
		if ok && (rest == "" || !letter(rest[0])) {
			named = t
		}
	}
	if isBook(name) {
		sheet, spec, err := typedSheet(fsys, name, named)
		return spec, sheet, err
	}
	if named != nil {
		return named, nil, nil
	}
	found := &findings{}
	text, _, err := readText(fsys, name, found)
	if err != nil && !errors.Is(err, errRefused) {
		return nil, nil, err
	}
	if spec := tableByHeader(text); spec != nil {
		return spec, nil, nil
	}
	return nil, nil, fmt.Errorf("%s: neither its name nor its header tells which table it is a typing of; name it like the table, as quadrats-2.csv", name)
}

func letter(b byte) bool { return 'a' <= b && b <= 'z' }

// tableByHeader is the table whose columns a text's header names best: all that are required, and the most of all.
func tableByHeader(text string) *tableSpec {
	line, _, _ := strings.Cut(strings.TrimPrefix(text, byteMark), "\n")
	var names []string
	for _, s := range strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune(separators, r) }) {
		names = append(names, foldHeader(strings.Trim(s, "\" \r")))
	}
	var best *tableSpec
	most := 0
	for _, t := range surveyTables {
		known, whole := 0, true
		for _, c := range t.columns {
			there := slices.Contains(names, c.name)
			if there {
				known++
			}
			whole = whole && (there || !c.required)
		}
		switch {
		case !whole || known < most:
		case known == most:
			best = nil // two tables name as many: it cannot be told
		default:
			best, most = t, known
		}
	}
	return best
}
