package survey

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// flaw is what is wrong with a cell.
type flaw struct {
	hint, format string
	args         []any
}

func newFlaw(hint, format string, args ...any) *flaw { return &flaw{hint, format, args} }

// blank is the flaw of a blank cell, nil where it may be blank.
func (c *column) blank() *flaw {
	if !c.filled {
		return nil
	}
	return c.needed()
}

// needed is the flaw of a blank cell that every row needs.
func (c *column) needed() *flaw {
	hint := c.ask
	if c.fills {
		hint = nothingAbove(c)
	} else if hint == "" && c.fillable() {
		hint = "write it in every row; where a blank means the same as above, rules.toml, [input]: fill_down = [" + strconv.Quote(c.name) + "]"
	}
	return newFlaw(hint, "is blank; every row needs it")
}

// number reads a trimmed cell of a number: decimal digits with a point, perhaps a sign and an exponent. A blank cell
// is NaN, and so is a refused one.
func (c *column) number(s string) (float64, *flaw) {
	if s == "" {
		return math.NaN(), c.blank()
	}
	v, bad := c.decimal.parse(s)
	if bad == nil && v == v {
		bad = c.limits(v, s)
	}
	if bad != nil {
		return math.NaN(), bad
	}
	return v, nil
}

// parseNumber reads strict decimal syntax: no hexadecimal, underscores, Inf or NaN.
func parseNumber(s string) (float64, *flaw) {
	if v, ok := plainNumber(s); ok {
		return v, nil
	}
	for i := range len(s) {
		switch b := s[i]; {
		case '0' <= b && b <= '9', b == '.', b == '-', b == '+', b == 'e', b == 'E':
		default:
			return 0, newFlaw(numberHint(s), notNumber, s)
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	switch {
	case err == nil:
		return v, nil
	case math.IsInf(v, 0):
		return 0, newFlaw("", "%q is too large", s)
	}
	return 0, newFlaw(numberHint(s), notNumber, s)
}

// plainNumber reads digits with a point among them, or none, up to fifteen digits: both they and the power of ten below
// them are exact as binary numbers, and so their quotient is the nearest one. It is false for all else.
func plainNumber(s string) (float64, bool) {
	if len(s) == 0 || len(s) > 16 || s[0] == '.' {
		return 0, false
	}
	digits, point := int64(0), -1
	for i := range len(s) {
		switch b := s[i]; {
		case '0' <= b && b <= '9':
			digits = 10*digits + int64(b-'0')
		case b == '.' && point < 0:
			point = i
		default:
			return 0, false
		}
	}
	switch {
	case point < 0 && len(s) < 16:
		return float64(digits), true
	case point > 0:
		return float64(digits) / tens[len(s)-1-point], true
	}
	return 0, false
}

var tens = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

const unitHint = "write the number alone, without unit or blanks"

// numberHint guesses what was meant.
func numberHint(s string) string {
	switch {
	case isDitto(s):
		return "write the number again: a mark for the cell above is not read"
	case s[0] == '\'' && digits(s) != "":
		return "take the apostrophe away"
	case strings.Trim(s, "\u2013\u2014\u2212") == "":
		return "leave the cell blank where there is no value"
	case s[0] == '#':
		return "a spreadsheet could not work out or show the number: mend its formula, or make the column wider, and save again"
	case s[0] == '=':
		return "a formula that was not worked out: save the table with its values"
	case strings.Contains(s, ","):
		return "write numbers with a decimal point and without thousands marks: 2.5, 1234"
	case strings.ContainsAny(s, "<>~"):
		return "write the number alone; say the rest in notes"
	case slices.Contains([]string{"na", "nan", "n/a", "inf", "-", "--"}, strings.ToLower(s)):
		return "leave the cell blank where there is no value"
	case strings.HasSuffix(s, "%"):
		return "write the number alone: 30 for 30 %, 0.3 in a column of fractions; in a workbook, format the cells as numbers"
	case s[0] >= '0' && s[0] <= '9':
		return unitHint
	}
	return "write a number alone, or leave the cell blank where there is none"
}

// limits checks a number against the limits of its column; s is how it was written.
func (c *column) limits(v float64, s string) *flaw {
	switch {
	case c.kind == wholeKind && (v != math.Trunc(v) || math.Abs(v) > 1<<53):
		return newFlaw("", "%q is not a whole number", s)
	case c.loOpen && v <= c.lo:
		return newFlaw(c.zeroHint(v), "%q is not above %v", s, c.lo)
	case v < c.lo:
		return newFlaw("", "%q is below %v", s, c.lo)
	case v > c.hi:
		hint := ""
		if c.hi == 1 && v <= 100 {
			hint = "a fraction, not percent: 0.3 stands for 30 %"
		}
		return newFlaw(hint, "%q is above %v", s, c.hi)
	}
	return nil
}

func (c *column) zeroHint(v float64) string {
	if v == 0 && !c.filled && c.name != "area_m2" { // the area of a bed is known, here or from its outline
		return "leave the cell blank where it is not known"
	}
	return ""
}

const (
	dateHint   = "write year, month and day as in 2031-06-14"
	turnedHint = dateHint + "; format the column as text or YYYY-MM-DD, or the program turns it back"
)

// noSuchDay is the hint for a date in the right form.
const noSuchDay = "there is no such day"

// day reads a trimmed cell of a date; blank or refused it is [NoDay].
func (c *column) day(s string) (Day, *flaw) {
	if s == "" {
		return NoDay, c.blank()
	}
	if d, ok := isoDay(s); ok {
		return d, nil
	}
	if d, ok := c.order.parse(s); ok {
		return d, nil
	}
	return NoDay, c.dayFlaw(s)
}

// othersISO is said of a date in numbers where the first of its file are ISO.
const othersISO = ": others of the file are year, month and day, as in 2031-06-14"

// padded is an ISO date whose month or day was written with one figure; empty where it is none.
func padded(s string) string {
	parts := strings.Split(s, "-")
	if len(parts) != 3 || len(parts[0]) != 4 {
		return ""
	}
	for i, p := range parts[1:] {
		if len(p) == 1 {
			parts[1+i] = "0" + p
		}
	}
	d, ok := isoDay(strings.Join(parts, "-"))
	if !ok {
		return ""
	}
	return d.String()
}

// dayFlaw says what is wrong with a date.
func (c *column) dayFlaw(s string) *flaw {
	hint := dateHint
	_, numbers := threeParts(s)
	serial, counted := serialDay(s)
	switch {
	case len(s) == 10 && s[4] == '-' && s[7] == '-':
		hint = noSuchDay
	case counted && c.late:
		serial += daysTo1904
		fallthrough
	case counted:
		return newFlaw("format the column as a date YYYY-MM-DD and save again", "%q is a spreadsheet's number of the day %s", s, serial)
	case numbers && c.order != isoOrder:
		hint := noSuchDay
		if day, month, year := ordersOf(s); day || month || year {
			hint = c.order.likeThis(s)
		}
		return newFlaw(hint, "%q is not a date with its %s", s, strings.ReplaceAll(DateOrders()[c.order], "-", " "))
	case numbers && padded(s) != "":
		return newFlaw("write "+padded(s)+": month and day in two figures each", "%q is not a date"+othersISO, s)
	case numbers:
		return newFlaw("write all dates of a file alike; where a spreadsheet program turned some of them round, look at each",
			"%q is not a date"+othersISO, s)
	case timed(s):
		hint = "write the day alone, without the time"
	case digits(s) != "":
		hint = turnedHint
	}
	if c.order != isoOrder && (hint == dateHint || hint == turnedHint) {
		hint = c.order.likeThis(s)
	}
	return newFlaw(hint, "%q is not a date", s)
}

// timed says whether a date is followed by a time.
func timed(s string) bool {
	date, clock := cutMoment(s)
	_, iso := isoDay(date)
	_, ok := ParseClock(clock)
	return iso && ok
}

// word reads a trimmed cell that holds one of a few words, whatever its case; it returns the index of the word, -1
// where the cell is blank or refused.
func (c *column) word(s string) (int, *flaw) {
	if s == "" {
		return -1, c.blank()
	}
	if i := slices.Index(c.words, s); i >= 0 {
		return i, nil
	}
	if i := slices.Index(c.words, foldHeader(s)); i >= 0 {
		return i, nil
	}
	return -1, newFlaw("write one of: "+strings.Join(c.words, ", "), "%q is not a word for this column", s)
}

var (
	yesWords = []string{"yes", "true", "1"}
	noWords  = []string{"no", "false", "0"}
)

// truth reads a trimmed cell of yes or no; blank is no.
func (c *column) truth(s string) (bool, *flaw) {
	low := strings.ToLower(s)
	switch {
	case s == "":
		return false, c.blank()
	case slices.Contains(yesWords, low):
		return true, nil
	case slices.Contains(noWords, low):
		return false, nil
	}
	return false, newFlaw("write yes or no", "%q is neither yes nor no", s)
}
