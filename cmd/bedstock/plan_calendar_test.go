package main

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedstock/model"
	"bedstock/model/plan"
	"bedstock/survey"
)

// unfolded reads the lines of iCalendar text as RFC 5545, 3.1 has them.
func unfolded(t require.TestingT, text string) []string {
	require.True(t, strings.HasSuffix(text, "\r\n"))
	for piece := range strings.SplitSeq(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		require.LessOrEqual(t, len(piece), 75)
		require.True(t, utf8.ValidString(piece), "no character is cut")
		require.NotContains(t, piece, "\n")
	}
	return strings.Split(strings.TrimSuffix(strings.ReplaceAll(text, "\r\n ", ""), "\r\n"), "\r\n")
}

// unescaped reads a text value as RFC 5545, 3.3.11 has it.
func unescaped(t require.TestingT, s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		require.NotContains(t, ",;\n", s[i:i+1], "these stand behind a backslash")
		if s[i] != '\\' {
			b.WriteByte(s[i])
			continue
		}
		i++
		require.Less(t, i, len(s))
		switch s[i] {
		case 'n':
			b.WriteByte('\n')
		case '\\', ',', ';':
			b.WriteByte(s[i])
		default:
			require.Fail(t, "unknown escape")
		}
	}
	return b.String()
}

func laidExample() model.Laid {
	return model.Laid{Costs: plan.Costs{Visit: 45, Tide: 180}, AfterLow: 0.25, Calendar: plan.Calendar{Outings: []plan.Outing{
		{Low: plan.Low{Day: int(survey.MakeDay(2031, 5, 21)), Minute: 11 * 60, Height: -0.1}, Parts: []plan.Part{{Bed: "öster, ledge; a \\ b", Number: 1, Of: 2, Work: 120}}},
		{Low: plan.Low{Day: int(survey.MakeDay(2031, 5, 22)), Minute: 20, Height: 0.25}, Parts: []plan.Part{{Bed: "point", Number: 1, Of: 1, Work: 40}, {Bed: "rocks", Number: 1, Of: 1, Work: 20}}},
	}}}
}

// Each outing is an event with what RFC 5545, 3.6.1 asks of one; one that begins before midnight does so there too.
func TestCalendarFile(t *testing.T) {
	text := string(calendarFile(laidExample(), survey.MakeDay(2030, 9, 1), false))
	lines := unfolded(t, text)
	assert.Equal(t, []string{"BEGIN:VCALENDAR", "VERSION:2.0"}, lines[:2])
	assert.Equal(t, "END:VCALENDAR", lines[len(lines)-1])
	values := map[string][]string{}
	for _, l := range lines {
		name, value, ok := strings.Cut(l, ":")
		require.True(t, ok)
		values[name] = append(values[name], value)
	}
	assert.Equal(t, []string{"20310521T093000", "20310521T230100"}, values["DTSTART"])
	assert.Equal(t, []string{"20310521T113000", "20310522T004600"}, values["DTEND"])
	assert.Equal(t, []string{"20300901T000000Z", "20300901T000000Z"}, values["DTSTAMP"])
	require.Len(t, values["UID"], 2)
	assert.NotEqual(t, values["UID"][0], values["UID"][1])
	assert.Equal(t, "Survey: öster, ledge; a \\ b (1 of 2)", unescaped(t, values["SUMMARY"][0]))
	assert.Equal(t, "Survey: point, rocks", unescaped(t, values["SUMMARY"][1]))
	assert.Equal(t, "Low water 11:00, -0.1 m. On the shore from 09:30, leave by 11:30, finished or not.\nThe local tide table and the weather decide. Never alone; tell someone ashore.",
		unescaped(t, values["DESCRIPTION"][0]))
	assert.Contains(t, string(calendarFile(laidExample(), 0, true)), "SUMMARY:INVENTED DATA. Survey")
}

// Any text comes back from a folded line.
func TestCalendarText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`[a-zäøß字\\;,:\n -]{0,300}`).Draw(t, "text")
		lines := unfolded(t, foldedLine("SUMMARY:"+escaped(s)))
		require.Len(t, lines, 1)
		require.Equal(t, s, unescaped(t, strings.TrimPrefix(lines[0], "SUMMARY:")))
	})
}
