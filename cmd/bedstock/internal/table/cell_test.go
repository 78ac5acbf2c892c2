package table

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestCellIsNeverZeroForMissing(t *testing.T) {
	for _, c := range []Cell{
		Missing, {}, Text(""), Number(math.NaN(), 3), Number(math.Inf(1), 0), Number(math.Inf(-1), 2),
		Estimate(math.NaN(), 1), Estimate(math.Inf(1), 1),
	} {
		assert.True(t, c.IsMissing())
		assert.Equal(t, "-", c.String())
		assert.Equal(t, "", c.csv())
		assert.Equal(t, "null", string(c.json()))
		assert.True(t, math.IsNaN(c.Value()))
	}
	assert.False(t, Number(0, 3).IsMissing())
	assert.Equal(t, "0", Number(0, 3).csv())
}

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		cell       Cell
		text, file string
	}{
		{Number(12345.6, 3), "12300", "12300"},
		{Number(0.10449, 2), "0.10", "0.1"},
		{Number(0.187, 0), "0.187", "0.187"},
		{Number(9.996, 3), "10.0", "10"},
		{Number(-0.0004999, 1), "-0.0005", "-0.0005"},
		{Number(math.Copysign(0, -1), 0), "0", "0"},
		{Number(math.Copysign(0, -1), 3), "0", "0"},
		{Number(1234567, 0), "1234567", "1234567"},
		{Number(1e15, 0), "1e+15", "1e+15"},
		{Number(3e-9, 2), "0.0000000030", "3e-09"},
		{Number(3e-300, 2), "3e-300", "3e-300"},
		{Int(12), "12", "12"},
		{Int(-7), "-7", "-7"},
		{Bool(true), "yes", "yes"},
		{Bool(false), "no", "no"},
	} {
		assert.Equal(t, c.text, c.cell.String())
		assert.Equal(t, c.file, c.cell.csv())
	}
}

func TestDisplayDecimals(t *testing.T) {
	assert.Equal(t, "12300", Number(12345.6, 3).display(0))
	assert.Equal(t, "0.20", Number(0.2, 2).display(2))
	assert.Equal(t, "0.00", Number(-0.001, 0).display(2), "no minus before a zero")
	assert.Equal(t, "12", Int(12).display(2), "a count has no decimals")
}

// A number in full reads back as the same float; a rounded one differs by at most half a unit of its last digit.
func TestNumberReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64().Draw(t, "v")
		digits := rapid.IntRange(-1, 18).Draw(t, "digits")
		got, err := strconv.ParseFloat(Number(v, digits).csv(), 64)
		if err != nil {
			t.Fatal(err)
		}
		if digits <= 0 && got != v {
			t.Fatalf("%v reads back as %v", v, got)
		}
		if digits > 0 && math.Abs(got-v) > 0.5001*math.Pow(10, float64(1-digits))*math.Abs(v)+5e-324 {
			t.Fatalf("%v at %d digits reads back as %v", v, digits, got)
		}
		if again := Number(got, digits).csv(); again != Number(v, digits).csv() {
			t.Fatalf("%v rounded twice is %s", v, again)
		}
	})
}
