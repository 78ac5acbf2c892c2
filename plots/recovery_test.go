package plots

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// recoveryInput is an invented bed: the yearly growth of a logistic stand with r 0.8 and K 9 600 kg, with a band of a
// quarter to either side.
func recoveryInput() RecoveryInput {
	in := RecoveryInput{
		Bed: "Kittle Ledge", Species: "Saccharina latissima", Level: 0.95, Draws: 4000, Invented: true,
		Limit: 1920, Trigger: 3840, AdviceStock: 6100, AdviceKg: 1150, AdviceOK: true,
		Cuts: []CutPoint{
			{"2020", 7200, 900, verdictBelow},
			{"2021", 6900, 1300, verdictDoubt},
			{"2022", 5200, 2600, verdictAbove},
			{"2023", 4700, 1500, verdictDoubt},
			{"2024", 5600, 800, verdictBelow},
		},
	}
	const r, k = 0.8, 9600.0
	for i := range 61 {
		b := k * float64(i) / 60
		grown := 0.0
		if b > 0 {
			grown = 1/(math.Exp(-r)/b+(1-math.Exp(-r))/k) - b
		}
		in.Stock = append(in.Stock, b)
		in.Median = append(in.Median, grown)
		in.Lo = append(in.Lo, 0.75*grown)
		in.Hi = append(in.Hi, 1.25*grown)
	}
	return in
}

func TestRecovery(t *testing.T) {
	golden(t, "recovery", Recovery(recoveryInput()))
}

func TestRecoveryNoAdvice(t *testing.T) {
	in := recoveryInput()
	in.AdviceOK, in.Note = false, "the last survey is over three years old, so the stock of this year is not known"
	in.AdviceStock, in.AdviceKg = math.NaN(), math.NaN()
	// A large bed: both axes in tonnes.
	for _, s := range [][]float64{in.Stock, in.Median, in.Lo, in.Hi} {
		for i := range s {
			s[i] *= 20
		}
	}
	for i := range in.Cuts {
		in.Cuts[i].Stock *= 20
		in.Cuts[i].Kg *= 20
	}
	in.Limit, in.Trigger = 20*in.Limit, 20*in.Trigger
	golden(t, "recovery_noadvice", Recovery(in))
}

func TestRecoveryCrowded(t *testing.T) {
	in := recoveryInput()
	in.Limit, in.Trigger, in.AdviceStock, in.AdviceKg = 5000, 5200, 5150, 1210
	in.Cuts = nil
	for i, y := range []string{"2015", "2016", "2017", "2018", "2019", "2020", "2021", "2022", "2023", "2024"} {
		in.Cuts = append(in.Cuts, CutPoint{y, 5000 + 40*float64(i%4), 1100 + 30*float64(i%5), []string{verdictBelow, verdictDoubt}[i%2]})
	}
	golden(t, "recovery_crowded", Recovery(in))
}

func TestRecoveryWithoutCurve(t *testing.T) {
	in := recoveryInput()
	in.Stock, in.Median, in.Lo, in.Hi = nil, nil, nil, nil
	in.AdviceOK, in.Note = false, "not converged"
	golden(t, "recovery_nocurve", Recovery(in))
}

func TestRecoveryEmpty(t *testing.T) {
	f := Recovery(RecoveryInput{Bed: "Kittle Ledge", Limit: math.NaN(), Trigger: math.NaN()})
	golden(t, "recovery_empty", f)
	assert.Contains(t, f.Alt, "No recovery curve")
	assert.Contains(t, f.Alt, "No advice")
}

func TestRecoveryBadNumbers(t *testing.T) {
	in := recoveryInput()
	nan, inf := math.NaN(), math.Inf(1)
	in.Median[10], in.Lo[20], in.Hi[30], in.Stock[40], in.Hi[50] = nan, nan, inf, nan, -inf
	in.Cuts[1].Stock, in.Cuts[2].Kg = nan, inf
	in.AdviceKg, in.Limit, in.Trigger = nan, inf, -inf
	f := Recovery(in)
	svg, err := f.SVG()
	require.NoError(t, err)
	wellFormed(t, svg)
	assert.Len(t, f.Warnings, 2)
	assert.NotContains(t, f.Alt, "NaN")
	assert.NotContains(t, f.Alt, "Inf")
	assert.NotContains(t, f.Alt, "?")
}

func TestRecoveryPanicsOnUnequalSlices(t *testing.T) {
	in := recoveryInput()
	in.Lo = in.Lo[1:]
	assert.PanicsWithValue(t, "plots: recovery: slices of unequal length", func() { Recovery(in) })
}
