package survey

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

// Any tables as sheets are the same folder as files of text, however their cells are typed.
func TestAnyTablesAsSheets(t *testing.T) {
	options := DefaultOptions() // a lone 4.125 as text could be thousands
	options.Input = map[string]InputRules{"": {Decimal: "point"}}
	read := func(t *rapid.T, fsys fstest.MapFS) *Folder {
		r := newReading(fsys, options)
		require.NoError(t, r.listFiles())
		r.readTables(nil)
		require.NoError(t, r.err)
		require.Empty(t, r.found.problems(nil).Faults())
		return r.f
	}
	rapid.Check(t, func(rt *rapid.T) {
		quadrats := drawTable(rt, &quadratsTable, "quadrat")
		for _, r := range quadrats.rows {
			mendQuadrat(r)
			r["date"] = "2031-06-14"
		}
		harvest := drawTable(rt, &harvestTable, "permit")
		beds := drawTable(rt, &bedsTable, "bed")
		for _, r := range harvest.rows {
			r["date_to"] = ""
		}
		for _, r := range beds.rows {
			r["lat"], r["lon"], r["area_m2"] = "", "", "812.5"
		}
		texts := map[string]string{"beds.csv": beds.write(rt, &bedsTable), "quadrats.csv": quadrats.write(rt, &quadratsTable),
			"harvest.csv": harvest.write(rt, &harvestTable)}
		how := asTyped{numbers: rapid.Bool().Draw(rt, "numbers"), dates: rapid.Bool().Draw(rt, "dates"), date904: rapid.Bool().Draw(rt, "1904"), code: "d/m/yy"}
		row := regexp.MustCompile(`Line:(\d+|\[[0-9 ]*\])`) // a row of text may take several lines
		want := row.ReplaceAllString(bareBook(read(rt, files(texts))), "")
		got := row.ReplaceAllString(bareBook(read(rt, bookFolder(how.saveBook(t, texts)))), "")
		for i := range want {
			if i >= len(got) || want[i] != got[i] {
				rt.Fatalf("...%.300s\nis not ...%.300s", got[max(0, i-100):], want[max(0, i-100):])
			}
		}
	})
}

// What the cells hold is what the library's own iterator of raw values gives.
func TestScanAgreesWithLibrary(t *testing.T) {
	raw := asTyped{numbers: true}.saveBook(t, smallFolder())
	f, err := excelize.OpenReader(bytes.NewReader(raw))
	require.NoError(t, err)
	defer f.Close()
	b, err := openBook("survey.xlsx", string(raw))
	require.NoError(t, err)
	compared := 0
	for _, s := range b.sheets {
		want, err := f.GetRows(s.name, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		got, err := s.scanSheet()
		require.NoError(t, err)
		require.Len(t, got.rows, len(want), s.name)
		for i := range got.rows {
			require.Equal(t, strings.TrimRight(strings.Join(want[i], "\x1f"), "\x1f"), strings.Join(got.row(i), "\x1f"))
			compared++
		}
	}
	assert.Greater(t, compared, 30)
}

// A workbook that unpacks to far more than it is large is refused before it does.
func TestBookBomb(t *testing.T) {
	bomb := rawBook(t, [2]string{"beds", "<sheetData>" + strings.Repeat(" ", 16<<20) + "</sheetData>"})
	require.Less(t, len(bomb), 1<<20)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, err := openBook("x.xlsx", string(bomb))
	runtime.ReadMemStats(&after)
	require.ErrorContains(t, err, "size")
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(8<<20))
	_, err = openBook("x.xlsx", strings.Repeat("x", maxBook+1))
	require.ErrorIs(t, err, errTooLarge)
}

// FuzzWorkbook: whatever a workbook holds, as bytes or as the cells of a sheet, reading ends without a crash, every problem
// has its place, and no more is taken of memory than 64 times what it unpacks to and what an empty one needs.
func FuzzWorkbook(f *testing.F) {
	row := `<row r="1"><c t="inlineStr"><is><t>bed</t></is></c><c t="inlineStr"><is><t>area_m2</t></is></c></row>`
	for _, cells := range []string{"", `<row><c t="s"><v>0</v></c><c s="1"><v>48000</v></c></row>`, `<row r="9"><c r="B9" t="e"><v>#N/A</v></c><c t="b"><v>1</v></c></row>`,
		`<row hidden="1"><c><f>A1</f></c><c t="d"><v>2031-06-14T06:00:00</v></c></row></sheetData><mergeCells><mergeCell ref="A1:B2"/></mergeCells><sheetData>`} {
		f.Add(rawBook(f, [2]string{"beds", "<sheetData>" + row + cells + "</sheetData>"}), row+cells)
	}
	f.Add(asTyped{numbers: true, dates: true, code: "d mmm yy"}.saveBook(f, map[string]string{"beds.csv": "bed,area_m2,from\nA,12.5,2030-01-01\n"}), row)
	f.Fuzz(func(t *testing.T, raw []byte, cells string) {
		readsBook(t, raw)
		readsBook(t, rawBook(t, [2]string{"beds", "<sheetData>" + cells + "</sheetData>"}))
	})
}

func readsBook(t *testing.T, raw []byte) {
	texts := smallFolder()
	delete(texts, "beds.csv")
	fsys := files(texts)
	fsys["survey.xlsx"] = &fstest.MapFile{Data: raw}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, err := Read(fsys, smallTable(), DefaultOptions())
	runtime.ReadMemStats(&after)
	if took, whole := after.TotalAlloc-before.TotalAlloc, unpacked(raw); took > 8<<20+64*whole {
		t.Errorf("%d bytes, unpacked %d, took %d", len(raw), whole, took)
	}
	var ps Problems
	if !errors.As(err, &ps) {
		require.NoError(t, err)
	}
	for _, p := range ps {
		if p.Text == "" || p.File == "" || p.Line > sheetRows || p.Column > 1<<20 {
			t.Fatalf("%+v", p)
		}
	}
}

// unpacked is what the parts of a workbook say that they unpack to.
func unpacked(raw []byte) uint64 {
	r, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		return uint64(len(raw))
	}
	total := uint64(0)
	for _, part := range r.File {
		total += min(part.UncompressedSize64, maxFile)
	}
	return total
}

// BenchmarkReadBook reads 100 000 quadrat rows from a workbook, as BenchmarkReadQuadrats does from text.
func BenchmarkReadBook(b *testing.B) {
	var text strings.Builder
	text.WriteString("bed,date,transect,quadrat,quadrat_m2,species,cover_pct,frond_cm,biomass_g,observer\n")
	for i := range 100_000 {
		fmt.Fprintf(&text, "Skarn,2030-06-%02d,T%d,%d,0.25,Fucus serratus,%.1f,%.1f,%.2f,KL\n", 1+i%28, i/28%50, i/1400, float64(i%1000)/10, 20+float64(i%37)/3, 100+float64(i%977)/7)
	}
	texts := map[string]string{"quadrats.csv": text.String(), "beds.csv": "bed,area_m2\nSkarn,1200\n"}
	raw := asTyped{numbers: true, dates: true, code: "yyyy-mm-dd"}.saveBook(b, texts)
	for name, fsys := range map[string]fstest.MapFS{"workbook": bookFolder(raw), "csv": files(texts)} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r := newReading(fsys, DefaultOptions())
				require.NoError(b, r.listFiles())
				r.readTables(smallTable())
				require.NoError(b, r.err)
				require.Equal(b, 100_000, r.f.Quadrats.Len())
			}
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			b.ReportMetric(float64(m.Sys)/(1<<20), "MiB-sys")
		})
	}
}
