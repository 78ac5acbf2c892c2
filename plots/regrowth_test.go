package plots

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// regrowthInput is an invented plot.
func regrowthInput() RegrowthInput {
	in := RegrowthInput{Plot: "K1", Species: "Laminaria digitata", K: 9.6, KLo: 8.7, KHi: 10.8, R: 0.82, RLo: 0.71, RHi: 0.94, Level: 0.95,
		TCut: 2.26, Status: "ok", Invented: true}
	curve := func(t float64) float64 { return 9.6 / (1 + 15*math.Exp(-0.82*t)) }
	for i := range 11 {
		t := 0.7 * float64(i)
		in.T, in.Fitted = append(in.T, t), append(in.Fitted, curve(t))
		r := 0.12 * math.Sin(float64(3*i))
		in.Residuals, in.Observed = append(in.Residuals, r), append(in.Observed, curve(t)*math.Exp(r))
	}
	for i := range 61 {
		t := 7 * float64(i) / 60
		in.CurveT, in.Curve = append(in.CurveT, t), append(in.Curve, curve(t))
	}
	for r := 0.6; r < 1.1; r += 0.02 {
		in.ProfileR, in.ProfileT = append(in.ProfileR, r), append(in.ProfileT, (r-0.82)/0.051)
	}
	return in
}

func TestRegrowth(t *testing.T) { golden(t, "regrowth", Regrowth(regrowthInput())) }

func TestRegrowthUnderTheTablesCeiling(t *testing.T) {
	in := regrowthInput()
	in.K, in.KLo, in.KHi, in.ProfileR, in.ProfileT = 60, math.NaN(), math.NaN(), nil, nil
	in.Status = "ceiling from the table: no bend in the measures"
	golden(t, "regrowth_ceiling", Regrowth(in))
}

func TestRegrowthEmpty(t *testing.T) {
	golden(t, "regrowth_empty", Regrowth(RegrowthInput{Plot: "S1", Species: "Fucus serratus", K: math.NaN(), R: math.NaN(), Status: "needs 4 measures, has 3"}))
}

func TestRegrowthWords(t *testing.T) {
	f := Regrowth(regrowthInput())
	assert.Contains(t, f.Alt, nbspFor("Here r = 0.82 a year (95_% interval 0.71 to 0.94). Ceiling 9.6 kg/m2. After 0 years: 0.6 kg/m2, by the curve 0.6."))
	assert.Contains(t, f.Caption, "n = 11")
	assert.Panics(t, func() { Regrowth(RegrowthInput{T: []float64{1}}) })
}
