package survey

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/nfp"
)

// cellFormat is what the format of a cell makes of its number. The format says what the number is, never how many digits
// of it are read.
type cellFormat uint8

const (
	numberFormat  cellFormat = iota + 1
	dayFormat                // a date
	momentFormat             // a date with a time
	clockFormat              // a time of the day
	elapsedFormat            // a duration in hours
	percentFormat
)

// formatOf is the format of the cells of a style.
func (b *book) formatOf(style int) cellFormat {
	f, ok := b.formats[style]
	if !ok {
		f = b.lookUp(style)
		b.formats[style] = f
	}
	return f
}

func (b *book) lookUp(style int) cellFormat {
	s := b.file.Styles
	if s == nil || s.CellXfs == nil || style < 0 || style >= len(s.CellXfs.Xf) || s.CellXfs.Xf[style].NumFmtID == nil {
		return numberFormat
	}
	id := *s.CellXfs.Xf[style].NumFmtID
	if s.NumFmts != nil {
		for _, own := range s.NumFmts.NumFmt {
			if own != nil && own.NumFmtID == id {
				return codeFormat(own.FormatCode)
			}
		}
	}
	return builtinFormat(id)
}

// builtinFormat is the format of the numbers that ECMA-376-1 (2016), 18.8.30, gives without a code; 27 to 36 and 50 to
// 58 are dates and times in some languages.
func builtinFormat(id int) cellFormat {
	switch {
	case id == 9, id == 10:
		return percentFormat
	case id == 22:
		return momentFormat
	case 14 <= id && id <= 17, 27 <= id && id <= 36, 50 <= id && id <= 58:
		return dayFormat
	case 18 <= id && id <= 21, id == 45, id == 47:
		return clockFormat
	case id == 46:
		return elapsedFormat
	}
	return numberFormat
}

// codeFormat is the format that a code such as dd/mm/yyyy or 0.0% describes, by its first section.
func codeFormat(code string) cellFormat {
	parser := nfp.NumberFormatParser()
	sections := parser.Parse(code)
	if len(sections) == 0 {
		return numberFormat
	}
	clock, day, month := false, false, false
	for _, t := range sections[0].Items {
		switch t.TType {
		case nfp.TokenTypePercent:
			return percentFormat
		case nfp.TokenTypeElapsedDateTimes:
			return elapsedFormat
		case nfp.TokenTypeDateTimes:
			code := strings.ToLower(t.TValue)
			day = day || strings.ContainsAny(code, "ydge")
			clock = clock || strings.ContainsAny(code, "hs")
			month = month || strings.HasPrefix(code, "m") // or minutes
		}
	}
	switch {
	case day && clock:
		return momentFormat
	case day:
		return dayFormat
	case clock, month:
		return clockFormat
	}
	return numberFormat
}

// show writes the number of a cell as its format means it: a date in ISO form, a time, percent with their mark; a
// number with all its digits. It says whether that is a number or a date in every dialect.
func (b *book) show(v string, f cellFormat) (string, bool) {
	x, bad := parseNumber(v)
	if bad != nil {
		return v, false
	}
	switch f {
	case dayFormat, momentFormat, clockFormat, elapsedFormat:
		if s, ok := b.showTime(x, f); ok {
			return s, true
		}
	case percentFormat:
		return strconv.FormatFloat(math.Round(x*1e14)/1e12, 'f', -1, 64) + "%", true
	}
	return showNumber(v, x), true
}

// showNumber writes a number in the fewest digits that give it back.
func showNumber(v string, x float64) string {
	if len(v) <= 15 && onlyDigits(strings.Replace(strings.TrimPrefix(v, "-"), ".", "", 1)) {
		return v
	}
	if a := math.Abs(x); a != 0 && (a < 1e-7 || a >= 1e21) {
		return strconv.FormatFloat(x, 'e', -1, 64)
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// daySeconds is the length of a day.
const daySeconds = 24 * 60 * 60

// showTime writes a day number as a date, with the time behind it where there is one, or a time alone.
func (b *book) showTime(x float64, f cellFormat) (string, bool) {
	days := math.Floor(x)
	seconds := math.Round((x - days) * daySeconds)
	if seconds == daySeconds {
		days, seconds = days+1, 0
	}
	clock := time.Unix(int64(seconds), 0).UTC().Format("15:04:05")
	clock = strings.TrimSuffix(clock, ":00")
	switch {
	case f == elapsedFormat && math.Abs(x) < 1e6:
		minutes := int64(math.Round(x * daySeconds / 60))
		return fmt.Sprintf("%d:%02d", minutes/60, max(minutes%60, -(minutes%60))), true
	case f == elapsedFormat:
		return "", false
	case f == clockFormat && days == 0:
		return clock, true
	}
	d, ok := b.day(days)
	if !ok {
		return "", false
	}
	if seconds == 0 {
		return d.String(), true
	}
	return d.String() + " " + clock, true
}

// day is the day of a workbook's day number. In the system of 1900 day 1 is 1900-01-01 and day 60 a 29th of February
// that there never was.
func (b *book) day(n float64) (Day, bool) {
	switch {
	case b.date904 && n >= 0 && n <= 2957003:
		return MakeDay(1904, time.January, 1) + Day(n), true
	case b.date904, n < 1, n == 60, n > 2958465:
		return NoDay, false
	case n < 60:
		n++
	}
	return MakeDay(1899, time.December, 30) + Day(n), true
}
