package survey

import (
	"fmt"
	"strconv"
	"strings"
)

// momentCell holds a day and a time of day that may be missing.
type momentCell struct {
	Day
	Minute int // of the day; seconds are dropped
	raw    string
}

// UnmarshalCSV keeps the trimmed text.
func (m *momentCell) UnmarshalCSV(s string) error {
	m.raw = strings.TrimSpace(s)
	return nil
}

func (m *momentCell) judge(c *column) (bad *flaw) {
	m.Day, m.Minute, bad = c.moment(m.raw)
	return bad
}

// key tells moments apart, also those that were refused.
func (m momentCell) key() string {
	if m.Day == NoDay {
		return m.raw
	}
	return isoMoment(m.Day, m.Minute)
}

func isoMoment(d Day, minute int) string { return d.String() + " " + Clock(minute) }

// Clock writes a minute of the day as hours and minutes, 24 hours a day.
func Clock(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60, minute%60) }

// momentHint says how a moment is written.
const momentHint = "write date and time as in 2031-06-14 13:05"

// moment reads a trimmed cell of a date and a time of day on the local clock: 2031-06-14 13:05, with T for the blank,
// with seconds, with AM or PM; the date as in [column.day]. Blank or refused it is [NoDay]. A time with a zone is
// refused: what the clock on the shore then shows cannot be told from it alone.
func (c *column) moment(s string) (Day, int, *flaw) {
	if s == "" {
		return NoDay, 0, c.blank()
	}
	date, clock := cutMoment(s)
	if clock == "" {
		if d, ok := serialDay(s); ok {
			return NoDay, 0, newFlaw("format the column as YYYY-MM-DD HH:MM and save again", "%q is a spreadsheet's number of a time on %s", s, d)
		}
		if _, ok := ParseClock(s); ok {
			return NoDay, 0, newFlaw(momentHint+`; where the day stands in a column of its own, rules.toml, [columns.tides]: time = "{date} {time}"`,
				"%q is a time without its day", s)
		}
		if _, bad := c.day(s); bad != nil {
			return NoDay, 0, newFlaw(momentHint, "%q is not a date and a time", s)
		}
		return NoDay, 0, newFlaw(momentHint, "%q has no time of day", s)
	}
	d, bad := c.day(date)
	if bad != nil {
		return NoDay, 0, bad
	}
	minute, ok := ParseClock(clock)
	switch {
	case ok:
		return d, minute, nil
	case zoned(clock):
		return NoDay, 0, newFlaw("write what the clock on the shore shows, summer time where it holds, without a zone: 2031-06-14 13:05",
			"%q names a time zone", s)
	}
	return NoDay, 0, newFlaw("write hours 00 to 23 and minutes, as in 2031-06-14 13:05", "%q is not a time of day", clock)
}

// cutMoment parts the date from the time of day, which is empty where there is none.
func cutMoment(s string) (date, clock string) {
	i := strings.IndexAny(s, " T\u00a0")
	if i < 0 {
		return s, ""
	}
	return s[:i], strings.TrimSpace(strings.TrimLeft(s[i:], "T\u00a0"))
}

// ParseClock reads a time of day in minutes: 13:05, 13:05:00, 1:05 PM. Seconds are dropped.
func ParseClock(s string) (minute int, ok bool) {
	low := strings.ToLower(s)
	noon := -1
	for i, half := range []string{"am", "pm"} {
		if rest, found := strings.CutSuffix(low, half); found {
			low, noon = strings.TrimSpace(rest), i
		}
	}
	parts := strings.Split(low, ":")
	if len(parts) < 2 || len(parts) > 3 {
		return 0, false
	}
	if len(parts) == 3 {
		whole, fraction, cut := strings.Cut(parts[2], ".")
		if cut && !onlyDigits(fraction) {
			return 0, false
		}
		parts[2] = whole
	}
	var n [3]int
	for i, p := range parts {
		if !onlyDigits(p) || len(p) > 2 || i > 0 && len(p) != 2 {
			return 0, false
		}
		n[i], _ = strconv.Atoi(p)
	}
	if noon >= 0 {
		if n[0] < 1 || n[0] > 12 {
			return 0, false
		}
		n[0] = n[0]%12 + 12*noon
	}
	return 60*n[0] + n[1], n[0] < 24 && n[1] < 60 && n[2] < 60
}

// zoned says whether a time of day would be one without what stands behind it: Z, +01:00, UTC and the like.
func zoned(s string) bool {
	if low := strings.ToLower(s); strings.HasSuffix(low, "am") || strings.HasSuffix(low, "pm") {
		return false
	}
	i := strings.IndexAny(s, "+-ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz")
	if i < 0 {
		return false
	}
	_, ok := ParseClock(strings.TrimSpace(s[:i]))
	return ok
}

// plainMoment is a moment as text in plain form, the cell itself where it cannot be read.
func (c *column) plainMoment(s string) string {
	if d, minute, bad := c.moment(s); bad == nil && d != NoDay {
		return isoMoment(d, minute)
	}
	return s
}
