package survey

import (
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// writtenTable is a table as a person might write it: columns in any order, optional ones perhaps left out.
type writtenTable struct {
	columns []string
	rows    []map[string]string
}

// write draws the order of the columns, quoting, line ends and mark, and writes the table.
func (s writtenTable) write(t *rapid.T, spec *tableSpec) string {
	columns := rapid.Permutation(s.columns).Draw(t, "order")
	columns = slices.DeleteFunc(columns, func(c string) bool {
		unused := !slices.ContainsFunc(s.rows, func(r map[string]string) bool { return r[c] != "" })
		return unused && !spec.find(c).required && rapid.Bool().Draw(t, "leave out")
	})
	quoteAll := rapid.Bool().Draw(t, "quote all")
	end := rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "line end")
	var b strings.Builder
	if rapid.Bool().Draw(t, "mark") {
		b.WriteString(byteMark)
	}
	line := func(cell func(c string) string) {
		for i, c := range columns {
			if i > 0 {
				b.WriteByte(',')
			}
			if s := cell(c); quoteAll || strings.ContainsAny(s, ",\"\n") {
				b.WriteString(`"` + strings.ReplaceAll(s, `"`, `""`) + `"`)
			} else {
				b.WriteString(s)
			}
		}
		b.WriteString(end)
	}
	line(func(c string) string { return c })
	for _, r := range s.rows {
		line(func(c string) string { return r[c] })
	}
	return b.String()
}

// drawCell draws a cell that its column allows.
func drawCell(t *rapid.T, c *column) string {
	if !c.filled && rapid.IntRange(0, 3).Draw(t, "blank") == 0 {
		return ""
	}
	switch c.kind {
	case wordKind:
		return rapid.SampledFrom(c.words).Draw(t, c.name)
	case truthKind:
		return rapid.SampledFrom(slices.Concat(yesWords, noWords)).Draw(t, c.name)
	case dayKind:
		return Day(rapid.IntRange(10000, 30000).Draw(t, c.name)).String()
	case momentKind:
		return isoMoment(Day(rapid.IntRange(10000, 30000).Draw(t, c.name)), rapid.IntRange(0, minutesADay-1).Draw(t, "minute"))
	case numberKind, wholeKind:
		lo, hi := max(c.lo, -1e9), min(c.hi, 1e9)
		v := rapid.Float64Range(lo, hi).Draw(t, c.name)
		if c.kind == wholeKind {
			v = math.Trunc(v)
		}
		if c.loOpen && v == lo {
			v = min(hi, lo+0.5)
		}
		return strconv.FormatFloat(v, rapid.SampledFrom([]byte("gfe")).Draw(t, "form"), -1, 64)
	}
	word := rapid.StringMatching(`[A-Za-z0-9äø][A-Za-z0-9 ,"äø\n]{0,6}[A-Za-z0-9.]`)
	return word.Filter(func(s string) bool { return !isDitto(s) && !totalWord(s) }).Draw(t, c.name) // these are asked about
}

func drawTable(t *rapid.T, spec *tableSpec, unique string) writtenTable {
	var s writtenTable
	for _, c := range spec.columns {
		s.columns = append(s.columns, c.name)
	}
	for i := range rapid.IntRange(1, 5).Draw(t, "rows") {
		r := map[string]string{}
		for k := range spec.columns {
			r[spec.columns[k].name] = drawCell(t, &spec.columns[k])
		}
		r[unique] = fmt.Sprint("u", i)
		s.rows = append(s.rows, r)
	}
	return s
}

// What is written is read: every cell of quadrats.csv and harvest.csv comes back.
func TestReadGivesBackWhatWasWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		quadrats := drawTable(t, &quadratsTable, "quadrat")
		for _, r := range quadrats.rows {
			mendQuadrat(r)
			r["date"] = cmp.Or(r["date"], "2031-06-14") // blank, the visit is to be planned
		}
		harvest := drawTable(t, &harvestTable, "permit")
		for _, r := range harvest.rows {
			r["date_to"] = ""
		}
		beds := drawTable(t, &bedsTable, "bed")
		for _, r := range beds.rows {
			if r["lat"] == "" || r["lon"] == "" {
				r["lat"], r["lon"] = "", ""
			}
			r["area_m2"] = cmp.Or(r["area_m2"], "812.5") // blank, it needs an outline
		}
		found := &findings{}
		f := readTexts(t, found, map[string]string{"beds.csv": beds.write(t, &bedsTable),
			"quadrats.csv": quadrats.write(t, &quadratsTable), "harvest.csv": harvest.write(t, &harvestTable)})
		for _, p := range found.list {
			if p.severity == Fault {
				t.Fatalf("%+v", p)
			}
		}
		sameQuadrats(t, f, quadrats.rows)
		cuts := f.Landings()
		require.Len(t, cuts, len(harvest.rows))
		for i, r := range harvest.rows {
			c := cuts[i]
			if c.Bed != r["bed"] || c.From.String() != r["date"] || c.Permit != r["permit"] ||
				c.Kg != numberOrNaN(r["wet_kg"]) || c.Cast != (r["origin"] == "cast") ||
				c.Estimated != slices.Contains(yesWords, r["estimated"]) || foldSpecies(c.Species) != foldSpecies(r["species"]) {
				t.Fatalf("%+v is not %v", c, r)
			}
		}
		require.Len(t, f.Beds, len(beds.rows))
		for i, r := range beds.rows {
			p := f.Beds[i].Periods[0]
			if f.Beds[i].ID != r["bed"] || p.Area != numberOrNaN(r["area_m2"]) || p.From.String() != r["from"] ||
				p.Lat.OK != (r["lat"] != "") || p.Suitable.OK && p.Suitable.V != numberOrNaN(r["suitable_fraction"]) {
				t.Fatalf("%+v is not %v", p, r)
			}
		}
	})
}

// readTexts reads the tables of a folder without the checks between files.
func readTexts(t require.TestingT, found *findings, texts map[string]string) *Folder {
	r := newReading(files(texts), DefaultOptions())
	r.found = found
	require.NoError(t, r.listFiles())
	r.readTables(nil)
	require.NoError(t, r.err)
	return r.f
}

// mendQuadrat makes the cells of a row agree with one another.
func mendQuadrat(r map[string]string) {
	if v := r["visit"]; v != "" && v != "done" {
		r["cover_pct"], r["biomass_g"], r["frond_cm"] = "", "", ""
		return
	}
	if r["quadrat_m2"] == "" {
		r["quadrat_m2"] = "0.25"
	}
	r["weighed_m2"] = ""
	switch {
	case r["species"] == "":
		r["cover_pct"], r["biomass_g"] = "0", ""
	case r["cover_pct"] == "" && r["biomass_g"] == "":
		r["cover_pct"] = "12.5"
	}
}

func sameQuadrats(t *rapid.T, f *Folder, rows []map[string]string) {
	q := &f.Quadrats
	require.Equal(t, len(rows), q.Len())
	for i, r := range rows {
		for name, id := range map[string]uint32{"bed": q.Bed[i], "stratum": q.Stratum[i], "transect": q.Transect[i],
			"quadrat": q.Quadrat[i], "observer": q.Observer[i]} {
			if f.Names[id] != r[name] {
				t.Fatalf("%s: %q is not %q", name, f.Names[id], r[name])
			}
		}
		for name, v := range map[string]float64{"quadrat_m2": q.M2[i], "cover_pct": q.Cover[i], "frond_cm": q.Frond[i],
			"biomass_g": q.Biomass[i]} {
			if want := numberOrNaN(r[name]); v != want && !(math.IsNaN(v) && math.IsNaN(want)) {
				t.Fatalf("%s: %v is not %v", name, v, want)
			}
		}
		if q.Day[i].String() != r["date"] || foldSpecies(f.Names[q.Species[i]]) != foldSpecies(r["species"]) ||
			(r["visit"] != "" && visitWords[q.Visit[i]] != r["visit"]) || (r["visit"] == "" && q.Visit[i] != Done) {
			t.Fatalf("row %d is not %v", i, r)
		}
	}
}

// numberOrNaN is NaN for a blank cell.
func numberOrNaN(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

// Any text: reading ends without a panic, every fault has its line within the file, nothing that is read lies outside
// its limits, and a text without quotes is split as encoding/csv splits it.
func FuzzReadTable(f *testing.F) {
	for _, text := range smallFolder() {
		f.Add(text)
	}
	f.Add("bed,date,quadrat,quadrat_m2,species,cover_pct\r\nA,2030-01-01,1,1e-3,U,\"5\r\n0\"\r\n,,,,,\r")
	f.Add("a,b\r\n\r\n1, 2\r\n\n,\r\r\n3,\r")
	f.Add(",h\r\r\r\r\r\rm") // lines end with CR alone
	f.Fuzz(func(t *testing.T, text string) {
		for _, spec := range surveyTables {
			var folder *Folder
			var err error
			thrifty(t, len(text), func() { folder, err = Read(files(map[string]string{spec.file: text}), nil, DefaultOptions()) })
			ps, ok := errors.AsType[Problems](err)
			if !ok {
				t.Fatalf("%v, %v", folder, err) // beds.csv or quadrats.csv is always missing
			}
			for _, p := range ps {
				if p.Line < 0 || p.Line > strings.Count(text, "\n")+strings.Count(text, "\r")+2 || p.Column < 0 || p.Column > len(text)+1 {
					t.Fatalf("%+v", p)
				}
			}
		}
		found := &findings{}
		got := readTexts(t, found, map[string]string{"quadrats.csv": text})
		for i, v := range got.Quadrats.Cover {
			if v < 0 || v > 100 || got.Quadrats.M2[i] <= 0 || math.IsInf(got.Quadrats.M2[i], 0) {
				t.Fatalf("row %d: cover %v, area %v", i, v, got.Quadrats.M2[i])
			}
		}
		sameSplit(t, text)
	})
}

func sameSplit(t *testing.T, text string) {
	if strings.Contains(text, `"`) {
		return
	}
	want := csv.NewReader(strings.NewReader(text))
	want.FieldsPerRecord = -1
	got := newLineSplitter(text, ',', 0)
	for {
		record, err := want.Read()
		mine, end := got.next()
		if err != nil {
			require.ErrorIs(t, end, io.EOF)
			return
		}
		line, _ := want.FieldPos(0)
		require.Equal(t, record, mine)
		require.Equal(t, line, got.line())
		for i := range record {
			_, column := want.FieldPos(i)
			require.Equal(t, column, got.column(i))
		}
	}
}
