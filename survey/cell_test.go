package survey

import (
	"math"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/gocarina/gocsv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseNumber(t *testing.T) {
	for s, want := range map[string]float64{
		"0": 0, "-0.5": -0.5, "+3": 3, ".5": 0.5, "5.": 5, "1e3": 1000, "2.5E-2": 0.025, "0012": 12, "1e-400": 0,
		"0.1": 0.1, "12345678.901": 12345678.901, "9007199254740993": 9007199254740992,
	} {
		v, bad := parseNumber(s)
		assert.Nil(t, bad, s)
		assert.Equal(t, want, v, s)
	}
	for _, s := range []string{"1,5", "1 000", "1_000", "0x1F", "0x1p-2", "NaN", "Inf", "-inf", "infinity", "1e", "e5", "--1", "1.2.3",
		"+", ".", "１", "−5", "1e999", "-1e999", "12 cm", "<5", "1/2", "5%"} {
		_, bad := parseNumber(s)
		assert.NotNil(t, bad, s)
	}
}

func TestNumberHints(t *testing.T) {
	area := tableOf("beds.csv").find("area_m2")
	cover := tableOf("quadrats.csv").find("frond_cm")
	share := tableOf("permits.csv").find("share")
	for _, c := range []struct {
		column  *column
		s, want string
	}{
		{area, "2,5", "write numbers with a decimal point and without thousands marks: 2.5, 1234"},
		{area, "<5", "write the number alone; say the rest in notes"},
		{area, "NA", "leave the cell blank where there is no value"},
		{area, "5 m2", "write the number alone, without unit or blanks"},
		{area, "many", "write a number alone, or leave the cell blank where there is none"},
		{area, "0", ""},
		{cover, "0", "leave the cell blank where it is not known"},
		{share, "30", "a fraction, not percent: 0.3 stands for 30 %"},
	} {
		v, bad := c.column.number(c.s)
		require.NotNil(t, bad, c.s)
		assert.Equal(t, c.want, bad.hint, c.s)
		assert.True(t, math.IsNaN(v), c.s)
	}
}

// A blank cell is missing and never 0, also where its column is absent from the file.
func TestCellsKeepBlankApartFromZero(t *testing.T) {
	type row struct {
		A numberCell `csv:"a"`
		B numberCell `csv:"b"`
		C dayCell    `csv:"c"`
		D dayCell    `csv:"d"`
		E textCell   `csv:"e"`
	}
	spec := &tableSpec{file: "x.csv", columns: []column{numberColumn("a", "", ""), numberColumn("b", "", ""),
		dateColumn("c", ""), dateColumn("d", ""), truthColumn("e", "")}}
	found := &findings{}
	r := newRowReader(&tableText{text: "a,c,b,e\n,, 0 ,\n2,1970-01-01,,Yes\n", sep: ','}, spec, InputRules{}, found)
	require.NotNil(t, r)
	rows, lines := decodeRows[row](r)
	require.Empty(t, found.list)
	require.Len(t, rows, 2)
	assert.Equal(t, []int{2, 3}, lines)
	assert.Equal(t, []Num{{}, Some(0), Some(2), {}}, []Num{rows[0].A.Num, rows[0].B.Num, rows[1].A.Num, rows[1].B.Num})
	assert.Equal(t, []Day{NoDay, NoDay, 0, NoDay}, []Day{rows[0].C.Day, rows[0].D.Day, rows[1].C.Day, rows[1].D.Day})
	assert.Equal(t, []string{"", "yes"}, []string{rows[0].E.s, rows[1].E.s})
	assert.True(t, math.IsNaN(rows[0].A.orNaN()))
}

func TestSplitList(t *testing.T) {
	assert.Nil(t, textCell{}.split())
	assert.Nil(t, textCell{" ; ;"}.split())
	assert.Equal(t, []string{"a", "b c"}, textCell{" a;b c ;"}.split())
}

// Every row struct has a field for every column, or decoding would panic.
func TestCellsPanicWithoutField(t *testing.T) {
	type row struct {
		A textCell `csv:"a"`
	}
	assert.PanicsWithValue(t, "survey: no field for column b of x.csv", func() {
		cellFields(reflect.TypeFor[row](), &tableSpec{file: "x.csv", columns: []column{textColumn("a", ""), textColumn("b", "")}})
	})
	var _ gocsv.TypeUnmarshaller = (*textCell)(nil)
	var _ gocsv.TypeUnmarshaller = (*numberCell)(nil)
	var _ gocsv.TypeUnmarshaller = (*dayCell)(nil)
}

// Plain numbers are read as strconv reads them, bit by bit.
func TestPlainNumber(t *testing.T) {
	number := rapid.StringMatching(`[0-9]{0,16}\.?[0-9]{0,15}|[-+]?\d{1,3}(e\d)?`)
	rapid.Check(t, func(t *rapid.T) {
		s := number.Draw(t, "s")
		want, err := strconv.ParseFloat(s, 64)
		if got, ok := plainNumber(s); ok {
			require.NoError(t, err)
			require.Equal(t, math.Float64bits(want), math.Float64bits(got))
		} else {
			require.True(t, err != nil || len(s) > 15 || strings.ContainsAny(s, "+-e") || s[0] == '.')
		}
	})
}
