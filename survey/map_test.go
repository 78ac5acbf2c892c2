package survey

import (
	"math/big"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Factors of the international yard and pound are exact by definition (1959).
func TestUnitFactors(t *testing.T) {
	column := func(name string, spec *tableSpec) *column { return spec.find(name) }
	for _, c := range []struct {
		spec                     *tableSpec
		column, unit, from, want string
	}{
		{&quadratsTable, "biomass_g", "kg", "2.35", "2350"},
		{&quadratsTable, "biomass_g", "lb", "1", "453.59237"},
		{&quadratsTable, "biomass_g", "mg", "5", "0.005"},
		{&quadratsTable, "frond_cm", "mm", "1234", "123.4"},
		{&quadratsTable, "frond_cm", "in", "0.1", "0.254"},
		{&quadratsTable, "frond_cm", "m", "-.5e1", "-500"},
		{&quadratsTable, "quadrat_m2", "cm2", "2500", "0.25"},
		{&quadratsTable, "quadrat_m2", "cm²", "625", "0.0625"},
		{&quadratsTable, "cover_pct", "fraction", "0.07", "7"},
		{&harvestTable, "wet_kg", "t", "0.035", "35"},
		{&harvestTable, "wet_kg", "g", "1", "0.001"},
		{&harvestTable, "wet_kg", "lb", "100", "45.359237"},
		{&bedsTable, "area_m2", "ha", "1.25", "12500"},
		{&bedsTable, "area_m2", "acre", "1", "4046.8564224"},
		{&surveysTable, "low_water_m", "cm", "40", "0.4"},
	} {
		factor, bad := unitFactor(column(c.column, c.spec), c.unit)
		require.Nil(t, bad, c.unit)
		assert.Equal(t, c.want, product(c.from, factor), "%s %s", c.from, c.unit)
	}
	_, bad := unitFactor(quadratsTable.find("frond_cm"), "kg")
	assert.NotNil(t, bad)
	for _, s := range []string{"", "x", "1,5", "0x10", "1e400", "NaN", "--1"} {
		assert.Equal(t, s, product(s, "10"), "what is no number is refused where it is read")
	}
}

// A product and a sum of decimals are exact: the same as of fractions of whole numbers.
func TestDecimalsAreExact(t *testing.T) {
	number := rapid.StringMatching(`-?[0-9]{1,12}(\.[0-9]{0,9})?(e-?[0-9]{1,2})?`)
	rapid.Check(t, func(t *rapid.T) {
		a, b := number.Draw(t, "a"), number.Draw(t, "b")
		x, ok := new(big.Rat).SetString(a)
		y, fine := new(big.Rat).SetString(b)
		require.True(t, ok && fine)
		check := func(want *big.Rat, got string) {
			v, ok := new(big.Rat).SetString(got)
			require.True(t, ok, got)
			require.Zero(t, want.Cmp(v), "%s is not %s", got, want)
			f, _ := want.Float64()
			g, err := strconv.ParseFloat(got, 64)
			require.NoError(t, err)
			require.Equal(t, f, g, "rounded once")
		}
		check(new(big.Rat).Mul(x, y), product(a, b))
		check(new(big.Rat).Add(x, y), sum([]string{a, b}))
	})
}

func TestSumOfParts(t *testing.T) {
	assert.Equal(t, "0.3", sum([]string{"0.1", "0.2"}))
	assert.Equal(t, "", sum([]string{"0.1", ""}), "a blank part")
	assert.Equal(t, "na", sum([]string{"0.1", "na"}), "to be refused")
}

func TestDayForms(t *testing.T) {
	for _, c := range []struct{ form, s, want string }{
		{"DD.MM.YYYY", "4.6.2026", "2026-06-04"},
		{"DD.MM.YYYY", "04.06.2026", "2026-06-04"},
		{"MM/DD/YYYY", "10/13/2017", "2017-10-13"},
		{"YYYY_MM_DD", "2021_06_02", "2021-06-02"},
		{"YYYYMMDD", "20260604", "2026-06-04"},
		{"YYYY Month DD", "2014 August 15", "2014-08-15"},
		{"DD-Month-YYYY", "3-Sept-2026", "3-Sept-2026"}, // three letters or the whole name
		{"DD-Month-YYYY", "3-sep-2026", "2026-09-03"},
		{"DD. Month YYYY", "3. May 2026", "2026-05-03"},
		{"DD.MM.YYYY", "4.6.26", "4.6.26"},
		{"DD.MM.YYYY", "4.6.2026 x", "4.6.2026 x"},
		{"YYYYMMDD", "2026604", "2026604"},
		{"DD.MM.YYYY", "31.02.2026", "2026-02-31"}, // refused as no such day
	} {
		f, err := parseForm(c.form)
		require.NoError(t, err, c.form)
		assert.Equal(t, c.want, f.iso(c.s), c.form)
	}
	for _, form := range []string{"", "YYYY", "DD.MM.YY", "YYYY-MM-DD-DD", "YYYY MM Month DD", "day DD.MM.YYYY", "MMonthYYYYDD"} {
		_, err := parseForm(form)
		assert.Error(t, err, form)
	}
}

func TestPatterns(t *testing.T) {
	p, err := parsePattern("T{Transect}-{Plot}")
	require.NoError(t, err)
	assert.Equal(t, []string{"Transect", "Plot"}, p.headers)
	assert.Equal(t, "T3-7", p.fill([]string{"3", "7"}))
	assert.Equal(t, "T-7", p.fill([]string{"", "7"}))
	assert.Equal(t, "", p.fill([]string{"", ""}), "nothing is nothing")
	for _, s := range []string{"x", "{", "}", "{}", "{a}}", "{a{b}}"} {
		_, err := parsePattern(s)
		assert.Error(t, err, s)
	}
}

// Every unit of a column can be converted from, so that a new column with another unit is thought of.
func TestEveryUnitIsKnown(t *testing.T) {
	other := map[string]bool{"": true, "kg/m2": true, "degrees": true, "month": true, "per year": true}
	for _, spec := range surveyTables {
		for _, c := range spec.columns {
			if _, known := columnUnits[c.unit]; !known {
				assert.True(t, other[c.unit], "%s %s", c.name, c.unit)
			}
		}
	}
}
