package survey

import (
	"fmt"
	"slices"
)

// tideGap is how many days apart the dates of one survey may be: spring tides, with low waters low enough to work at,
// come once in about a fortnight, so that a longer gap is a series of tides left out.
const tideGap = 16

// gaps notes surveys whose dates lie more than a series of spring tides apart: the weed grew, and perhaps was cut,
// meanwhile. rs are the surveys of one bed.
func (c *checker) gaps(rs []round) {
	q := &c.f.Quadrats
	var torn inSurveys
	for _, r := range rs {
		days := make([]Day, len(r.rows))
		for i, row := range r.rows {
			days[i] = q.Day[row]
		}
		slices.Sort(days)
		for i := 1; i < len(days); i++ {
			if d := days[i] - days[i-1]; d > tideGap {
				torn.add(fmt.Sprintf("%d days from %s to %s", d, days[i-1], days[i]), r)
			}
		}
	}
	if torn.labels != nil {
		c.note(torn.first, "date", "a mistyped date? Two series of tides are two surveys: list both in surveys.csv, or make survey_window_days shorter",
			"dates of one survey of bed %s lie more than %d days apart: %s", c.f.Beds[rs[0].bed].ID, tideGap, &torn)
	}
}
