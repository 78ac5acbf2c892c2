package model

import (
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

// resurvey adds to a demo folder a survey of a bed on a day: the quadrats of its last survey on that day, a third as
// covered. None is weighed, so that no calibration of an earlier survey changes.
func resurvey(t *testing.T, files fstest.MapFS, bed, day string) {
	t.Helper()
	lines := strings.Split(strings.TrimRight(string(files["quadrats.csv"].Data), "\n"), "\n")
	header := strings.Split(lines[0], ",")
	column := func(name string) int {
		i := slices.Index(header, name)
		require.GreaterOrEqual(t, i, 0, name)
		return i
	}
	bedAt, dateAt := column("bed"), column("date")
	last := ""
	for _, l := range lines[1:] {
		if c := strings.Split(l, ","); c[bedAt] == bed {
			last = max(last, c[dateAt][:4])
		}
	}
	var rows strings.Builder
	for _, l := range lines[1:] {
		c := strings.Split(l, ",")
		if c[bedAt] != bed || c[dateAt][:4] != last {
			continue
		}
		c[dateAt] = day
		if v := c[column("cover_pct")]; v != "" {
			c[column("cover_pct")] = third(t, v)
		}
		c[column("biomass_g")], c[column("weighed_m2")] = "", ""
		rows.WriteString(strings.Join(c, ",") + "\n")
	}
	add(files, "quadrats.csv", rows.String())
	s := files["surveys.csv"]
	require.NotNil(t, s)
	lines = strings.Split(strings.TrimRight(string(s.Data), "\n"), "\n")
	header = strings.Split(lines[0], ",")
	for _, l := range slices.Backward(lines) {
		c := strings.Split(l, ",")
		if c[column("bed")] == bed {
			c[column("survey")] += "b"
			c[column("from")], c[column("to")] = day, day
			add(files, "surveys.csv", strings.Join(c, ",")+"\n")
			return
		}
	}
	require.Fail(t, "no survey", bed)
}

func third(t *testing.T, text string) string {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return strconv.FormatFloat(v/3, 'g', 6, 64)
}
