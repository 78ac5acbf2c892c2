package survey

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A cell of the longest length is read, in any script, and one a character longer is refused at its place.
func TestCellsAreShort(t *testing.T) {
	texts := bareFolder()
	row := "Skarn,2030-07-01,Fucus serratus,0,"
	for _, letter := range []string{"a", "ж"} {
		texts["harvest.csv"] = "bed,date,species,wet_kg,notes\n" + row + strings.Repeat(letter, maxCell) + "\n"
		assert.Equal(t, "nothing\n", whatIsFound(files(texts), smallTable(), DefaultOptions()))
		texts["harvest.csv"] = "bed,date,species,wet_kg,notes\n" + row + strings.Repeat(letter, maxCell+1) + "\n"
		assert.Contains(t, whatIsFound(files(texts), smallTable(), DefaultOptions()),
			"harvest.csv:2:35: a cell of 2001 characters: the longest that is read has 2000\n    hint: did a quote")
	}
}

// A table of too many columns is refused at its header, also where they stand in quotes.
func TestTablesAreNarrow(t *testing.T) {
	head := "bed,date,species,wet_kg,notes"
	for _, text := range []string{
		head + strings.Repeat(",", maxColumns-4) + "\n",
		head + ",\"\n\"" + strings.Repeat(",", maxColumns-5) + "\n",
	} {
		texts := bareFolder()
		texts["harvest.csv"] = text
		assert.Equal(t, "harvest.csv:1: has 2001 columns: the most that are read are 2000\n    hint: is this the right file, and is its header whole? "+
			"Columns that are not of the survey can be taken out\n", whatIsFound(files(texts), smallTable(), DefaultOptions()))
	}
	texts := bareFolder()
	texts["harvest.csv"] = head + strings.Repeat(",", maxColumns-5) + "\n"
	assert.NotContains(t, whatIsFound(files(texts), smallTable(), DefaultOptions()), "columns")
}

// Reading stops at the row after the last that is allowed, and says so.
func TestTablesHaveAnEnd(t *testing.T) {
	read := func(rows int) (int, string) {
		found := &findings{}
		text := &tableText{text: "bed,stratum,area_m2\n" + strings.Repeat("a,b,1\n", rows), sep: ','}
		r := newRowReader(text, &strataTable, InputRules{}, found)
		n := 0
		for _, err := r.Read(); err == nil; _, err = r.Read() {
			n++
		}
		return n, found.problems(nil).Error()
	}
	n, said := read(maxSmallRows)
	assert.Equal(t, maxSmallRows, n)
	assert.Empty(t, said)
	n, said = read(maxSmallRows + 5)
	assert.Equal(t, maxSmallRows, n)
	assert.Equal(t, "strata.csv:1000002: here begins what is more than 1 million rows: no more are read, and no number is given from a part", said)
}

// Quadrats end where there are too many rows, however they are read: in one, in parts, in quotes, by a mapping.
// Blank rows do not count.
func TestQuadratsHaveAnEnd(t *testing.T) {
	assert.Equal(t, "15 million rows", inRows(quadratsTable.limit()))
	const rows, limit = 9, 7
	texts := bareFolder()
	head := "bed,date,quadrat,quadrat_m2,species,cover_pct\n"
	row := func(i int) string { return fmt.Sprintf("Skarn,2030-07-01,%d,0.25,Fucus serratus,%d\n", i, 20+i) }
	all, quoted := head, head
	for i := range rows {
		all += row(i) + ",,,,,\n\n"
		quoted += strings.Replace(row(i), "Skarn", `"Skarn"`, 1)
	}
	asMapped := DefaultOptions()
	asMapped.Mapping.Tables = []TableMap{{Table: quadratsTable.file, Columns: []ColumnMap{{Column: "cover_pct", From: "seen"}}}}
	for name, x := range map[string]struct {
		text      string
		opt       Options
		partBytes int
		line      int
	}{
		"in one":   {all, DefaultOptions(), partBytes, 2 + 3*limit},
		"in parts": {all, DefaultOptions(), 50, 2 + 3*limit},
		"quoted":   {quoted, DefaultOptions(), partBytes, 2 + limit},
		"mapped":   {strings.Replace(all, "cover_pct", "seen", 1), asMapped, 50, 2 + 3*limit},
	} {
		texts["quadrats.csv"] = x.text
		read := func(limit int) (*Folder, string) {
			r := newReading(files(texts), x.opt)
			r.partBytes, r.limit = x.partBytes, limit
			require.NoError(t, r.listFiles(), name)
			r.readTables(smallTable())
			_, err := r.finish(check)
			if err == nil {
				return r.f, ""
			}
			return r.f, err.Error()
		}
		f, said := read(limit)
		assert.Equal(t, fmt.Sprintf("quadrats.csv:%d: here begins what is more than 7 rows: no more are read, and no number is given from a part", x.line), said, name)
		assert.Equal(t, limit, f.Quadrats.Len(), name)
		f, said = read(rows)
		assert.Empty(t, said, name)
		assert.Equal(t, rows, f.Quadrats.Len(), name)
	}
}

// An outline of too many positions is refused before anything is measured.
func TestOutlinesAreSimple(t *testing.T) {
	texts := bareFolder()
	ring := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "[7.%06d,58],", i)
		}
		return collection(`{"type":"Feature","properties":{"bed":"Skarn"},"geometry":{"type":"Polygon","coordinates":[[` + b.String() + `[7,58.1],[7.000000,58]]]}}`)
	}
	texts[OutlinesFile] = ring(maxCorners - 1)
	assert.Contains(t, whatIsFound(files(texts), smallTable(), DefaultOptions()),
		"bed Skarn: an outline of 20001 positions: the most that are read are 20000\n    hint: simplify the outline")
	texts[OutlinesFile] = ring(maxCorners - 2)
	assert.NotContains(t, whatIsFound(files(texts), smallTable(), DefaultOptions()), "positions")
}
