package survey

import (
	"io"
	"math/bits"
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
		l.at++
		if n := emptyLine(l.rest); n > 0 {
			l.rest = l.rest[n:]
			continue
		}
		l.split()
		return l.record, nil
	}
	return nil, io.EOF
}

// emptyLine is the length of the first line where nothing stands in it, else 0.
func emptyLine(text string) int {
	switch {
	case text[0] == '\n', text == "\r":
		return 1
	case strings.HasPrefix(text, "\r\n"):
		return 2
	}
	return 0
}

// split takes the first line of the rest apart.
func (l *lineSplitter) split() {
	l.same = 0
	if l.repeats {
		for n := beginAlike(l.text, l.rest); l.same < len(l.ends) && l.ends[l.same] < n; {
			l.same++
		}
	}
	l.record, l.ends = l.record[:l.same], l.ends[:l.same]
	from := 0
	if l.same > 0 {
		from = l.ends[l.same-1] + 1
	}
	start, end := l.cells(from)
	l.text, l.rest = strings.TrimSuffix(l.rest[:end], "\r"), l.rest[min(end+1, len(l.rest)):]
	l.record, l.ends = append(l.record, l.text[start:]), append(l.ends, len(l.text))
}

// cells takes the cells from a place on that a separator ends; it returns where the last cell of the line starts and where
// the line ends. Eight bytes are looked at at a time.
func (l *lineSplitter) cells(start int) (last, end int) {
	text, record, ends := l.rest, l.record, l.ends
	seps, i := allBytes*uint64(l.sep), start
	for ; i+8 <= len(text); i += 8 {
		eight := eightBytes(text[i : i+8])
		for found := zeroBytes(eight^seps) | zeroBytes(eight^allBytes*'\n'); found != 0; found &= found - 1 {
			at := i + bits.TrailingZeros64(found)/8
			if text[at] == '\n' {
				l.record, l.ends = record, ends
				return start, at
			}
			record, ends = append(record, text[start:at]), append(ends, at)
			start = at + 1
		}
	}
	for ; i < len(text) && text[i] != '\n'; i++ {
		if text[i] == l.sep {
			record, ends = append(record, text[start:i]), append(ends, i)
			start = i + 1
		}
	}
	l.record, l.ends = record, ends
	return start, i
}

const allBytes = 0x0101010101010101

// zeroBytes has the highest bit of every byte set that is 0, and no other bit.
func zeroBytes(eight uint64) uint64 {
	const low = allBytes * 0x7f
	return ^((eight&low + low) | eight | low)
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
