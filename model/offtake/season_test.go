package offtake

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func day(text string) time.Time {
	t, err := time.Parse("2006-01-02", text)
	if err != nil {
		panic(err)
	}
	return t
}

func season(name, from, to string, share float64) Season {
	var s Season
	if s.From.UnmarshalText([]byte(from)) != nil || s.To.UnmarshalText([]byte(to)) != nil {
		panic(from + to)
	}
	s.Name, s.Share = name, share
	return s
}

func TestMonthDay(t *testing.T) {
	d, err := ParseMonthDay("03-05")
	require.NoError(t, err)
	assert.Equal(t, MonthDay{time.March, 5}, d)
	text, err := d.MarshalText()
	require.NoError(t, err)
	assert.Equal(t, "03-05", string(text))
	for _, bad := range []string{"", "3-15", "02-30", "13-01", "2024-03-15", "03-15 ", "0315"} {
		_, err := ParseMonthDay(bad)
		assert.Error(t, err, bad)
	}
	last := MonthDay{time.February, 29}
	assert.Equal(t, day("2024-02-29"), last.In(2024))
	assert.Equal(t, day("2023-02-28"), last.In(2023))
}

func TestNextSeasons(t *testing.T) {
	seasons := append(DefaultSeasons(), season("winter", "11-01", "02-29", 0))
	next := NextSeasons(seasons, day("2024-03-14"))
	require.Len(t, next, 3)
	assert.Equal(t, "spring", next[0].Name)
	assert.Equal(t, day("2024-03-15"), next[0].From)
	assert.Equal(t, day("2024-06-30"), next[0].To)
	assert.Equal(t, "autumn", next[1].Name)
	assert.Equal(t, day("2024-11-01"), next[2].From)
	assert.Equal(t, day("2025-02-28"), next[2].To, "over New Year")
	assert.Equal(t, 2, next[2].Index)

	next = NextSeasons(seasons, day("2024-03-15").Add(13*time.Hour)) // begins on that very day: not after it
	assert.Equal(t, "autumn", next[0].Name)
	assert.Equal(t, "spring", next[2].Name)
	assert.Equal(t, day("2025-03-15"), next[2].From)

	next = NextSeasons(seasons, day("2025-01-10"))
	assert.Equal(t, day("2025-11-01"), next[2].From, "the winter that runs has begun")
}

func TestRunningSeason(t *testing.T) {
	seasons := append(DefaultSeasons(), season("winter", "11-01", "02-29", 0))
	for _, w := range []struct {
		on, name, from string
	}{
		{"2024-03-15", "spring", "2024-03-15"}, {"2024-06-30", "spring", "2024-03-15"}, {"2024-07-01", "", ""},
		{"2024-11-01", "winter", "2024-11-01"}, {"2025-01-10", "winter", "2024-11-01"}, {"2025-03-01", "", ""},
		{"2024-02-29", "winter", "2023-11-01"},
	} {
		o, ok := RunningSeason(seasons, day(w.on).Add(5*time.Hour))
		assert.Equal(t, w.name != "", ok, w.on)
		assert.Equal(t, w.name, o.Name, w.on)
		if ok {
			assert.Equal(t, day(w.from), o.From, w.on)
		}
	}
}

func TestValidateSeasons(t *testing.T) {
	assert.NoError(t, ValidateSeasons(nil))
	assert.NoError(t, ValidateSeasons(DefaultSeasons()))
	assert.NoError(t, ValidateSeasons([]Season{season("a", "05-01", "12-31", 0.5), season("b", "01-01", "04-30", 0.5)}))
	tenths := make([]Season, 10) // ten times 0.1 is not exactly 1
	for i := range tenths {
		d := MonthDay{time.Month(i + 1), 1}
		tenths[i] = Season{d.String(), d, d, 0.1}
	}
	assert.NoError(t, ValidateSeasons(tenths))
	for want, seasons := range map[string][]Season{
		`"a" and "b" overlap`:     {season("a", "03-01", "05-01", 0.5), season("b", "05-01", "06-01", 0.5)},
		`"w" and "b" overlap`:     {season("w", "11-01", "02-29", 0.5), season("b", "02-28", "03-05", 0.5)},
		"sum to 1.1":              {season("a", "03-01", "05-01", 0.6), season("b", "06-01", "07-01", 0.5)},
		"season 1 has no name":    {season(" ", "03-01", "05-01", 0.6)},
		`seasons are named "A"`:   {season("a", "03-01", "05-01", 0.1), season("A", "06-01", "07-01", 0.1)},
		"share NaN is not":        {season("a", "03-01", "05-01", math.NaN())},
		"share -0.1 is not":       {season("a", "03-01", "05-01", -0.1)},
		"is not from a day to":    {{Name: "a", From: MonthDay{time.April, 31}, To: MonthDay{time.May, 1}, Share: 1}},
		`season "z": 00-00 to 00`: {{Name: "z"}},
	} {
		assert.ErrorContains(t, ValidateSeasons(seasons), want)
	}
}

func TestSeasonKg(t *testing.T) {
	year := Advice{AdvisedKg: 1300}
	approx(t, "share of the year's offtake", SeasonKg(year, 0.7, math.Inf(1), 0), 910, 0, 0)
	approx(t, "share of the cap at its start", SeasonKg(year, 0.7, 1000, 0), 700, 0, 0)
	approx(t, "rounded down", SeasonKg(year, 0.3, 1234, 0), 370, 0, 0)
	approx(t, "less what was taken beyond", SeasonKg(year, 0.7, 1000, 150), 550, 0, 0)
	approx(t, "nothing left", SeasonKg(year, 0.7, 1000, 800), 0, 0, 0)
	approx(t, "not had", SeasonKg(NotAssessed(""), 0.3, 1234, 0), math.NaN(), 0, 0)
	approx(t, "cap not had", SeasonKg(year, 0.3, math.NaN(), 0), math.NaN(), 0, 0)
	assert.Panics(t, func() { SeasonKg(year, 1.2, 1234, 0) })
}
