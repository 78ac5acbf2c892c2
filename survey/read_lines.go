package survey

import (
	"io"
	"strings"
)

// lineSplitter splits a text without quotes into records, as [encoding/csv] does: a record a line, empty lines passed
// over, CRLF taken for LF. The cells are parts of the text, so that nothing is copied; a record is good until the next.
//
// Neighbouring rows mostly begin alike. Where it repeats, cells with which a line begins as the one before are not split
// anew: they stay in the record as they are, trimmed perhaps.
type lineSplitter struct {
	sep     byte
	rest    string
	at      int    // line of the last record
	text    string // of the last record
	record  []string
	ends    []int // where its cells end in the text
	repeats bool
	same    int // how many cells stayed
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
		var text string
		text, l.rest, _ = strings.Cut(l.rest, "\n")
		text = strings.TrimSuffix(text, "\r")
		l.at++
		if text != "" {
			l.split(text)
			return l.record, nil
		}
	}
	return nil, io.EOF
}

func (l *lineSplitter) split(text string) {
	l.same = 0
	if l.repeats {
		for n := beginAlike(l.text, text); l.same < len(l.ends) && l.ends[l.same] < n; {
			l.same++
		}
	}
	l.text, l.record, l.ends = text, l.record[:l.same], l.ends[:l.same]
	start, sep := 0, l.sep
	if l.same > 0 {
		start = l.ends[l.same-1] + 1
	}
	for i := start; i < len(text); i++ { // cells are short: quicker than strings.IndexByte
		if text[i] == sep {
			l.record, l.ends = append(l.record, text[start:i]), append(l.ends, i)
			start = i + 1
		}
	}
	l.record, l.ends = append(l.record, text[start:]), append(l.ends, len(text))
}

// beginAlike is how many bytes two texts begin with alike.
func beginAlike(a, b string) int {
	n, i := min(len(a), len(b)), 0
	for i+8 <= n && eightBytes(a[i:i+8]) == eightBytes(b[i:i+8]) {
		i += 8
	}
	for i < n && a[i] == b[i] {
		i++
	}
	return i
}

func eightBytes(s string) uint64 {
	_ = s[7]
	return uint64(s[0]) | uint64(s[1])<<8 | uint64(s[2])<<16 | uint64(s[3])<<24 |
		uint64(s[4])<<32 | uint64(s[5])<<40 | uint64(s[6])<<48 | uint64(s[7])<<56
}

// column is the byte column of a cell of the last record.
func (l *lineSplitter) column(i int) int {
	at := 1
	for _, s := range strings.SplitN(l.text, string(l.sep), i+1)[:i] {
		at += len(s) + 1
	}
	return at
}
