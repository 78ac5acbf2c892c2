package table

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// approx passes if got is want, both are NaN, or |got-want| <= max(abs, rel*|want|).
func approx(t *testing.T, name string, got, want, rel, abs float64) {
	t.Helper()
	if got == want || math.IsNaN(got) && math.IsNaN(want) || math.Abs(got-want) <= math.Max(abs, rel*math.Abs(want)) {
		return
	}
	t.Errorf("%s: got %.17g, want %.17g, difference %.17g", name, got, want, got-want)
}

func TestSignificant(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		v, se float64
		want  string
	}{
		// JCGM 100:2008, 7.2.6: 10.05762 ohm with u = 27 mohm is given as 10.058 ohm.
		{10.05762, 0.027, "10.058"},
		{12345.6, 1234, "12300"},
		{12355, 994, "12360"},
		{12345.6, 996, "12300"}, // 996 is 1.0e3 at two digits, not 990
		{12345.6, 99.6, "12350"},
		{0.4236, 0.0996, "0.42"},
		{0.4236, 0.012, "0.424"},
		{140, 2500, "100"},
		{40, 2500, "0"},
		{-40, 2500, "0"},
		{-12345.6, 1234, "-12300"},
		{0, 0.012, "0.000"},
		{12345, 0, "12345"}, // exact
		{0, 0, "0"},
		{12345, nan, "12300"}, // three digits where the error is not known
		{0.012345, inf, "0.0123"},
		{12345, -1, "12300"},
		{0, nan, "0"},
		{nan, 1, "-"},
		{inf, 1, "-"},
		{2.5, 1e-300, "2.5"},
		{5e-324, 5e-324, "5e-324"},
	} {
		assert.Equal(t, c.want, Significant(c.v, c.se), "%v ± %v", c.v, c.se)
	}
}

func TestRound(t *testing.T) {
	approx(t, "Round", Round(12345.6, 1234), 12300, 0, 0)
	approx(t, "Round small", Round(0.00012345, 0.0000012), 0.0001234, 0, 0) // the float is below the tie
	approx(t, "Round NaN", Round(math.NaN(), 1), math.NaN(), 0, 0)
	approx(t, "Round Inf", Round(math.Inf(-1), 1), math.Inf(-1), 0, 0)
	approx(t, "Round largest", Round(math.MaxFloat64, 1e308), math.MaxFloat64, 0.1, 0)
	approx(t, "Value", Estimate(12345.6, 1234).Value(), 12300, 0, 0)
}

// Rounding moves a number by at most a twentieth of its standard error, and a second time by nothing.
func TestRoundProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e12, 1e12).Draw(t, "v")
		se := rapid.Float64Range(1e-6, 1e12).Draw(t, "se")
		r := Round(v, se)
		if math.Abs(r-v) > 0.0503*se {
			t.Fatalf("%v ± %v becomes %v", v, se, r)
		}
		if Round(r, se) != r {
			t.Fatalf("%v ± %v becomes %v, then %v", v, se, r, Round(r, se))
		}
		if Round(-v, se) != -r {
			t.Fatalf("%v and its negative differ", v)
		}
	})
}

func TestThousands(t *testing.T) {
	for in, want := range map[string]string{
		"12345":      "12\u202f345",
		"1234567":    "1\u202f234\u202f567",
		"-123456.75": "-123\u202f456.75",
		"1234":       "1234",
		"999.123456": "999.123456",
		"-":          "-",
		"":           "",
		"12a45":      "12a45",
		"1e+15":      "1e+15",
		"Bed 12345":  "Bed 12345",
		"2026-05-01": "2026-05-01",
		"12345.6-7":  "12345.6-7",
	} {
		assert.Equal(t, want, Thousands(in))
	}
}
