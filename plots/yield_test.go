package plots

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// yieldInput is an invented bed.
func yieldInput() YieldInput {
	in := YieldInput{Bed: "Kittle Ledge", Species: "Laminaria digitata", Years: 10, RiskRule: 0.05, Advised: 0.17, Third: 0.33,
		Persistence: 0.52, Draws: 4000, Invented: true}
	for i := range 25 {
		h := 0.025 * float64(i)
		in.Fraction = append(in.Fraction, h)
		in.Yield = append(in.Yield, 14000*h*math.Max(1-h/0.56, 0.02))
		in.Risk = append(in.Risk, 1/(1+math.Exp(-(h-0.32)/0.055)))
	}
	return in
}

func TestYield(t *testing.T) {
	golden(t, "yield", Yield(yieldInput()))
}

func TestYieldWithoutAdvice(t *testing.T) {
	in := yieldInput()
	in.Advised, in.Persistence, in.Note = math.NaN(), 0.9, "The bed is closed"
	golden(t, "yield_noadvice", Yield(in))
}

func TestYieldEmpty(t *testing.T) {
	golden(t, "yield_empty", Yield(YieldInput{Bed: "Kittle Ledge", Species: "Undaria pinnatifida", Advised: math.NaN(),
		Third: math.NaN(), Persistence: math.NaN(), Note: "an annual's next year does not follow from what is left"}))
}

// Marks close together keep their words apart, and a risk near none still shows what is allowed.
func TestYieldCrowded(t *testing.T) {
	in := yieldInput()
	in.Advised, in.Third, in.Persistence = 0.32, 0.33, 0.34
	for i := range in.Risk {
		in.Risk[i] *= 0.001
	}
	golden(t, "yield_crowded", Yield(in))
}

func TestYieldWords(t *testing.T) {
	f := Yield(yieldInput())
	assert.Contains(t, f.Alt, nbspFor("Advised 17_% of the exploitable stock: 1_660_kg a year, risk 6.2_%."))
	assert.Contains(t, f.Alt, nbspFor("Cutting 30_%: 1_950_kg a year, risk 41_%."))
	assert.Contains(t, f.Caption, "dotted, a third, the rule of thumb")
	assert.Contains(t, f.Caption, "INVENTED DATA")
	assert.Panics(t, func() { Yield(YieldInput{Fraction: []float64{0, 1}, Yield: []float64{1}, Risk: []float64{0, 1}}) })
}

func TestCurveAt(t *testing.T) {
	xs, ys := []float64{0, 1, 3}, []float64{0, 2, 0}
	assert.InDelta(t, 1, at(xs, ys, 0.5), 1e-12)
	assert.InDelta(t, 1, at(xs, ys, 2), 1e-12)
	assert.True(t, math.IsNaN(at(xs, ys, 3.1)))
	assert.True(t, math.IsNaN(at(xs, ys, math.NaN())))
}
