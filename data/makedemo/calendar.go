package makedemo

import (
	"fmt"
	"time"
)

const daysPerYear = 365.25

// AsOf is the day of the demo's assessment, inside its autumn season.
const AsOf = "2026-09-20"

// surveyStart is the first low water of each year's survey, at or just after a new or full moon.
var surveyStart = map[int]string{2022: "2022-07-28", 2023: "2023-08-01", 2024: "2024-08-04", 2025: "2025-07-24",
	2026: "2026-07-29"}

var surveyYears = []int{2022, 2023, 2024, 2025, 2026}

// season is one season of one year with its share of the year's offtake.
type season struct {
	name     string
	from, to int // days since 1970-01-01
	share    float64
}

// seasons are those from the first survey to the running one, in the order of time.
var seasons = makeSeasons()

func makeSeasons() []season {
	var out []season
	for y := 2022; y <= 2026; y++ {
		if y > 2022 {
			out = append(out, season{"spring", day(fmt.Sprintf("%d-03-15", y)), day(fmt.Sprintf("%d-06-30", y)), 0.7})
		}
		out = append(out, season{"autumn", day(fmt.Sprintf("%d-08-15", y)), day(fmt.Sprintf("%d-10-15", y)), 0.3})
	}
	return out
}

// day counts a date from 1970-01-01. A date that is none is a mistake in this package.
func day(date string) int {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		panic("makedemo: " + err.Error())
	}
	return int(t.Unix() / 86400)
}

func dateOf(d int) string { return time.Unix(int64(d)*86400, 0).UTC().Format(time.DateOnly) }

// surveyDay is the first day of the survey of the i-th bed in a year: the beds are taken in turn over five days.
func surveyDay(i, year int) int { return day(surveyStart[year]) + i*5/len(beds) }

func years(d float64) float64 { return d / daysPerYear }
