package table

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func example() Table {
	t := Table{
		Title: "Standing stock",
		Columns: []Column{
			{Name: "bed", Head: "Bed"},
			{Name: "stock_kg", Head: "Stock", Unit: "kg"},
			{Name: "r_per_year", Head: "Regrowth", Unit: "1/year", Digits: 2},
			{Name: "limited_by", Head: "What limits it"},
		},
		Notes: []string{"INVENTED DATA"},
	}
	t.Add(Text("Längø"), Estimate(12345.6, 1234), Number(0.4, 0), Text("risk"))
	t.Add(Text("N"), Missing, Number(11.256, 0), Missing)
	return t
}

func TestText(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, example().Write(&b, FormatText))
	assert.Equal(t, `Standing stock
Bed    Stock  Regrowth  What limits it
          kg    1/year
Längø  12300      0.40  risk
N          -     11.26  -
INVENTED DATA
`, b.String())
}

func TestWriteFormats(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, example().Write(&b, FormatCSV))
	assert.Equal(t, "bed,stock_kg,r_per_year,limited_by\nLängø,12300,0.4,risk\nN,,11.256,\n", b.String())
	b.Reset()
	require.NoError(t, example().Write(&b, FormatJSON))
	assert.Equal(t, `[
  {"bed": "Längø", "stock_kg": 12300, "r_per_year": 0.4, "limited_by": "risk"},
  {"bed": "N", "stock_kg": null, "r_per_year": 11.256, "limited_by": null}
]
`, b.String())
	assert.Panics(t, func() { _ = example().Write(&b, "xml") })
}

func TestFormatFlag(t *testing.T) {
	var f Format
	require.NoError(t, f.UnmarshalText([]byte("json")))
	assert.Equal(t, FormatJSON, f)
	assert.EqualError(t, f.UnmarshalText([]byte("xml")), `no format "xml": there are text, csv and json`)
	assert.Equal(t, FormatJSON, f)
}

// A composed and a decomposed letter, a wide character and a control code all keep the columns in line.
func TestTextWidths(t *testing.T) {
	tab := Table{Columns: []Column{{Name: "bed"}, {Name: "n"}}}
	tab.Add(Text("Cafe\u0301"), Int(1))
	tab.Add(Text("昆布"), Int(2))
	tab.Add(Text("x\u0323\u0304"), Int(3)) // no composed form of both marks
	tab.Add(Text("a\x1b[31m\nb\u202e"), Int(4))
	var b bytes.Buffer
	require.NoError(t, tab.Text(&b))
	assert.Equal(t, "bed        n\n"+
		"Café       1\n"+
		"昆布       2\n"+
		"x\u0323\u0304          3\n"+
		"a\ufffd[31m b\ufffd  4\n", b.String())
}

func TestTextOfEmptyTable(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Table{Columns: []Column{{Name: "bed"}, {Name: "kg", Unit: "kg"}}}.Text(&b))
	assert.Equal(t, "bed  kg\n     kg\n", b.String())
}

// A column of numbers with one text in it stands to the left, one of missing numbers to the right by its unit.
func TestTextAlignment(t *testing.T) {
	tab := Table{Columns: []Column{{Name: "mixed", Digits: Auto}, {Name: "none", Unit: "kg"}, {Name: "end"}}}
	tab.Add(Number(1.5, 0), Missing, Text("z"))
	tab.Add(Text("a"), Missing, Text("z"))
	var b bytes.Buffer
	require.NoError(t, tab.Text(&b))
	assert.Equal(t, "mixed  none  end\n         kg\n1.5       -  z\na         -  z\n", b.String())
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errors.New("closed") }

func TestWriteErrorIsReturned(t *testing.T) {
	for _, f := range []Format{FormatText, FormatCSV, FormatJSON} {
		assert.EqualError(t, example().Write(broken{}, f), "closed")
	}
	assert.NotPanics(t, func() { _ = example().Write(&strings.Builder{}, FormatText) })
}
