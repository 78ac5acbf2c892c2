package model

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"bedstock/survey"
)

// inBook is a folder whose tables stand in one workbook, as sheets of their names, and whose rules name these. Where it is
// typed, numbers and dates stand there as such.
func inBook(t *testing.T, files []txtar.File, typed bool) fstest.MapFS {
	t.Helper()
	book := excelize.NewFile()
	defer book.Close()
	day, err := book.NewStyle(&excelize.Style{NumFmt: 14})
	require.NoError(t, err)
	fsys := fstest.MapFS{}
	var renames []string
	files = append([]txtar.File{{Name: "beds.csv", Data: []byte("bed,area_m2\nlantry,800\nmarrowgate,500\n")}}, files...)
	for _, f := range files {
		stem, table := strings.CutSuffix(f.Name, ".csv")
		if !table {
			fsys[f.Name] = &fstest.MapFile{Data: f.Data}
			continue
		}
		_, err := book.NewSheet(stem)
		require.NoError(t, err)
		r := csv.NewReader(bytes.NewReader(f.Data))
		r.FieldsPerRecord = -1
		if first, _, _ := bytes.Cut(f.Data, []byte("\n")); bytes.Contains(first, []byte(";")) {
			r.Comma = ';'
		}
		rows, err := r.ReadAll()
		require.NoError(t, err)
		for i, row := range rows {
			for k, s := range row {
				cell, err := excelize.CoordinatesToCellName(k+1, i+1)
				require.NoError(t, err)
				switch v, style := typedCell(s, day); {
				case s == "":
				case typed && i > 0 && v != nil:
					require.NoError(t, book.SetCellValue(stem, cell, v))
					require.NoError(t, book.SetCellStyle(stem, cell, cell, style))
				default:
					require.NoError(t, book.SetCellStr(stem, cell, s))
				}
			}
		}
		if survey.IsTable(f.Name) {
			continue
		}
		renames = append(renames, strconv.Quote(f.Name), strconv.Quote("survey.xlsx["+stem+"]"))
	}
	for i := 0; i < len(renames); i += 2 { // as setaside names them
		from, _ := strconv.Unquote(renames[i])
		to, _ := strconv.Unquote(renames[i+1])
		for _, sheet := range book.GetSheetList() {
			found, err := book.SearchSheet(sheet, from)
			require.NoError(t, err)
			for _, cell := range found {
				require.NoError(t, book.SetCellStr(sheet, cell, to))
			}
		}
	}
	delete(fsys, "want.txt")
	if rules := fsys["rules.toml"]; rules != nil {
		rules.Data = []byte(strings.NewReplacer(renames...).Replace(string(rules.Data)))
	}
	var b bytes.Buffer
	require.NoError(t, book.Write(&b))
	fsys["survey.xlsx"] = &fstest.MapFile{Data: b.Bytes()}
	return fsys
}

// typedCell is what a spreadsheet program makes of a cell where that is no text: a number, or a day and its style.
func typedCell(s string, day int) (any, int) {
	for _, form := range []string{"2006-01-02", "2.1.2006"} {
		if d, err := time.Parse(form, s); err == nil {
			return int(d.Sub(time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24), day
		}
	}
	if v, err := strconv.ParseFloat(s, 64); err == nil {
		return v, 0
	}
	return nil, 0
}

// bookPlace is how a message names a cell of a workbook, or a place of a file.
var (
	bookName     = regexp.MustCompile(`survey\.xlsx\[([^\]]*)\]`)
	bookCell     = regexp.MustCompile(` \(cell [A-Z]+\d+\)`)
	placeAt      = regexp.MustCompile(`(?m)^([^:\n]*\.csv:\d+):\d+`)
	placeNumbers = regexp.MustCompile(`(:\d+)+: `)
	ownSheet     = regexp.MustCompile(`(?m)^((\w+\.csv) is read) as (\w+\.csv)`)
)

// Every folder of the corpus of mappings says the same where its tables are sheets of a workbook, and where nothing is
// wrong with it also where the numbers and dates of these are typed.
func TestMappingOfSheets(t *testing.T) {
	names, err := filepath.Glob("testdata/mapping/corpus/*.txtar")
	require.NoError(t, err)
	plain := func(s string) string {
		s = bookCell.ReplaceAllString(bookName.ReplaceAllString(s, "$1.csv"), "")
		s = ownSheet.ReplaceAllStringFunc(s, func(s string) string {
			if m := ownSheet.FindStringSubmatch(s); m[2] == m[3] {
				return m[1]
			}
			return s
		})
		return placeAt.ReplaceAllString(s, "$1")
	}
	other := []string{"file-beside-ours", "file-missing"} // said of a sheet in other words: TestMappingNamesSheets
	for _, name := range names {
		name, is := name, strings.TrimSuffix(filepath.Base(name), ".txtar")
		if slices.Contains(other, is) {
			continue
		}
		t.Run(is, func(t *testing.T) {
			a, err := txtar.ParseFile(name)
			require.NoError(t, err)
			k := slices.IndexFunc(a.Files, func(f txtar.File) bool { return f.Name == "want.txt" })
			want := string(a.Files[k].Data)
			for _, typed := range []bool{false, true} {
				f, rules, err := Load(inBook(t, a.Files, typed), speciesTable(t), LoadOptions{})
				if _, bad := errors.AsType[survey.Problems](err); bad && typed {
					require.Regexp(t, `(?m)^[^:]+: [^w]`, placeNumbers.ReplaceAllString(want, ": "), "sound as text")
					continue
				}
				assert.Equal(t, plain(want), plain(mappingFound(f, rules, err)), fmt.Sprint("typed: ", typed))
			}
		})
	}
}

// What is wrong with the cells of mapped sheets and of those joined to them is said at its place.
func TestMappingNamesSheets(t *testing.T) {
	const rules = `[files]
quadrats = "survey.xlsx[field sheet]"
[read."quadrats.csv"]
join = {file = "survey.xlsx[places]", on = "Site"}
[columns."quadrats.csv"]
bed = "Bed"
date = "Day"
quadrat = "Plot"
quadrat_m2 = "Size"
species = "Kind"
cover_pct = "Cover"
`
	const wide = `[files]
quadrats = "survey.xlsx[across]"
[read."quadrats.csv"]
layout = "wide"
[columns."quadrats.csv"]
bed = "Site"
date = "Day"
quadrat = "Plot"
quadrat_m2 = {value = 0.25}
cover_pct = {cells = true}
`
	base := func() *excelize.File {
		f := excelize.NewFile()
		rows := map[string][][]any{
			"beds":   {{"bed", "area_m2"}, {"lantry", 800}, {"marrowgate", 500}},
			"places": {{"Site", "Bed", "Size", "Remark"}, {"S1", "lantry", 0.25, nil}, {"S2", "marrowgate", 0.25, nil}},
			"field sheet": {{"Site", "Day", "Plot", "Kind", "Cover"}, {"S1", "2026-06-14", 1, "Laminaria digitata", 40},
				{"S1", "2026-06-14", 2, "Laminaria digitata", 25}, {"S2", "2026-06-15", 1, "Fucus serratus", 60}, {"S2", "2026-06-15", 2, "Fucus serratus", 50}},
			"across": {{"Site", "Day", "Plot", "Laminaria digitata", "Fucus serratus"}, {"lantry", "2026-06-14", 1, 40, 0},
				{"lantry", "2026-06-14", 2, 25, 5}, {"marrowgate", "2026-06-15", 1, 5, 60}, {"marrowgate", "2026-06-15", 2, 0, 50}},
		}
		for name, table := range rows {
			_, err := f.NewSheet(name)
			require.NoError(t, err)
			for i, row := range table {
				require.NoError(t, f.SetSheetRow(name, fmt.Sprintf("A%d", i+1), &row))
			}
		}
		return f
	}
	formula := func(f *excelize.File, sheet, cell string) {
		require.NoError(t, f.SetCellValue(sheet, cell, nil))
		require.NoError(t, f.SetCellFormula(sheet, cell, "A1"))
	}
	var said strings.Builder
	for _, c := range []struct {
		name, rules string
		edit        func(f *excelize.File)
	}{
		{"nothing", rules, func(*excelize.File) {}},
		{"wide, nothing", wide, func(*excelize.File) {}},
		{"cells without a value, and a truth", rules, func(f *excelize.File) {
			formula(f, "field sheet", "E3")
			formula(f, "places", "C2")
			formula(f, "places", "D3") // is not read
			require.NoError(t, f.SetCellValue("places", "B3", true))
		}},
		{"a formula in a header", rules, func(f *excelize.File) { formula(f, "field sheet", "E1") }},
		{"numbers as text with a comma in the joined sheet", rules, func(f *excelize.File) {
			require.NoError(t, f.SetCellStr("places", "C2", "0,25"))
			require.NoError(t, f.SetCellStr("places", "C3", "0,25"))
		}},
		{"merged places", rules, func(f *excelize.File) { require.NoError(t, f.MergeCell("places", "B2", "B3")) }},
		{"wide, cells of another kind", wide, func(f *excelize.File) {
			formula(f, "across", "D2")
			require.NoError(t, f.SetCellValue("across", "D3", true))
			require.NoError(t, f.SetCellValue("across", "E4", "x"))
			require.NoError(t, f.SetCellValue("across", "E5", nil))
		}},
		{"wide, merged", wide, func(f *excelize.File) { require.NoError(t, f.MergeCell("across", "B2", "B5")) }},
		{"wide, typed days", wide, func(f *excelize.File) {
			for _, cell := range []string{"B2", "B3", "B4", "B5"} {
				require.NoError(t, f.SetCellValue("across", cell, time.Date(2026, time.June, 14, 0, 0, 0, 0, time.UTC)))
			}
		}},
		{"the name of the sheet alone", strings.ReplaceAll(rules, "survey.xlsx[field sheet]", "field sheet.csv"), func(*excelize.File) {}},
		{"the name of the joined sheet alone", strings.ReplaceAll(rules, "survey.xlsx[places]", "Places"), func(*excelize.File) {}},
		{"the workbook alone", strings.ReplaceAll(rules, "survey.xlsx[field sheet]", "survey.xlsx"), func(*excelize.File) {}},
	} {
		f := base()
		c.edit(f)
		for _, sheet := range []string{"across", "field sheet", "places"} {
			if c.name != "nothing" && !strings.Contains(c.rules, "["+sheet+"]") && !strings.Contains(c.name, "alone") {
				require.NoError(t, f.DeleteSheet(sheet))
			}
		}
		var b bytes.Buffer
		require.NoError(t, f.Write(&b))
		fmt.Fprintf(&said, "-- %s --\n", c.name)
		said.WriteString(mappingFound(Load(fstest.MapFS{"survey.xlsx": {Data: b.Bytes()}, "rules.toml": {Data: []byte(c.rules)}}, speciesTable(t), LoadOptions{})))
	}
	const file = "testdata/mapping/sheets.txt"
	if *updateMapping {
		require.NoError(t, os.WriteFile(file, []byte(said.String()), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), said.String())
}
