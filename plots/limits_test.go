package plots

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// limitInput is an invented shore.
func limitInput() LimitInput {
	nan := math.NaN()
	return LimitInput{Draws: 4000, Invented: true, Rows: []LimitRow{
		{"Kittle Ledge, Saccharina latissima", 8200, 2100, 1580, 1930, 1500, 1, "replacement", ""},
		{"Kittle Ledge, Laminaria digitata", 30500, 4400, 5900, 7100, 4300, 1, "cap", ""},
		{"Otter Skerry, Palmaria palmata", 940, 230, 180, 96, 41, 0.43, "low stock", ""},
		{"North Sound, Ascophyllum nodosum", 12800, 3900, 2500, 1490, 1400, 1, "risk", ""},
		{"Grey Stack, Alaria esculenta", 400, 90, 700, 260, 90, 1, "cap", ""},
		{"Sallow Point, Undaria pinnatifida", 610, 150, nan, nan, 150, 1, "cap", ""},
		{"Whelk Bay, Fucus vesiculosus", 2000, nan, nan, nan, nan, nan, "closed", "closed: water quality, until lifted"},
		{"Whelk Bay, Saccharina latissima", nan, nan, nan, nan, nan, nan, "not assessed", "the last survey is three years old and what a storm left since is not known"},
	}}
}

func TestLimits(t *testing.T) {
	golden(t, "limits", Limits(limitInput()))
}

func TestLimitsEmpty(t *testing.T) {
	golden(t, "limits_empty", Limits(LimitInput{}))
}

func TestLimitsWithoutAdvice(t *testing.T) {
	in := limitInput()
	in.Rows = in.Rows[6:]
	golden(t, "limits_noadvice", Limits(in))
}

func TestLimitsOrder(t *testing.T) {
	var got []string
	for _, r := range sortLimits(limitInput().Rows) {
		got = append(got, r.Label)
	}
	assert.Equal(t, []string{"Sallow Point, Undaria pinnatifida", "Grey Stack, Alaria esculenta", "Kittle Ledge, Saccharina latissima",
		"Kittle Ledge, Laminaria digitata", "North Sound, Ascophyllum nodosum", "Otter Skerry, Palmaria palmata",
		"Whelk Bay, Fucus vesiculosus", "Whelk Bay, Saccharina latissima"}, got)
}

func TestLimitsWords(t *testing.T) {
	f := Limits(limitInput())
	assert.Contains(t, f.Alt, nbspFor("Otter Skerry, Palmaria palmata: advised 41_kg of 940_kg, cap 230_kg, replacement 180_kg, risk 96_kg, low stock factor 0.43, limited by low stock."))
	assert.Contains(t, f.Alt, "Whelk Bay, Fucus vesiculosus: closed: water quality, until lifted.")
	assert.Contains(t, f.Caption, "6 of 8 rows")
	assert.NotContains(t, f.Alt, "NaN")
	assert.Equal(t, "risk", limitInput().Rows[2].smallest())
}
