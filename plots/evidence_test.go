package plots

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// evidenceInput is an invented stand.
func evidenceInput() EvidenceInput {
	nan := math.NaN()
	return EvidenceInput{Bed: "Kittle Ledge", Species: "Laminaria digitata", Level: 0.95, Draws: 4000, Invented: true, Rows: []EvidenceRow{
		{Source: "species table", R: 0.8, RLo: 0.28, RHi: 2.3, K: 41000, KLo: 12000, KHi: 142000},
		{Source: "regrowth plots", R: 0.79, RLo: 0.69, RHi: 0.9, K: nan, KLo: nan, KHi: nan, Note: "tell no K of a bed", Measurements: 3},
		{Source: "surveys alone", R: nan, RLo: nan, RHi: nan, K: 61000, KLo: 39000, KHi: 160000, Note: "do not tell", Measurements: 5},
		{Source: "all together", R: 0.74, RLo: 0.42, RHi: 1.31, K: 55000, KLo: 41000, KHi: 83000, All: true},
	}}
}

func TestEvidence(t *testing.T)      { golden(t, "evidence", Evidence(evidenceInput())) }
func TestEvidenceEmpty(t *testing.T) { golden(t, "evidence_empty", Evidence(EvidenceInput{})) }

func TestEvidenceWords(t *testing.T) {
	f := Evidence(evidenceInput())
	assert.Contains(t, f.Alt, nbspFor("species table: r 0.8 a year (0.28 to 2.3), K 41_t (12_t to 142_t)."))
	assert.Contains(t, f.Alt, "surveys alone (5): r do not tell, K")
	assert.NotContains(t, f.Alt, "NaN")
}

func TestLogarithmic(t *testing.T) {
	labels := func(vs ...float64) (out []string) {
		for _, t := range logarithmic(vs).ticks {
			out = append(out, t.label)
		}
		return out
	}
	assert.Equal(t, []string{"0.5", "1", "2"}, labels(0.4, 2.1))
	assert.Equal(t, []string{"0.3", "1", "3", "10"}, labels(0.2, 11))
	assert.Equal(t, []string{"0.1", "1", "10", "100"}, labels(0.1, 150))
	assert.NotEmpty(t, labels(math.NaN()))
	assert.NotEmpty(t, labels(0.8), "one value")
}
