package survey

import "strings"

// blankStands names columns whose blank cell stands for a word.
var blankStands = map[string]string{"visit": "done", "origin": "cut", "status": "open"}

// sameTyped says whether two typed cells of a column say the same: numbers as numbers, dates as dates, words, yes and
// no, and names of species without regard to case, lists entry by entry, other text as it is. Where either cannot be read
// as its column wants, the text decides.
func (c *column) sameTyped(a, b string) bool {
	if a == b {
		return true
	}
	switch c.kind {
	case numberKind, wholeKind:
		if a == "" || b == "" {
			return false
		}
		x, badX := parseNumber(a)
		y, badY := parseNumber(b)
		return badX == nil && badY == nil && x == y
	case dayKind:
		x, errX := ParseDay(a)
		y, errY := ParseDay(b)
		return errX == nil && errY == nil && x == y
	case momentKind:
		return c.plainMoment(a) == c.plainMoment(b)
	case wordKind:
		return c.wordTyped(a) == c.wordTyped(b)
	case truthKind:
		x, badX := c.truth(a)
		y, badY := c.truth(b)
		return badX == nil && badY == nil && x == y
	case listKind:
		return foldList(a) == foldList(b)
	}
	return c.name == "species" && foldSpecies(a) == foldSpecies(b)
}

// keyTyped is a cell such that two of them are equal where they say the same.
func (c *column) keyTyped(s string) string {
	switch {
	case c.kind == dayKind:
		if d, err := ParseDay(s); err == nil {
			return d.String()
		}
	case c.kind == momentKind:
		return c.plainMoment(s)
	case c.kind == wordKind:
		return c.wordTyped(s)
	case c.name == "species":
		return foldSpecies(s)
	}
	return s
}

func (c *column) wordTyped(s string) string {
	if s == "" {
		return blankStands[c.name]
	}
	return foldHeader(s)
}

func foldList(s string) string {
	parts := strings.Split(s, ";")
	for i, p := range parts {
		parts[i] = foldSpecies(p)
	}
	return strings.Join(parts, ";")
}
