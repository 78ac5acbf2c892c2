package table

import (
	"bytes"
	"strings"
)

// CSV writes a header and rows as comma-separated values, the lines ended by a line feed. A missing cell is empty.
//
// Text that a spreadsheet program would take for a formula, because it begins with = + - @, a tab, a carriage return
// or a line feed, gets a leading apostrophe; numbers do not. Text that is not UTF-8 is mended with U+FFFD. CSV panics
// if a row is not as long as the header or two columns have one name.
//
// References:
//   - RFC 4180: Common Format and MIME Type for Comma-Separated Values (CSV) Files (2005), section 2
func CSV(header []string, rows [][]Cell) []byte {
	mustFit(header, rows)
	var b bytes.Buffer
	for i, name := range header {
		separate(&b, i)
		b.WriteString(quote(name))
	}
	b.WriteByte('\n')
	for _, row := range rows {
		for i, c := range row {
			separate(&b, i)
			b.WriteString(c.csv())
		}
		if len(row) == 1 && row[0].IsMissing() {
			b.WriteString(`""`) // readers skip blank lines
		}
		b.WriteByte('\n')
	}
	return b.Bytes()
}

func separate(b *bytes.Buffer, i int) {
	if i > 0 {
		b.WriteByte(',')
	}
}

func (c Cell) csv() string {
	switch c.kind {
	case text:
		return quote(harmless(strings.ToValidUTF8(c.text, "\ufffd")))
	case number:
		return c.literal()
	}
	return ""
}

// harmless puts an apostrophe before text that would be read as a formula.
func harmless(s string) string {
	if strings.IndexAny(s, "=+-@\t\r\n") == 0 {
		return "'" + s
	}
	return s
}

// quote encloses a field in double quotes where it must be.
func quote(s string) string {
	if !strings.ContainsAny(s, "\",\r\n") && strings.Trim(s, " \t") == s {
		return s
	}
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}
