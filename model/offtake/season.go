package offtake

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// MonthDay is a day of any year. 29 February stands for the last day of February.
type MonthDay struct {
	Month time.Month
	Day   int
}

// ParseMonthDay reads a day of the year written as "03-15".
func ParseMonthDay(text string) (MonthDay, error) {
	t, err := time.Parse("2006-01-02", "2000-"+text) // a leap year
	if err != nil {
		return MonthDay{}, fmt.Errorf("%q is not a day of the year such as 03-15", text)
	}
	return MonthDay{t.Month(), t.Day()}, nil
}

// String writes the day as it is read, "03-15".
func (d MonthDay) String() string { return fmt.Sprintf("%02d-%02d", d.Month, d.Day) }

// UnmarshalText reads the day from a settings file.
func (d *MonthDay) UnmarshalText(text []byte) (err error) {
	*d, err = ParseMonthDay(string(text))
	return err
}

// MarshalText writes the day into a settings file.
func (d MonthDay) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// In is the day in a year, at midnight UTC.
func (d MonthDay) In(year int) time.Time {
	if d.Month == time.February && d.Day == 29 {
		return time.Date(year, time.March, 0, 0, 0, 0, 0, time.UTC)
	}
	return time.Date(year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
}

func (d MonthDay) valid() bool {
	t := time.Date(2000, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
	return t.Month() == d.Month && t.Day() == d.Day
}

// Season is a part of the year in which a share of the year's offtake may be cut. From and To belong to it; where To
// comes before From it runs over New Year.
type Season struct {
	Name     string
	From, To MonthDay
	Share    float64 // of the year's offtake
}

// DefaultSeasons are those used where rules.toml names none.
func DefaultSeasons() []Season {
	return []Season{
		{"spring", MonthDay{time.March, 15}, MonthDay{time.June, 30}, 0.7},
		{"autumn", MonthDay{time.August, 15}, MonthDay{time.October, 15}, 0.3},
	}
}

// ValidateSeasons tells everything that is wrong with the seasons, or nil: names missing or doubled, days that are
// none, shares outside 0-1 or above 1 in sum, seasons that overlap.
func ValidateSeasons(seasons []Season) error {
	var errs []error
	say := func(format string, args ...any) { errs = append(errs, fmt.Errorf(format, args...)) }
	names, taken, sum := map[string]bool{}, map[MonthDay]string{}, 0.0
	for i, s := range seasons {
		name := strings.TrimSpace(s.Name)
		switch {
		case name == "":
			say("season %d has no name", i+1)
		case names[strings.ToLower(name)]:
			say("two seasons are named %q", name)
		}
		names[strings.ToLower(name)] = true
		if !(s.Share >= 0 && s.Share <= 1) {
			say("season %q: share %g is not from 0 to 1", name, s.Share)
		} else {
			sum += s.Share
		}
		if !s.From.valid() || !s.To.valid() {
			say("season %q: %v to %v is not from a day to a day of the year", name, s.From, s.To)
			continue
		}
		if other, ok := claim(taken, s); ok {
			say("seasons %q and %q overlap", other, name)
		}
	}
	if sum > 1+1e-9 {
		say("the shares of the seasons sum to %g, more than 1", sum)
	}
	return errors.Join(errs...)
}

// claim marks the days of a season in a leap year; it gives the name of a season that had one of them already.
func claim(taken map[MonthDay]string, s Season) (other string, overlap bool) {
	o := occurrence(s, 0, 2000)
	for t := o.From; !t.After(o.To); t = t.AddDate(0, 0, 1) {
		d := MonthDay{t.Month(), t.Day()}
		if name, ok := taken[d]; ok && !overlap {
			other, overlap = name, true
		}
		taken[d] = s.Name
	}
	return other, overlap
}

// Occurrence is a season of a certain year.
type Occurrence struct {
	Season
	Index    int       // of the season in the list given
	From, To time.Time // both days belong to it, midnight UTC
}

// Holds tells whether a day lies in the season.
func (o Occurrence) Holds(day time.Time) bool { return !day.Before(o.From) && !day.After(o.To) }

func occurrence(s Season, index, year int) Occurrence {
	o := Occurrence{Season: s, Index: index, From: s.From.In(year), To: s.To.In(year)}
	if o.To.Before(o.From) {
		o.To = s.To.In(year + 1)
	}
	return o
}

// NextSeasons gives for each season its first occurrence that begins after a day, in the order of time. The seasons
// must have been validated.
func NextSeasons(seasons []Season, day time.Time) []Occurrence {
	day = midnight(day)
	next := make([]Occurrence, len(seasons))
	for i, s := range seasons {
		next[i] = occurrence(s, i, day.Year())
		if !next[i].From.After(day) {
			next[i] = occurrence(s, i, day.Year()+1)
		}
	}
	slices.SortStableFunc(next, func(a, b Occurrence) int { return a.From.Compare(b.From) })
	return next
}

// RunningSeason gives the occurrence in which a day lies; ok is false between seasons.
func RunningSeason(seasons []Season, day time.Time) (o Occurrence, ok bool) {
	day = midnight(day)
	for i, s := range seasons {
		for _, year := range [...]int{day.Year() - 1, day.Year()} {
			if o := occurrence(s, i, year); o.Holds(day) {
				return o, true
			}
		}
	}
	return Occurrence{}, false
}

func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
}

// SeasonKg is the offtake of a season, kg:
//
//	max(share min(year's offtake, capAtStart) - over, 0)
//
// rounded down to the digits of the year, with over what earlier seasons of the year took beyond their advice, kg, and capAtStart the cap (kg) on the stock expected when the season begins; +Inf where
// it does not bind. NaN where either is NaN: not had.
func SeasonKg(year Advice, share, capAtStart, over float64) float64 {
	mustFraction(share)
	kg := min(year.AdvisedKg, capAtStart) // NaN if one of them is
	if math.IsInf(kg, 1) {
		panic("offtake: a season without any limit")
	}
	digits := year.Digits
	if digits == 0 {
		digits = 3
	}
	return roundDown(math.Max(share*kg-over, 0), digits)
}
