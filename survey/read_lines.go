package survey

import "strings"

// lineSplitter splits a text without quotes into records, as [encoding/csv] does: a record a line, empty lines passed
// over, CRLF taken for LF. The cells are parts of the text, so that nothing is copied; a record is good until the next.
type lineSplitter struct {
	rest   string
	line   int    // line of the last record
	text   string // of the last record
	record []string
}

// newLineSplitter starts after the given line.
func newLineSplitter(text string, line int) *lineSplitter {
	for range line {
		_, text, _ = strings.Cut(text, "\n")
	}
	return &lineSplitter{rest: text, line: line}
}

func (l *lineSplitter) next() ([]string, bool) {
	for l.rest != "" {
		l.text, l.rest, _ = strings.Cut(l.rest, "\n")
		l.text = strings.TrimSuffix(l.text, "\r")
		l.line++
		if l.text != "" {
			l.split()
			return l.record, true
		}
	}
	return nil, false
}

func (l *lineSplitter) split() {
	l.record = l.record[:0]
	s, start := l.text, 0
	for i := range len(s) { // cells are short: quicker than strings.IndexByte
		if s[i] == ',' {
			l.record = append(l.record, s[start:i])
			start = i + 1
		}
	}
	l.record = append(l.record, s[start:])
}

// column is the byte column of a cell of the last record.
func (l *lineSplitter) column(i int) int {
	at := 1
	for _, s := range strings.SplitN(l.text, ",", i+1)[:i] {
		at += len(s) + 1
	}
	return at
}
