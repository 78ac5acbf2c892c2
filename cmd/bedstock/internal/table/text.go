package table

import (
	"io"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
	"golang.org/x/text/width"
)

// gap parts two columns of the text.
const gap = "  "

// Text writes the table for a terminal: title, headings, units, rows, notes, without colours or control codes, nothing
// wrapped or cut. Columns of numbers stand to the right, the others to the left; a missing cell is "-".
//
// Line breaks and tabs in the cells become blanks, other characters that are not printable U+FFFD: text from a survey
// folder cannot steer the terminal. Wide East Asian characters count as two places and combining marks as none. Text
// panics where [CSV] does.
func (t Table) Text(w io.Writer) error {
	mustFit(t.names(), t.Rows)
	lines := t.lines()
	right := make([]bool, len(t.Columns))
	size := make([]int, len(t.Columns))
	for j := range t.Columns {
		right[j] = t.numeric(j)
		for _, line := range lines {
			size[j] = max(size[j], places(line[j]))
		}
	}
	var b strings.Builder
	if t.Title != "" {
		b.WriteString(printable(t.Title) + "\n")
	}
	for _, line := range lines {
		var s strings.Builder
		for j, cell := range line {
			if j > 0 {
				s.WriteString(gap)
			}
			blanks := strings.Repeat(" ", size[j]-places(cell))
			if right[j] {
				s.WriteString(blanks + cell)
			} else {
				s.WriteString(cell + blanks)
			}
		}
		b.WriteString(strings.TrimRight(s.String(), " ") + "\n")
	}
	for _, note := range t.Notes {
		b.WriteString(printable(note) + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// lines are the headings, the units if there are any, and the rows as texts.
func (t Table) lines() [][]string {
	heads, units := make([]string, len(t.Columns)), make([]string, len(t.Columns))
	withUnits := false
	for j, c := range t.Columns {
		heads[j], units[j] = printable(c.Head), printable(c.Unit)
		if c.Head == "" {
			heads[j] = printable(c.Name)
		}
		withUnits = withUnits || c.Unit != ""
	}
	lines := [][]string{heads}
	if withUnits {
		lines = append(lines, units)
	}
	for _, row := range t.Rows {
		line := make([]string, len(row))
		for j, c := range row {
			line[j] = c.display(t.Columns[j].Digits)
		}
		lines = append(lines, line)
	}
	return lines
}

// numeric tells whether a column holds numbers and no text. A column without any value counts as one of numbers if it
// has a unit.
func (t Table) numeric(j int) bool {
	numbers := t.Columns[j].Unit != ""
	for _, row := range t.Rows {
		switch row[j].kind {
		case text:
			return false
		case number:
			numbers = true
		}
	}
	return numbers
}

// printable makes text safe for a terminal and composes its letters and accents.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case !unicode.IsPrint(r):
			return unicode.ReplacementChar
		}
		return r
	}, norm.NFC.String(s))
}

// places is how many columns of a terminal the text takes.
func places(s string) int {
	n := 0
	for _, r := range s {
		switch {
		case unicode.In(r, unicode.Mn, unicode.Me):
		case width.LookupRune(r).Kind() == width.EastAsianWide, width.LookupRune(r).Kind() == width.EastAsianFullwidth:
			n += 2
		default:
			n++
		}
	}
	return n
}
