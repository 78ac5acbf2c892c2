package plots

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pressureInput is an invented shore.
func pressureInput() PressureInput {
	nan := math.NaN()
	return PressureInput{Level: 0.95, Invented: true, Rows: []PressureRow{
		{"Kittle Ledge, Saccharina latissima", "May 2023 to May 2024", 0.62, 0.38, 0.91, true, verdictBelow, ""},
		{"Kittle Ledge, Laminaria digitata", "May 2023 to May 2024", 1.74, 1.12, 3.05, true, verdictAbove, ""},
		{"Otter Skerry, Palmaria palmata", "June 2022 to May 2024", 6.2, 2.9, 18, true, verdictAbove, ""},
		{"North Sound, Ascophyllum nodosum", "May 2023 to May 2024", 0.97, 0.55, 4.8, true, verdictDoubt, ""},
		{"Whelk Bay, Fucus vesiculosus", "May 2023 to May 2024", 0, 0, 0, true, verdictBelow, ""},
		{"Whelk Bay, Saccharina latissima", "May 2023 to May 2024", nan, nan, nan, false, verdictDoubt, "recovery may be 0 after the storm"},
		{"Grey Stack, Laminaria digitata", "", nan, nan, nan, false, "", "one survey only, and the returns of two permits of this year are not in"},
	}}
}

func TestPressure(t *testing.T) {
	golden(t, "pressure", Pressure(pressureInput()))
}

func TestPressureOnePeriod(t *testing.T) {
	in := pressureInput()
	for i := range in.Rows {
		in.Rows[i].Period = "May 2023 to May 2024"
	}
	golden(t, "pressure_oneperiod", Pressure(in))
}

func TestPressureOneRow(t *testing.T) {
	in := pressureInput()
	in.Rows = in.Rows[:1]
	golden(t, "pressure_one", Pressure(in))
}

func TestPressureEmpty(t *testing.T) {
	golden(t, "pressure_empty", Pressure(PressureInput{}))
}

func TestPressureManyRows(t *testing.T) {
	var in PressureInput
	for i := range 60 {
		in.Rows = append(in.Rows, PressureRow{fmt.Sprintf("Bed %02d, Fucus serratus", i), "2023 to 2024",
			float64(i) / 20, float64(i) / 25, float64(i) / 15, i%7 != 0, verdictDoubt, "one survey only"})
	}
	f := Pressure(in)
	svg, err := f.SVG()
	require.NoError(t, err)
	wellFormed(t, svg)
	legible(t, svg, f)
	assert.Greater(t, f.Height, 59*17*1.)
	if *pngDir != "" {
		picture(t, "pressure_many", f)
	}
}

func TestPressureOrder(t *testing.T) {
	in := pressureInput()
	in.Rows = append(in.Rows, PressureRow{Label: "Infinite", Ratio: math.Inf(1), OK: true},
		PressureRow{Label: "Not a number", Ratio: math.NaN(), OK: true})
	before := append([]PressureRow(nil), in.Rows...)
	var got []string
	for _, r := range sortRows(in.Rows) {
		got = append(got, r.Label)
	}
	assert.Equal(t, []string{
		"Otter Skerry, Palmaria palmata",
		"Kittle Ledge, Laminaria digitata",
		"North Sound, Ascophyllum nodosum",
		"Kittle Ledge, Saccharina latissima",
		"Whelk Bay, Fucus vesiculosus",
		"Grey Stack, Laminaria digitata",
		"Infinite",
		"Not a number",
		"Whelk Bay, Saccharina latissima",
	}, got)
	for i := range before {
		assert.Equal(t, before[i].Label, in.Rows[i].Label, "the caller's rows are left as they are")
	}
	alt := Pressure(in).Alt
	assert.Contains(t, alt, "Whelk Bay, Saccharina latissima, May 2023 to May 2024: cannot tell: recovery may be 0 after the storm.")
	assert.Contains(t, alt, "Kittle Ledge, Laminaria digitata, May 2023 to May 2024: 1.7 (95"+nbsp+"% interval 1.1 to 3.0), above recovery.")
}
