package survey

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// farSaid is what is said of a harvest with cuts on these days, and of the dates of the others.
func farSaid(texts map[string]string, cuts ...string) []string {
	if cuts != nil {
		var b strings.Builder
		b.WriteString("bed,date,species,wet_kg\n")
		for i, day := range cuts {
			fmt.Fprintf(&b, "Skarn,%s,Fucus serratus,%d\n", day, 20+i%7)
		}
		texts["harvest.csv"] = b.String()
	}
	var out []string
	for _, s := range strings.SplitAfter(whatIsFound(files(texts), smallTable(), DefaultOptions()), "\n    hint: ") {
		if strings.Contains(s, "mistyped year") {
			out = append(out, s[strings.LastIndex(s[:strings.Index(s, "mistyped year")], "\n")+1:])
		}
	}
	return out
}

// A single date of another decade is told where it stands; an old history is not.
func TestDatesFarFromTheOthers(t *testing.T) {
	late := []string{"2029-06-01", "2029-07-01", "2029-07-20", "2030-05-01", "2030-06-10"}
	at := func(i int, day ...string) []string { return slices.Insert(slices.Clone(late), i, day...) }
	for name, c := range map[string]struct {
		cuts []string
		said string
	}{
		"none":              {late, ""},
		"a decade early":    {at(3, "2019-07-25"), "harvest.csv:5:7: warning: date: 2019-07-25 is 10 years before any other date of the file (2029-06-01 in line 2)"},
		"first":             {at(0, "2019-05-25"), "harvest.csv:2:7: warning: date: 2019-05-25 is 10 years before any other date of the file (2029-06-01 in line 3)"},
		"last":              {at(5, "2020-06-11"), "harvest.csv:7:7: warning: date: 2020-06-11 is 9 years before any other date of the file (2029-06-01 in line 2)"},
		"a century early":   {at(3, "1929-07-25"), "harvest.csv:5:7: warning: date: 1929-07-25 is 100 years before"},
		"one day of three":  {at(3, "2019-07-25", "2019-07-25", "2019-07-25"), "harvest.csv:5:7: warning: date: 2019-07-25 is 10 years before any other date of the file (2029-06-01 in line 2): a mistyped year?; also in lines 6 and 7"},
		"one day of four":   {at(3, "2019-07-25", "2019-07-25", "2019-07-25", "2019-07-25"), ""},
		"two old cuts":      {at(0, "2019-05-25", "2019-08-25"), ""},
		"one of old":        {at(0, "1997-05-25"), ""}, // no decade further it would be among them
		"four years early":  {at(3, "2025-07-25"), ""},
		"out of order":      {append([]string{"2019-06-01", "2019-06-02", "2021-04-01"}, at(3, "2019-07-25")...), "harvest.csv:8:7: warning: date: 2019-07-25 is out of the order of the rows around it, where it would be in its place in 2029"},
		"entered late":      {append([]string{"2019-06-01", "2019-06-02", "2021-04-01"}, at(3, "2019-03-25")...), ""},
		"few others":        {[]string{"2029-06-01", "2019-06-01", "2029-07-01"}, ""},
		"alone in the file": {[]string{"2019-06-01"}, ""},
	} {
		said := farSaid(bareFolder(), c.cuts...)
		if c.said == "" {
			assert.Empty(t, said, name)
		} else if assert.Len(t, said, 1, name) {
			assert.Contains(t, said[0], c.said, name)
		}
	}
	texts := bareFolder()
	texts["decisions.csv"] = "bed,species,season,from,to,kg,decided_on\nSkarn,Fucus serratus,all,2030-06-15,2030-08-01,5,2030-06-10\n" +
		"Skarn,Fucus serratus,all,2029-06-15,2039-08-01,5,2029-06-10\nSkarn,Fucus serratus,all,2028-06-15,2028-08-01,5,2018-06-10\n"
	texts["events.csv"] = "bed,date,kind\nSkarn,2020-12-20,storm\nSkarn,2029-12-20,storm\nSkarn,2029-12-28,storm\n*,2030-03-28,storm\n"
	said := strings.Join(farSaid(texts), "\n")
	for _, s := range []string{"decisions.csv:3:37: warning: to: from 2029-06-15 to 2039-08-01 is 3700 days", "did you mean 2029-08-01?",
		"decisions.csv:4:50: warning: decided_on: 2018-06-10 is 10 years before any other date", "did you mean 2028-06-10?", "events.csv:2:7: warning: date: 2020-12-20 is 9 years"} {
		assert.Contains(t, whatIsFound(files(texts), smallTable(), DefaultOptions()), s)
	}
	assert.Equal(t, 3, strings.Count(said, "mistyped year"))

	texts["decisions.csv"] = "bed,species,season,from,to,kg,decided_on\nSkarn,Fucus serratus,all,2030-06-15,2030-8-1,5,2030-06-10\n"
	found := whatIsFound(files(texts), smallTable(), DefaultOptions())
	assert.Contains(t, found, "decisions.csv:2:37: ")
	assert.NotContains(t, found, "days: a mistyped year", "a day that could not be read is told once")
}

// Histories of harvest, however far back and with whatever gaps, in any order, are no slips.
func TestOldHistoriesAreNoSlips(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 8))
	alarms := 0
	const histories = 300
	for range histories {
		var days []string
		for year := 2029 - rng.IntN(30); year <= 2029; year++ {
			if rng.IntN(4) == 0 {
				year += rng.IntN(9) // nothing cut for some years
			}
			if year > 2029 {
				break
			}
			for range 2 + rng.IntN(5) {
				days = append(days, MakeDay(year, 5, 1+rng.IntN(90)).String())
			}
		}
		switch rng.IntN(3) {
		case 0: // one bed after the other
		case 1:
			slices.Sort(days)
		default:
			rng.Shuffle(len(days), func(i, j int) { days[i], days[j] = days[j], days[i] })
		}
		if len(days) > 0 {
			alarms += len(farSaid(bareFolder(), days...))
		}
	}
	assert.LessOrEqual(t, alarms, 2, "of %d", histories)
}
