package survey

import "unicode/utf8"

// maxCell is the longest cell that is read, in characters: a long remark. Longer ones are rows run together.
const maxCell = 2000

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
