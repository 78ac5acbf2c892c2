package survey

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// bookOf is the small folder as one workbook, with its numbers and dates typed as such, after an edit.
func bookOf(t testing.TB, edit func(*excelize.File)) []byte {
	raw := asTyped{numbers: true, dates: true, code: "dd/mm/yyyy"}.saveBook(t, smallFolder())
	f, err := excelize.OpenReader(bytes.NewReader(raw))
	require.NoError(t, err)
	defer f.Close()
	edit(f)
	return bookBytes(t, f)
}

// bookFolder is a folder with that workbook.
func bookFolder(raw []byte) fstest.MapFS {
	return fstest.MapFS{"survey.xlsx": &fstest.MapFile{Data: raw}}
}

// said lists all problems of a folder, with their hints.
func said(t testing.TB, fsys fstest.MapFS, opt Options) []string {
	f, err := readThen(unchecked, fsys, smallTable(), opt)
	ps, ok := errors.AsType[Problems](err)
	if !ok {
		require.NoError(t, err)
		ps = f.Doubts
	}
	out := []string{}
	for _, p := range ps {
		s := p.String()
		if p.Hint != "" {
			s += " | " + p.Hint
		}
		out = append(out, s)
	}
	return out
}

// rawBook is a workbook whose sheets are given as XML: what stands in worksheet.
func rawBook(t testing.TB, sheets ...[2]string) []byte {
	parts := map[string]string{
		"[Content_Types].xml": `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>`,
		"_rels/.rels": `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r" ` +
			`Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/sharedStrings.xml": `<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><si><t>A</t></si><si><r><t>Fucus </t></r><r><t xml:space="preserve">serratus</t></r><rPh><t>x</t></rPh></si></sst>`,
		"xl/styles.xml": `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/>` +
			`<xf numFmtId="9"/><xf numFmtId="20"/><xf numFmtId="46"/></cellXfs></styleSheet>`,
	}
	var list, rels strings.Builder
	for i, s := range sheets {
		fmt.Fprintf(&list, `<sheet name="%s" sheetId="%d" r:id="s%d"/>`, s[0], i+1, i+1)
		fmt.Fprintf(&rels, `<Relationship Id="s%d" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet%d.xml"/>`, i+1, i+1)
		parts[fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)] = `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">` + s[1] + `</worksheet>`
	}
	parts["xl/workbook.xml"] = `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" ` +
		`xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets>` + list.String() + `</sheets></workbook>`
	parts["xl/_rels/workbook.xml.rels"] = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` + rels.String() + `</Relationships>`
	return zipOf(t, parts)
}

func zipOf(t testing.TB, parts map[string]string) []byte {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for name, text := range parts {
		part, err := w.Create(name)
		require.NoError(t, err)
		_, err = part.Write([]byte(text))
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.Bytes()
}

func set(t testing.TB, f *excelize.File, sheet, cell string, v any) {
	require.NoError(t, f.SetCellValue(sheet, cell, v))
}

// What is the matter with a cell, a row or a sheet is said at its place; the messages stand in testdata/books.txt.
func TestBookProblems(t *testing.T) {
	var b strings.Builder
	for _, c := range []struct {
		name string
		edit func(f *excelize.File)
	}{
		{"nothing", func(f *excelize.File) {}},
		{"truth", func(f *excelize.File) {
			set(t, f, "quadrats", "I2", true)
			set(t, f, "harvest", "H2", true)
			set(t, f, "beds", "A2", false)
		}},
		{"formula without a result", func(f *excelize.File) {
			set(t, f, "quadrats", "K2", nil)
			require.NoError(t, f.SetCellFormula("quadrats", "K2", "800+12"))
			require.NoError(t, f.SetCellFormula("quadrats", "A7", `IF(C7="","","Skarn")`))
		}},
		{"merged", func(f *excelize.File) {
			require.NoError(t, f.MergeCell("quadrats", "A2", "A6"))
			require.NoError(t, f.MergeCell("harvest", "A1", "B1"))
		}},
		{"merged title and blanks", func(f *excelize.File) {
			require.NoError(t, f.InsertRows("quadrats", 1, 2))
			set(t, f, "quadrats", "A1", "Quadrats of the year")
			require.NoError(t, f.MergeCell("quadrats", "A1", "D1"))
			require.NoError(t, f.MergeCell("quadrats", "B50", "D60"))
			set(t, f, "quadrats", "I4", 160)
		}},
		{"percent", func(f *excelize.File) {
			style, err := f.NewStyle(&excelize.Style{NumFmt: 9})
			require.NoError(t, err)
			set(t, f, "quadrats", "I2", 0.6)
			require.NoError(t, f.SetCellStyle("quadrats", "I2", "I2", style))
		}},
		{"dates", func(f *excelize.File) {
			set(t, f, "quadrats", "B2", 47635.5)
			set(t, f, "quadrats", "B3", "1/6/2030")
			style, err := f.NewStyle(&excelize.Style{NumFmt: 0})
			require.NoError(t, err)
			require.NoError(t, f.SetCellStyle("quadrats", "B4", "B4", style))
		}},
		{"text among numbers", func(f *excelize.File) {
			set(t, f, "quadrats", "J2", "32,5")
			set(t, f, "harvest", "E2", "1.200")
			set(t, f, "beds", "E2", "1 200")
		}},
		{"hidden", func(f *excelize.File) {
			for _, row := range []int{2, 3, 5} {
				require.NoError(t, f.SetRowVisible("quadrats", row, false))
			}
			require.NoError(t, f.SetColVisible("quadrats", "M:P", false))
			require.NoError(t, f.SetSheetVisible("fronds", false))
		}},
		{"unknown sheets", func(f *excelize.File) {
			_, err := f.NewSheet("Quadrat")
			require.NoError(t, err)
			set(t, f, "Quadrat", "A1", "bed")
			require.NoError(t, f.SetSheetName("harvest", " Harvest.csv"))
		}},
		{"sheets of other names", func(f *excelize.File) {
			for from, to := range map[string]string{"quadrats": "quadrats (2)", "fronds": "fronds 2029", "events": "Sheet7", "strata": "areas"} {
				require.NoError(t, f.SetSheetName(from, to))
			}
			_, err := f.NewSheet("quadrats")
			require.NoError(t, err)
			require.NoError(t, f.SetSheetRow("quadrats", "A1", &[]any{"bed", "date", "quadrat", "quadrat_m2", "species", "cover_pct"}))
			_, err = f.NewSheet("fronds 2030")
			require.NoError(t, err)
			set(t, f, "fronds 2030", "A1", "later")
		}},
		{"no sheet of the name of a table", func(f *excelize.File) {
			for i, name := range f.GetSheetList() {
				require.NoError(t, f.SetSheetName(name, fmt.Sprintf("Table %02d", i)))
			}
		}},
		{"low waters without their day", func(f *excelize.File) {
			_, err := f.NewSheet("tides")
			require.NoError(t, err)
			require.NoError(t, f.SetSheetRow("tides", "A1", &[]any{"time", "height_m"}))
			require.NoError(t, f.SetSheetRow("tides", "A2", &[]any{0.5625, 0.3}))
			style, err := f.NewStyle(&excelize.Style{NumFmt: 20})
			require.NoError(t, err)
			require.NoError(t, f.SetCellStyle("tides", "A2", "A2", style))
		}},
		{"cells beside the table", func(f *excelize.File) {
			set(t, f, "events", "G2", "look here")
			set(t, f, "closures", "B2", nil)
			set(t, f, "closures", "E40", nil)
		}},
		{"empty sheet", func(f *excelize.File) {
			require.NoError(t, f.DeleteSheet("beds"))
			_, err := f.NewSheet("BEDS")
			require.NoError(t, err)
		}},
		{"blank cells merged", func(f *excelize.File) {
			require.NoError(t, f.MergeCell("quadrats", "L3", "N3"))
			require.NoError(t, f.MergeCell("quadrats", "A30", "C31"))
		}},
		{"a formula in the header", func(f *excelize.File) {
			require.NoError(t, f.SetCellFormula("quadrats", "N1", "A1"))
		}},
		{"low waters at midnight", func(f *excelize.File) {
			_, err := f.NewSheet("tides")
			require.NoError(t, err)
			require.NoError(t, f.SetSheetRow("tides", "A1", &[]any{"time", "height_m"}))
			for i, day := range []float64{49000.5, 49001, 49001.517361, 49002} {
				cell := fmt.Sprintf("A%d", i+2)
				set(t, f, "tides", cell, day)
				set(t, f, "tides", fmt.Sprintf("B%d", i+2), 0.4)
				code := "dd/mm/yyyy hh:mm"
				if i == 3 {
					code = "dd/mm/yyyy" // without its time
				}
				style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &code})
				require.NoError(t, err)
				require.NoError(t, f.SetCellStyle("tides", cell, cell, style))
			}
		}},
		{"long text", func(f *excelize.File) { set(t, f, "quadrats", "N2", strings.Repeat("é", 2001)) }},
	} {
		fmt.Fprintf(&b, "-- %s --\n", c.name)
		fsys := bookFolder(bookOf(t, func(f *excelize.File) {
			require.NoError(t, f.DeleteSheet("setaside"))
			c.edit(f)
		}))
		for _, s := range said(t, fsys, DefaultOptions()) {
			fmt.Fprintln(&b, s)
		}
	}
	const file = "testdata/books.txt"
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String())
}
