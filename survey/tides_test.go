package survey

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A moment is a date as everywhere and a time of day; what the clock shows cannot be told from a time with a zone.
func TestMoments(t *testing.T) {
	c := momentColumn("time", "").must()
	for s, want := range map[string]string{
		"2031-03-21 13:05": "2031-03-21 13:05", "2031-03-21T13:05": "2031-03-21 13:05", "2031-03-21  3:05:59": "2031-03-21 03:05",
		"2031-03-21T00:00:00.000": "2031-03-21 00:00", "2031-03-21 12:05 am": "2031-03-21 00:05", "2031-03-21 1:05 PM": "2031-03-21 13:05",
		"2031-03-21 12:30PM": "2031-03-21 12:30", "2031-03-21\u00a023:59": "2031-03-21 23:59",
	} {
		d, minute, bad := c.moment(s)
		require.Nil(t, bad, s)
		assert.Equal(t, want, isoMoment(d, minute), s)
	}
	for s, want := range map[string]string{
		"": "blank", "2031-03-21": "no time of day", "13:05": "a time without its day", "2031-03-21 24:00": "not a time of day",
		"2031-03-21 13.05": "not a time of day", "2031-03-21 13:60": "not a time of day", "2031-03-21 13:5": "not a time of day",
		"2031-03-21 13:05pm": "not a time of day", "2031-03-21 0:05 am": "not a time of day", "2031-02-29 13:05": "not a date",
		"2031-03-21T13:05Z": "names a time zone", "2031-03-21T13:05:00+01:00": "names a time zone", "2031-03-21 13:05 UTC": "names a time zone",
		"2031-03-21 1:05 PM -0300": "names a time zone", "47928.545": "a spreadsheet's number of a time on 2031-03-21", "soon": "not a date and a time",
	} {
		d, _, bad := c.moment(s)
		require.NotNil(t, bad, s)
		assert.Contains(t, fmt.Sprintf(bad.format, bad.args...), want, s)
		assert.Equal(t, NoDay, d)
	}
	c.order = monthFirst
	d, minute, bad := c.moment("3/21/2031 1:05 PM")
	require.Nil(t, bad)
	assert.Equal(t, "2031-03-21 13:05", isoMoment(d, minute))
}

// sea is an invented shore: amplitudes in m and periods in hours of the waves that make its tide.
type sea []struct{ m, hours, ahead float64 }

func (s sea) height(minute int) float64 {
	h := 0.0
	for _, w := range s {
		h += w.m * math.Cos(2*math.Pi*(float64(minute)/60/w.hours-w.ahead))
	}
	return h
}

// turns lists the turns of the tide of so many days as the rows of a table, to the minute and the decimetre.
func (s sea) turns(days int, high bool) string {
	var b strings.Builder
	mean := 0.0
	for _, w := range s {
		mean += w.m
	}
	from := int(day("2031-01-01")) * minutesADay
	for at := 1; at < days*minutesADay; at++ {
		was, h, next := s.height(at-1), s.height(at), s.height(at+1)
		if was > h && h <= next || high && was < h && h >= next {
			fmt.Fprintf(&b, "%s,%.1f\n", isoMoment(Day((from+at)/minutesADay), (from+at)%minutesADay), mean+h)
		}
	}
	return b.String()
}

// Seas of many kinds: a large and a small range, with lows of a day alike and unlike. Periods are those of the waves
// M2, S2, N2, K1 and O1 (Doodson 1921); amplitudes are invented.
func seas() []sea {
	return []sea{
		{{2.1, 12.4206, 0.1}, {0.7, 12, 0.3}, {0.4, 12.6583, 0.7}, {0.1, 23.9345, 0.2}, {0.1, 25.8193, 0.9}},
		{{4.5, 12.4206, 0.6}, {1.6, 12, 0.1}, {0.9, 12.6583, 0.2}, {0.1, 23.9345, 0.2}, {0.05, 25.8193, 0.9}},
		{{0.7, 12.4206, 0.1}, {0.2, 12, 0.5}, {0.15, 12.6583, 0.7}, {0.25, 23.9345, 0.2}, {0.15, 25.8193, 0.9}},
		{{0.2, 12.4206, 0.4}, {0.08, 12, 0.3}, {0.04, 12.6583, 0.1}, {0.02, 23.9345, 0.2}, {0.02, 25.8193, 0.9}},
	}
}

func tidesFolder(rows string) map[string]string {
	texts := smallFolder()
	texts["tides.csv"] = "time,height_m\n" + rows
	return texts
}

func readTidesOf(t *testing.T, rows string) *Folder {
	t.Helper()
	f, err := Read(files(tidesFolder(rows)), smallTable(), DefaultOptions())
	require.NoError(t, err)
	return f
}

// A year of low waters raises no false alarm, and high waters among them change nothing but a warning.
func TestLowWatersOfAYear(t *testing.T) {
	for i, s := range seas() {
		lows := s.turns(365, false)
		f := readTidesOf(t, lows)
		assert.Len(t, f.LowWaters, strings.Count(lows, "\n"), "sea %d", i)
		assert.NotContains(t, f.Doubts.Error(), "tides.csv", "sea %d", i)

		g := readTidesOf(t, s.turns(365, true))
		require.Len(t, g.LowWaters, len(f.LowWaters), "sea %d", i)
		for k, w := range f.LowWaters {
			assert.Equal(t, w.String(), g.LowWaters[k].String())
		}
		assert.Contains(t, g.Doubts.Error(), "taken for high waters and left out", "sea %d", i)
	}
}

// Heights at every half hour come down to the same low waters, to the half hour.
func TestLowWatersOfACurve(t *testing.T) {
	s := seas()[0]
	var b strings.Builder
	from := int(day("2031-01-01")) * minutesADay
	for at := 0; at < 60*minutesADay; at += 30 {
		fmt.Fprintf(&b, "%s,%.2f\n", isoMoment(Day((from+at)/minutesADay), (from+at)%minutesADay), 3+s.height(at))
	}
	got := readTidesOf(t, b.String()).LowWaters
	want := readTidesOf(t, s.turns(60, false)).LowWaters
	require.InDelta(t, len(want), len(got), 2, "half a tide at either end")
	k := 0
	for _, w := range want {
		for k+1 < len(got) && got[k].at() < w.at()-60 {
			k++
		}
		assert.InDelta(t, w.at(), got[k].at(), 46, "%s", w)
	}
}

// Low waters lie ahead of the day of the assessment and do not move it; without the rows to plan by they are not read.
func TestLowWatersAndTheDay(t *testing.T) {
	texts := smallFolder()
	delete(texts, "tides.csv")
	plain, err := Read(files(texts), smallTable(), DefaultOptions())
	require.NoError(t, err)
	f := readTidesOf(t, "2099-06-02T05:10,0.4\n2099-06-01 16:45,-0.1\n")
	assert.Equal(t, plain.AsOf, f.AsOf)
	require.Len(t, f.LowWaters, 2)
	assert.Equal(t, "2099-06-01 16:45", f.LowWaters[0].String(), "sorted")
	assert.Equal(t, -0.1, f.LowWaters[0].Height)

	opt := DefaultOptions()
	opt.LeaveTides = true
	f, err = Read(files(tidesFolder("soon,deep\n")), smallTable(), opt)
	require.NoError(t, err)
	assert.Empty(t, f.LowWaters)
	assert.Equal(t, plain.Inputs, f.Inputs)
	assert.Equal(t, plain.Doubts.Error(), f.Doubts.Error())
}

// A table of another making: date and time in columns of their own.
func TestLowWatersByMapping(t *testing.T) {
	texts := smallFolder()
	texts["lw.csv"] = "Day,Clock,Port ht cm\n21.03.2031,13:05,40\n22.3.2031,1:33 AM,65\n"
	opt := DefaultOptions()
	opt.Mapping = Mapping{Files: []FileMap{{Table: "tides.csv", Name: "lw.csv"}}, Tables: []TableMap{{Table: "tides.csv", Columns: []ColumnMap{
		{Column: "time", Text: "{Day} {Clock}", Form: "DD.MM.YYYY"}, {Column: "height_m", From: "Port ht cm", Unit: "cm"}}}}}
	f, err := Read(files(texts), smallTable(), opt)
	require.NoError(t, err)
	require.Len(t, f.LowWaters, 2)
	assert.Equal(t, "2031-03-21 13:05", f.LowWaters[0].String())
	assert.Equal(t, "2031-03-22 01:33", f.LowWaters[1].String())
	assert.InDelta(t, 0.65, f.LowWaters[1].Height, 1e-12)
}
