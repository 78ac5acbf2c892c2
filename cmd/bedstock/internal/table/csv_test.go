package table

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestCSV(t *testing.T) {
	got := CSV([]string{"bed", "stock_kg", "reason"}, [][]Cell{
		{Text("North, outer"), Number(12345.6, 3), Missing},
		{Text(`the "Ram"`), Number(math.NaN(), 3), Text("line one\nline two")},
		{Text(" blank "), Number(-2, 0), Text("=1+1")},
	})
	assert.Equal(t, `bed,stock_kg,reason
"North, outer",12300,
"the ""Ram""",,"line one
line two"
" blank ",-2,'=1+1
`, string(got))
}

func TestCSVMakesFormulasHarmless(t *testing.T) {
	for in, want := range map[string]string{
		"=cmd()": "'=cmd()", "+1": "'+1", "-1": "'-1", "@x": "'@x", "\tx": "'\tx",
		"\rx": "\"'\rx\"", "\nx": "\"'\nx\"", "=a,\"b\"": `"'=a,""b"""`,
		"a=1": "a=1", "'": "'", "1-2": "1-2",
	} {
		assert.Equal(t, "c\n"+want+"\n", string(CSV([]string{"c"}, [][]Cell{{Text(in)}})))
	}
	assert.Equal(t, "c\n-1\n", string(CSV([]string{"c"}, [][]Cell{{Number(-1, 0)}})), "numbers stay")
}

func TestCSVKeepsEmptyRowOfOneColumn(t *testing.T) {
	got := CSV([]string{"reason"}, [][]Cell{{Missing}, {Text("x")}})
	rows, err := csv.NewReader(bytes.NewReader(got)).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, [][]string{{"reason"}, {""}, {"x"}}, rows)
}

func TestMisfitsPanic(t *testing.T) {
	assert.PanicsWithValue(t, "table: row 2 has 1 cells under 2 columns", func() {
		CSV([]string{"a", "b"}, [][]Cell{{Missing, Missing}, {Missing}})
	})
	assert.PanicsWithValue(t, `table: two columns named "a"`, func() { JSON([]string{"a", "a"}, nil) })
	assert.PanicsWithValue(t, "table: no columns", func() { _ = Table{}.Text(&bytes.Buffer{}) })
}

// Whatever is in the cells, a CSV reader gets the same texts back, but for the apostrophe before formulas.
func TestCSVReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		columns := rapid.IntRange(1, 4).Draw(t, "columns")
		header := []string{"a", "b", "c", "d"}[:columns]
		texts := rapid.SliceOf(rapid.SliceOfN(rapid.String(), columns, columns)).Draw(t, "texts")
		rows := make([][]Cell, len(texts))
		for i, line := range texts {
			for _, s := range line {
				rows[i] = append(rows[i], Text(s))
			}
		}
		got, err := csv.NewReader(bytes.NewReader(CSV(header, rows))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != len(rows)+1 {
			t.Fatalf("%d rows read back as %d", len(rows), len(got)-1)
		}
		for i, line := range texts {
			for j, s := range line {
				want := strings.ReplaceAll(harmless(s), "\r\n", "\n") // the reader takes CR LF as LF
				if s == "" {
					want = ""
				}
				if got[i+1][j] != want {
					t.Fatalf("%q read back as %q", s, got[i+1][j])
				}
			}
		}
	})
}

func TestJSON(t *testing.T) {
	got := JSON([]string{"bed", "stock_kg", "n"}, [][]Cell{
		{Text("=A <b> & \"c\"\x1b"), Number(12345.6, 3), Int(4)},
		{Missing, Number(math.Inf(1), 0), Number(1e-9, 0)},
	})
	assert.Equal(t, `[
  {"bed": "=A <b> & \"c\"\u001b", "stock_kg": 12300, "n": 4},
  {"bed": null, "stock_kg": null, "n": 1e-09}
]
`, string(got))
	assert.Equal(t, "[]\n", string(JSON([]string{"bed"}, nil)))
}

// The JSON is valid for any text and number, and holds what was put in.
func TestJSONReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, v := rapid.String().Draw(t, "s"), rapid.Float64().Draw(t, "v")
		var got []map[string]any
		if err := json.Unmarshal(JSON([]string{"s", "v"}, [][]Cell{{Text(s), Number(v, 0)}}), &got); err != nil {
			t.Fatal(err)
		}
		if s != "" && got[0]["s"] != s || s == "" && got[0]["s"] != nil || got[0]["v"] != v {
			t.Fatalf("%q, %v read back as %v", s, v, got[0])
		}
	})
}
