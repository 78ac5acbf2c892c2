package survey

import (
	"fmt"
	"slices"
	"unicode/utf8"
)

// Limits of what is read. They lie far above any survey: what is larger is another file, or several run together, and
// would take all the memory there is.
const (
	maxFile      = 1 << 30    // bytes of a table
	maxOutlines  = 64 << 20   // bytes of beds.geojson
	maxRows      = 15_000_000 // of quadrats, readings and fronds, which are kept in columns
	maxSmallRows = 1_000_000  // of the other tables
	maxCorners   = 20_000     // positions of an outline
)

// largest is the size in bytes up to which a file is read, and its words.
func largest(name string) (int64, string) {
	if name == OutlinesFile {
		return maxOutlines, "64 MiB"
	}
	return maxFile, "1 GiB"
}

// limit is how many rows of a table are read.
func (t *tableSpec) limit() int {
	if slices.Contains([]string{quadratsTable.file, readingsTable.file, frondsTable.file}, t.file) {
		return maxRows
	}
	return maxSmallRows
}

// full notes a table of too many rows, and says whether there are no more to be read.
func (r *rowReader) full() bool {
	if r.rows <= r.limit {
		return false
	}
	r.found.note(finding{file: r.spec.file, line: r.line, lost: true,
		hint: "is this the right file, with its rows in it once? A survey of several shores or decades can be a folder each"},
		"here begins what is more than %s: no more are read, and no number is given from a part", inRows(r.limit))
	return true
}

// inRows is a number of rows in words, as "15 million rows".
func inRows(n int) string {
	if million := 1_000_000; n >= million && n%million == 0 {
		return fmt.Sprintf("%d million rows", n/million)
	}
	return counted(n, "row")
}

// maxCell is the longest cell that is read, in characters: a long remark. Longer ones are rows run together.
const maxCell = 2000

// maxColumns is how many columns a table may have. Tables whose columns are quadrats or species have some hundreds; more
// are cells run together.
const maxColumns = 2000

// narrow notes a header of too many cells, and says whether it is none.
func narrow(cells, line int, spec *tableSpec, found *findings) bool {
	if cells > maxColumns {
		found.note(finding{file: spec.file, line: line, hint: "is this the right file, and is its header whole? Columns that are not of the survey can be taken out", lost: true},
			"has %d columns: the most that are read are %d", cells, maxColumns)
	}
	return cells <= maxColumns
}

// short notes a record with a cell that is too long, and says whether there is none.
func (r *rowReader) short(record []string) bool {
	for i, s := range record {
		if len(s) <= maxCell {
			continue
		}
		if n := utf8.RuneCountInString(s); n > maxCell {
			r.found.note(finding{file: r.spec.file, line: r.line, at: r.records.column(i), lost: true,
				hint: "did a quote that is never closed run rows together? Keep remarks short"},
				"a cell of %d characters: the longest that is read has %d", n, maxCell)
			return false
		}
	}
	return true
}
