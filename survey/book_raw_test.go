package survey

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// cellsOf are the cells of the one sheet of a workbook, row by row.
func cellsOf(t testing.TB, raw []byte) (*sheet, [][]string) {
	b, err := openBook("survey.xlsx", string(raw))
	require.NoError(t, err)
	s, err := b.sheets[0].scanSheet()
	require.NoError(t, err)
	var out [][]string
	for i := range s.rows {
		out = append(out, s.row(i))
	}
	return s, out
}

// Every way in which a cell can be written is read.
func TestScanCells(t *testing.T) {
	s, rows := cellsOf(t, rawBook(t, [2]string{"x", `<cols><col min="2" max="3" hidden="1"/></cols><sheetData>` +
		`<row><c t="s"><v>0</v></c><c t="s"><v> 1 </v></c><c t="inlineStr"><is><r><t>in</t></r><r><t xml:space="preserve"> line</t></r></is></c><c t="str"><f>A1</f><v>a_x0041_b</v></c></row>` +
		`<row r="4"><c r="B4"><v>0.12300000000000001</v></c><c r="D4" s="9"><v>1E2</v></c><c><v>-0</v></c></row>` +
		`<row r="5" hidden="true"><c s="1"><v>48000</v></c><c s="2"><v>0.305</v></c><c s="3"><v>0.5</v></c><c s="4"><v>1.25</v></c><c s="1"><v>60</v></c><c s="1"><v>59</v></c><c s="1"><v>48000.25</v></c></row>` +
		`<row r="6"/><row r="7"><c s="1"/><c t="s"/><c t="b"/><c t="e"/><c t="d"/><c t="b"><v/></c><c t="n"/></row>` +
		`<row r="8"><c t="e"><v>#N/A</v></c><c t="b"><v>1</v></c><c><f>B1</f></c><c t="str"><f>B1</f><v></v></c><c t="d"><v>2031-06-14T00:00:00Z</v></c><c t="str"><v>x_x0001_</v></c></row>` +
		`</sheetData><mergeCells><mergeCell ref="A1:B1"/></mergeCells><extLst><ext><row/></ext></extLst>`}))
	assert.Equal(t, [][]string{
		{"A", "Fucus serratus", "in line", "aAb"},
		{"", "0.12300000000000001", "", "100", "-0"},
		{"2031-06-01", "30.5%", "12:00", "30:00", "60", "1900-02-28", "2031-06-01 06:00"},
		{"#N/A", "TRUE", "=", "", "2031-06-14", "U+0001"},
	}, rows)
	var lines []int
	for _, r := range s.rows {
		lines = append(lines, r.line)
	}
	assert.Equal(t, []int{1, 4, 5, 8}, lines)
	assert.Equal(t, []cellKind{errorCell, truthCell, noneCell, openCell, midnightCell, unseenCell}, s.kinds[len(s.kinds)-6:])
	assert.True(t, s.rows[2].hidden)
	assert.Equal(t, []string{"A1:B1"}, s.merged)
	assert.Equal(t, []reach{{2, 3}}, s.covers)
}

// A sheet that cannot be as a program writes it is refused.
func TestScanRefuses(t *testing.T) {
	for data, want := range map[string]string{
		`<row r="2"/><row r="1"/>`:                                 "row 1 follows row 2",
		`<row r="1048577"/>`:                                       "row 1048577 follows row 0",
		`<row r="1"><c r="B1"><v>1</v></c><c r="A1"/></row>`:       `cell "A1" in row 1`,
		`<row r="1"><c r="A2"><v>1</v></c></row>`:                  `cell "A2" in row 1`,
		`<row r="1"><c r="ZZZZ1"><v>1</v></c></row>`:               `cell "ZZZZ1" in row 1`,
		`<row r="1"><c r="CXY1"><v>1</v></c></row>`:                "cell CXY1 is filled: a table has at most 2000 columns",
		`<row r="1"><c t="s"><v>7</v></c></row>`:                   `a cell of row 1 has the text number "7", and there is none`,
		`<row r="1"><c><v>1</v></row>`:                             "XML syntax error",
		`<row r="1"><c><v>1</v></c></row></sheetData></worksheet>`: "",
	} {
		b, err := openBook("x.xlsx", string(rawBook(t, [2]string{"x", "<sheetData>" + data + "</sheetData>"})))
		require.NoError(t, err)
		_, err = b.sheets[0].scanSheet()
		if want == "" {
			require.NoError(t, err)
			continue
		}
		require.ErrorContains(t, err, want, data)
	}
}

func TestColumnNames(t *testing.T) {
	for n := 1; n <= sheetColumns; n++ {
		require.Equal(t, n, columnNumber(columnName(n)))
	}
	assert.Equal(t, "XFD", columnName(sheetColumns))
	assert.Equal(t, "AA12", cellName(27, 12))
	for _, s := range []string{"", "1", "A1", "ÄA", "AAAAAAAAAAAAAAAAAAAA"} {
		assert.True(t, columnNumber(s) == 0 || columnNumber(s) > sheetColumns, s)
	}
}

func TestFormats(t *testing.T) {
	for code, want := range map[string]cellFormat{
		"General": numberFormat, "0.00": numberFormat, "#,##0.00 [$€-407]": numberFormat, `0.0" days"`: numberFormat, "0.00E+00": numberFormat,
		"@": numberFormat, "# ?/?": numberFormat, `"d"0`: numberFormat, "[Red]0": numberFormat, "_-* 0_-": numberFormat, "0\\d": numberFormat, "": numberFormat,
		"dd/mm/yyyy": dayFormat, "[$-409]d mmm yy;@": dayFormat, "yyyy\\-mm\\-dd hh:mm": momentFormat, "d/m/yy h:mm AM/PM": momentFormat, "mmm yy": dayFormat, "[$-F800]dddd, mmmm dd, yyyy": dayFormat,
		"hh:mm": clockFormat, "h:mm AM/PM": clockFormat, "mm:ss.0": clockFormat, "[h]:mm": elapsedFormat, "0.0%": percentFormat, "0%;-0%": percentFormat,
	} {
		assert.Equal(t, want, codeFormat(code), code)
	}
}

// The day numbers of the two systems (ECMA-376-1, 18.17.4.1).
func TestDayNumbers(t *testing.T) {
	for n, want := range map[float64]string{1: "1900-01-01", 59: "1900-02-28", 60: "", 61: "1900-03-01", 0: "", -1: "", 2958465: "9999-12-31", 2958466: ""} {
		d, _ := (&book{}).day(n)
		assert.Equal(t, want, d.String())
	}
	for n, want := range map[float64]string{0: "1904-01-01", 1: "1904-01-02", 2957003: "9999-12-31", 2957004: "", -1: ""} {
		d, _ := (&book{date904: true}).day(n)
		assert.Equal(t, want, d.String())
	}
}

// What a folder holds besides, and twice.
func TestBooksInFolder(t *testing.T) {
	beds := [2]string{"beds", `<sheetData><row><c t="inlineStr"><is><t>bed</t></is></c><c t="inlineStr"><is><t>area_m2</t></is></c></row>` +
		`<row><c t="s"><v>0</v></c><c><v>1200</v></c></row></sheetData>`}
	quadrats := smallFolder()["quadrats.csv"]
	quadrats = strings.ReplaceAll(quadrats, "Skarn", "A")
	for _, c := range []struct {
		name  string
		files map[string]string
		want  []string
	}{
		{"a sheet and a file", map[string]string{"survey.xlsx": string(rawBook(t, beds))}, nil},
		{"the same table as a file", map[string]string{"survey.xlsx": string(rawBook(t, beds)), "beds.csv": "bed,area_m2\nA,2\n"},
			[]string{"survey.xlsx[beds]: beds.csv stands in the folder too: only one of them can be read | keep the one that holds, and remove or rename the other"}},
		{"in two workbooks", map[string]string{"a.xlsx": string(rawBook(t, beds)), "b.XLSX": string(rawBook(t, beds))},
			[]string{"b.XLSX[beds]: a.xlsx[beds] is beds.csv too: only one of them can be read | keep the one that holds, and remove or rename the other"}},
		{"what programs keep, and other kinds", map[string]string{"survey.xlsx": string(rawBook(t, beds)), "~$survey.xlsx": "x", "~$old.xls": "x", "old.xls": "x", "Fronds.ods": "x"},
			[]string{"Fronds.ods: warning: is not read: only fronds.csv is | save Fronds.ods as comma-separated UTF-8 text (CSV UTF-8) under the name fronds.csv, or as .xlsx with its sheet named fronds",
				"old.xls: warning: is not read: of workbooks only .xlsx are | save it as .xlsx, with sheets named as the tables, or each sheet as comma-separated UTF-8 text (CSV UTF-8)"}},
		{"a broken one", map[string]string{"survey.xlsx": string(rawBook(t, beds)), "z.xlsx": "PK\x03\x04 and no more", "locked.xlsx": "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"},
			[]string{"locked.xlsx: cannot be read as a workbook: is protected by a password, or a workbook of the older kind (.xls) | " + bookMendHint,
				"z.xlsx: cannot be read as a workbook: zip: not a valid zip file | " + bookMendHint}},
		{"a broken one alone: the cause comes first", map[string]string{"survey.xlsx": "PK\x03\x04 and no more"},
			[]string{"survey.xlsx: cannot be read as a workbook: zip: not a valid zip file | " + bookMendHint,
				"beds.csv: is missing | every survey folder needs beds.csv and quadrats.csv, or a workbook with the sheets beds and quadrats"}},
		{"a broken sheet", map[string]string{"survey.xlsx": string(rawBook(t, beds, [2]string{"harvest", "<sheetData><row>"}))},
			[]string{"survey.xlsx[harvest]: cannot be read: XML syntax error on line 1: element <row> closed by </worksheet> | " + bookMendHint}},
		{"no table", map[string]string{"survey.xlsx": string(rawBook(t, beds)), "notes.xlsx": string(rawBook(t, [2]string{"Sheet1", beds[1]}, [2]string{"Sheet2", ""}))},
			[]string{"notes.xlsx: warning: is not read: no sheet of it is named as a table: it has Sheet1 | name the sheets as the tables: " +
				"beds, strata, surveys, quadrats, readings, fronds, harvest, regrowth, events, closures, decisions, species, setaside, permits, tides"}},
		{"an error in a column that is not read", map[string]string{"survey.xlsx": string(rawBook(t, [2]string{"beds",
			strings.Replace(beds[1], "</row></sheetData>", `<c t="e"><v>#REF!</v></c></row></sheetData>`, 1)}))},
			[]string{`survey.xlsx[beds]:2:3: "#REF!" stands in a column without a name (cell C2) | give the column a name, or empty the cell`}},
		{"an error in a number", map[string]string{"survey.xlsx": string(rawBook(t, [2]string{"beds",
			strings.Replace(beds[1], `<c><v>1200</v></c>`, `<c t="e"><v>#DIV/0!</v></c>`, 1)}))},
			[]string{"survey.xlsx[beds]:2:2: area_m2: holds the error #DIV/0! (cell B2) | mend the formula, or leave the cell blank where there is no value"}},
	} {
		fsys := files(c.files)
		fsys["quadrats.csv"] = &fstest.MapFile{Data: []byte(quadrats)}
		if c.want == nil {
			c.want = []string{}
		}
		assert.Equal(t, c.want, said(t, fsys, DefaultOptions()), c.name)
	}
}
