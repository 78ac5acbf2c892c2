package survey

import (
	"fmt"
	"math"
	"strconv"
	"time"
)

// Day is a calendar day, counted from 1970-01-01.
type Day int32

// NoDay stands for a date that was not given.
const NoDay Day = math.MinInt32

// DaysPerYear is the length of a year in days; a day is 1/365.25 of a year.
const DaysPerYear = 365.25

// MakeDay returns the day of a calendar date.
func MakeDay(year int, month time.Month, day int) Day {
	return DayOf(time.Date(year, month, day, 0, 0, 0, 0, time.UTC))
}

// DayOf is the calendar day of a time, in the time's own place.
func DayOf(t time.Time) Day {
	_, offset := t.Zone()
	seconds := t.Unix() + int64(offset)
	days := seconds / 86400
	if seconds%86400 < 0 {
		days--
	}
	return Day(days)
}

// ParseDay reads an ISO 8601 calendar date, YYYY-MM-DD.
func ParseDay(s string) (Day, error) {
	if d, ok := isoDay(s); ok {
		return d, nil
	}
	return NoDay, fmt.Errorf("%q is not a date of the form YYYY-MM-DD", s)
}

// isoDay reads YYYY-MM-DD.
func isoDay(s string) (Day, bool) {
	if len(s) != len(time.DateOnly) || s[4] != '-' || s[7] != '-' {
		return NoDay, false
	}
	var parts [3]int
	for i, at := range [][2]int{{0, 4}, {5, 7}, {8, 10}} {
		digits := s[at[0]:at[1]]
		if !onlyDigits(digits) {
			return NoDay, false
		}
		parts[i], _ = strconv.Atoi(digits)
	}
	d := yearFirst.day(parts)
	return d, d != NoDay
}

// Time is midnight UTC at the start of the day.
func (d Day) Time() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// String is the ISO date, or empty for [NoDay].
func (d Day) String() string {
	if d == NoDay {
		return ""
	}
	return d.Time().Format(time.DateOnly)
}

// Year is the calendar year of the day.
func (d Day) Year() int { return d.Time().Year() }

// Years is the time in years since 1970-01-01, the time axis of the growth model.
func (d Day) Years() float64 { return float64(d) / DaysPerYear }
