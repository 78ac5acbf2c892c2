package plots

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// lengthInput is an invented bed.
func lengthInput() LengthInput {
	in := LengthInput{Bed: "Kittle Ledge", Species: "Ascophyllum nodosum", Survey: "2026", MinLength: 50, Leave: 25, Recruit: 10,
		Exploitable: 0.58, Lo: 0.49, Hi: 0.66, Recruits: 0.07, Level: 0.95, Count: 412, Quadrats: 38, Means: 4, Invented: true}
	fronds := []float64{0.07, 0.09, 0.13, 0.16, 0.17, 0.14, 0.1, 0.07, 0.04, 0.02, 0.01}
	sum := 0.0
	for i, f := range fronds {
		l := 10*float64(i) + 5
		in.Bins = append(in.Bins, LengthBin{10 * float64(i), 10*float64(i) + 10, f, f * l * l})
		sum += f * l * l
	}
	for i := range in.Bins {
		in.Bins[i].Weight /= sum
	}
	return in
}

func TestLengths(t *testing.T) { golden(t, "lengths", Lengths(lengthInput())) }

func TestLengthsWithoutRules(t *testing.T) {
	in := lengthInput()
	nan := math.NaN()
	in.MinLength, in.Leave, in.Recruit, in.Exploitable, in.Lo, in.Hi, in.Recruits, in.Measured = nan, nan, nan, nan, nan, nan, nan, "Blade"
	golden(t, "lengths_norules", Lengths(in))
}

func TestLengthsEmpty(t *testing.T) {
	golden(t, "lengths_empty", Lengths(LengthInput{Bed: "Kittle Ledge", Species: "Palmaria palmata", MinLength: math.NaN(),
		Leave: math.NaN(), Recruit: math.NaN(), Exploitable: math.NaN(), Recruits: math.NaN(), Reason: "no frond was measured"}))
}

func TestLengthsWords(t *testing.T) {
	f := Lengths(lengthInput())
	assert.Contains(t, f.Alt, nbspFor("By length 58_% (95_% interval 49_% to 66_%) of the weight may be cut. Recruits are 7_% of the fronds."))
	assert.Contains(t, f.Alt, nbspFor("0 to 10_cm: 7_% of the fronds, 0.1_% of the weight."))
	assert.Contains(t, f.Caption, "n = 412 measured in 38 quadrats, and the mean length of 4 more")
	empty := Lengths(LengthInput{Bins: []LengthBin{{0, 10, math.NaN(), 0.1}}, Reason: "odd"})
	assert.Contains(t, empty.Caption, "No lengths to show. odd.")
}
