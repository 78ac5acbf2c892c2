package survey

import (
	"io"
	"strings"
)

// lineSplitter splits a text without quotes into records, as [encoding/csv] does: a record a line, empty lines passed
// over, CRLF taken for LF. The cells are parts of the text, so that nothing is copied; a record is good until the next.
type lineSplitter struct {
	sep    byte
	rest   string
	at     int    // line of the last record
	text   string // of the last record
	record []string
}

// newLineSplitter reads on after the given line.
func newLineSplitter(text string, sep byte, line int) *lineSplitter {
	return &lineSplitter{sep: sep, rest: afterLines(text, line), at: line}
}

// afterLines is what follows so many lines of a text.
func afterLines(text string, lines int) string {
	for range lines {
		_, text, _ = strings.Cut(text, "\n")
	}
	return text
}

func (l *lineSplitter) line() int { return l.at }

func (l *lineSplitter) next() ([]string, error) {
	for l.rest != "" {
		l.text, l.rest, _ = strings.Cut(l.rest, "\n")
		l.text = strings.TrimSuffix(l.text, "\r")
		l.at++
		if l.text != "" {
			l.split()
			return l.record, nil
		}
	}
	return nil, io.EOF
}

func (l *lineSplitter) split() {
	l.record = l.record[:0]
	s, start, sep := l.text, 0, l.sep
	for i := range len(s) { // cells are short: quicker than strings.IndexByte
		if s[i] == sep {
			l.record = append(l.record, s[start:i])
			start = i + 1
		}
	}
	l.record = append(l.record, s[start:])
}

// column is the byte column of a cell of the last record.
func (l *lineSplitter) column(i int) int {
	at := 1
	for _, s := range strings.SplitN(l.text, string(l.sep), i+1)[:i] {
		at += len(s) + 1
	}
	return at
}
