package survey

import (
	"bytes"
	"encoding/csv"
	"io/fs"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"bedstock/data"
)

// asTyped is how a text cell of a column would be asTyped into a workbook: numbers as numbers, dates as dates.
type asTyped struct {
	numbers, dates bool
	date904        bool
	code           string // of dates
}

// saveBook writes tables as the sheets of a workbook.
func (how asTyped) saveBook(t testing.TB, texts map[string]string) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &how.date904}))
	style := 0
	if how.code != "" {
		var err error
		style, err = f.NewStyle(&excelize.Style{CustomNumFmt: &how.code})
		require.NoError(t, err)
	}
	for _, spec := range surveyTables {
		text, ok := texts[spec.file]
		if !ok {
			continue
		}
		sheet := strings.TrimSuffix(spec.file, ".csv")
		_, err := f.NewSheet(sheet)
		require.NoError(t, err)
		records, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, byteMark))).ReadAll()
		require.NoError(t, err)
		w, err := f.NewStreamWriter(sheet)
		require.NoError(t, err)
		for i, record := range records {
			cells := make([]any, len(record))
			for k, s := range record {
				cells[k] = how.cell(spec.find(foldHeader(records[0][k])), s, i == 0, style)
			}
			require.NoError(t, w.SetRow("A"+strconv.Itoa(i+1), cells))
		}
		require.NoError(t, w.Flush())
	}
	return bookBytes(t, f)
}

func bookBytes(t testing.TB, f *excelize.File) []byte {
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

func (how asTyped) cell(c *column, s string, header bool, style int) any {
	switch {
	case s == "":
		return nil
	case header || c == nil:
		return s
	case how.numbers && (c.kind == numberKind || c.kind == wholeKind):
		v, bad := parseNumber(s)
		if short, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'G', 15, 64), 64); bad == nil && short == v {
			return v // the writer keeps 15 digits; TestScanCells has more
		}
	case how.dates && c.kind == dayKind:
		if d, err := ParseDay(s); err == nil {
			start := MakeDay(1899, time.December, 30)
			if how.date904 {
				start = MakeDay(1904, time.January, 1)
			}
			return excelize.Cell{StyleID: style, Value: int(d - start)}
		}
	}
	return s
}

// cellNamed is what a message says of a cell of a workbook.
var cellNamed = regexp.MustCompile(` \(cell [A-Z]+[0-9]+\)$`)

// bareBook is bare, with warnings as if their tables were files.
func bareBook(f *Folder) string {
	out := *f
	out.Doubts = nil
	for _, p := range f.Doubts {
		if sheet, ok := strings.CutPrefix(p.File, "survey.xlsx["); ok {
			p.File = strings.TrimSuffix(sheet, "]") + ".csv"
		}
		p.Text = cellNamed.ReplaceAllString(p.Text, "")
		p.Column = 0
		out.Doubts = append(out.Doubts, p)
	}
	return bare(&out) + out.Doubts.Error()
}

// A folder in one workbook is the same folder, whether its cells are text, numbers or dates.
func TestBookIsTheFolder(t *testing.T) {
	demo, err := fs.Sub(data.FS, "demo")
	require.NoError(t, err)
	table := embeddedTable(t)
	plain, err := Read(demo, table, DefaultOptions())
	require.NoError(t, err)
	texts := map[string]string{}
	rest := fstest.MapFS{}
	require.NoError(t, fs.WalkDir(demo, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := fs.ReadFile(demo, name)
		if tableOf(name) != nil {
			texts[name] = string(text)
		} else {
			rest[name] = &fstest.MapFile{Data: text}
		}
		return err
	}))
	for _, how := range []asTyped{{}, {numbers: true}, {numbers: true, dates: true, code: "yyyy\\-mm\\-dd"},
		{numbers: true, dates: true, date904: true, code: "[$-409]d\\ mmm\\ yy"}} {
		rest["survey.xlsx"] = &fstest.MapFile{Data: how.saveBook(t, texts)}
		f, err := Read(rest, table, DefaultOptions())
		require.NoError(t, err)
		require.Equal(t, bareBook(plain), bareBook(f), "%+v", how)
		assert.Contains(t, f.Dialects, Dialect{File: "quadrats.csv", Book: "survey.xlsx", Sheet: "quadrats", Decimal: "point", Dates: "iso"})
	}
}
