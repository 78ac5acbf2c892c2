package survey

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// decimalMark is how the numbers of a table are written.
type decimalMark uint8

const (
	pointMark  decimalMark = iota
	commaMark              // decimal comma
	unsureMark             // cannot be told: what has a mark is blank
)

// dateOrder is how the dates of a table are written, besides ISO.
type dateOrder uint8

const (
	isoOrder dateOrder = iota
	dayFirst
	monthFirst
	yearFirst
	unsureOrder // cannot be told: what is not ISO is blank
)

// parse reads a number written with the mark, NaN where that cannot be told.
func (m decimalMark) parse(s string) (float64, *flaw) {
	switch {
	case m == pointMark:
		v, bad := parseNumber(s)
		if bad != nil && thousands(s) {
			bad = thousandsFlaw(s)
		}
		return v, bad
	case m == commaMark && strings.Contains(s, "."):
		if thousands(s) {
			return 0, thousandsFlaw(s)
		}
		return 0, newFlaw("write all numbers of a file alike", "%q has a decimal point; the file's other numbers have a decimal comma", s)
	}
	if m == unsureMark && formOf(s) != noForm {
		return math.NaN(), nil
	}
	v, bad := parseNumber(strings.Replace(s, ",", ".", 1))
	if bad != nil && thousands(s) {
		return 0, thousandsFlaw(s)
	}
	if bad != nil {
		return 0, newFlaw(numberHint(strings.ReplaceAll(s, ",", ".")), notNumber, s)
	}
	return v, nil
}

func thousandsFlaw(s string) *flaw {
	return newFlaw("write 1234, not 1,234 or 1.234; format the column without thousands marks",
		"%q has a mark between thousands, which another program may take for the mark of decimals", s)
}

// thousands says whether a number is written with marks between its thousands, perhaps with decimals after them.
func thousands(s string) bool {
	s = strings.TrimLeft(s, "+-")
	for _, mark := range []string{",", ".", " ", "'", "\u2019", "\u00a0", "\u202f", "\u2009"} {
		if !strings.Contains(s, mark) {
			continue
		}
		groups := strings.Split(s, mark)
		last := len(groups) - 1
		if i := strings.IndexAny(groups[last], ",."); i >= 0 && onlyDigits(groups[last][i+1:]) {
			groups[last] = groups[last][:i]
		}
		ok := len(groups[0]) <= 3 && onlyDigits(groups[0]) && groups[0][0] != '0'
		for _, g := range groups[1:] {
			ok = ok && len(g) == 3 && onlyDigits(g)
		}
		if ok {
			return true
		}
	}
	return false
}

func onlyDigits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}

// numberForm says what a number tells of how the numbers of its file are written.
type numberForm uint8

const (
	noForm     numberForm = iota // nothing
	surePoint                    // 12.5
	sureComma                    // 12,5
	maybePoint                   // 1.234, unless the point stands between thousands
	maybeComma                   // 1,234, unless the comma does
)

func formOf(s string) numberForm {
	s = strings.TrimLeft(s, "+-")
	i := strings.IndexAny(s, ",.")
	if i < 0 {
		return noForm
	}
	if thousands(s) && strings.ContainsAny(s, ",.") {
		switch rest := s[i+1:]; {
		case !strings.ContainsAny(rest, ",."): // one mark, three digits after it
			return map[byte]numberForm{',': maybeComma, '.': maybePoint}[s[i]]
		case s[i] == ',': // several: they stand between thousands
			return surePoint
		}
		return sureComma
	}
	if (i == 0 || onlyDigits(s[:i])) && onlyDigits(s[i+1:]) {
		return map[byte]numberForm{',': sureComma, '.': surePoint}[s[i]]
	}
	return noForm
}

// threeParts cuts a date such as 14/6/2031 or 2031.06.14 into its numbers.
func threeParts(s string) (parts [3]int, ok bool) {
	i := strings.IndexAny(s, "/.-")
	if i < 0 || len(s) > 10 {
		return parts, false
	}
	mark, years, middle := s[i:i+1], 0, 0
	if strings.Count(s, mark) != 2 {
		return parts, false
	}
	for k := range parts {
		var f string
		f, s, _ = strings.Cut(s, mark)
		n, err := strconv.Atoi(f)
		if err != nil || !onlyDigits(f) || len(f) > 2 && len(f) != 4 {
			return parts, false
		}
		if len(f) == 4 {
			years++
		}
		if k == 1 {
			middle = len(f)
		}
		parts[k] = n
	}
	return parts, years == 1 && middle != 4
}

// ordersOf says in which orders a date can be read: none of them where it is no date in numbers.
func ordersOf(s string) (day, month, year bool) {
	p, ok := threeParts(s)
	if !ok {
		return false, false, false
	}
	return dayFirst.day(p) != NoDay, monthFirst.day(p) != NoDay, yearFirst.day(p) != NoDay
}

// day is the day that three numbers in this order are, [NoDay] where there is none.
func (o dateOrder) day(p [3]int) Day {
	d, m, y := p[0], p[1], p[2]
	switch o {
	case monthFirst:
		d, m = m, d
	case yearFirst:
		d, y = y, d
	case isoOrder, unsureOrder:
		return NoDay
	}
	if y < 1000 || m < 1 || m > 12 || d < 1 || d > 31 {
		return NoDay
	}
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	if t.Day() != d {
		return NoDay
	}
	return DayOf(t)
}

// likeThis says how the dates of a file of this order are written, with the mark between them that s has.
func (o dateOrder) likeThis(s string) string {
	mark := "."
	if strings.Contains(s, "/") {
		mark = "/"
	}
	const like = "write it as the other dates of the file: "
	switch o {
	case dayFirst:
		return like + "day, month and year, as in 14" + mark + "06" + mark + "2031"
	case monthFirst:
		return like + "month, day and year, as in 06" + mark + "14" + mark + "2031"
	case yearFirst:
		return like + "year, month and day, as in 2031" + mark + "06" + mark + "14"
	}
	return like + "in numbers, the year with four figures"
}

// parse reads a date in this order, [NoDay] where the order cannot be told.
func (o dateOrder) parse(s string) (Day, bool) {
	p, ok := threeParts(s)
	if !ok || o == isoOrder {
		return NoDay, false
	}
	d := o.day(p)
	return d, d != NoDay || o == unsureOrder
}

// Day numbers of a spreadsheet that fall in the years 1955 to 2119.
const firstSerial, lastSerial = 20000, 80000

// daysTo1904 is how many days the system that counts from 1904-01-01 is behind the one of 1900.
const daysTo1904 = 1462

// serialDay is the date that a spreadsheet's day number stands for.
func serialDay(s string) (Day, bool) {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || v < firstSerial || v > lastSerial || !onlyDigits(strings.ReplaceAll(s, ".", "")) {
		return NoDay, false
	}
	return MakeDay(1899, time.December, 30) + Day(math.Floor(v)), true
}
