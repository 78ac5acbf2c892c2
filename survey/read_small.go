package survey

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/gocarina/gocsv"
)

// readSmall reads a table of the folder into row structs of cells and judges every cell. It returns the rows with
// their lines; none where the file is absent or its rows cannot be kept.
func readSmall[T any](r *reading, spec *tableSpec) ([]T, []int) {
	rows := r.open(spec)
	if rows == nil {
		return nil, nil
	}
	return decodeRows[T](rows)
}

// decodeRows decodes and judges the rows of a small table.
func decodeRows[T any](rows *rowReader) ([]T, []int) {
	var out []T
	if err := gocsv.UnmarshalCSV(rows, &out); err != nil {
		panic(fmt.Sprintf("survey: decoding %s: %v", rows.spec.file, err))
	}
	rows.end()
	fields := cellFields(reflect.TypeFor[T](), rows.spec)
	for i := range out {
		row := reflect.ValueOf(&out[i]).Elem()
		for k, field := range fields {
			c := row.Field(field).Addr().Interface().(cell)
			rows.noteFlaw(rows.lines[i], k, c.judge(&rows.spec.columns[k]))
		}
	}
	if rows.partial {
		return nil, nil
	}
	return out, rows.lines
}

// end notes a table that has no rows and needs some. In the others it says that there was nothing to enter.
func (r *rowReader) end() {
	if r.rows == 0 && r.spec.needed {
		if r.mapped != nil && r.mapped.raw.rows > 0 {
			r.noneRead()
			return
		}
		hint := "write at least one row"
		if r.spec.file == strataTable.file {
			hint += ", or remove the file where no bed has strata"
		}
		r.found.fault(r.spec.file, 0, "", hint, "has a header and no rows")
	}
}

// noneRead notes a table that has rows of which a mapping reads none, unless what is wrong with them was said.
func (r *rowReader) noneRead() {
	if !slices.ContainsFunc(r.found.list, func(f finding) bool { return f.lost && f.file == r.spec.file }) {
		r.found.fault(r.spec.file, 0, "", "look at what rules.toml says of the rows to be read (where, except, join)",
			"none of its %d rows is read", r.mapped.raw.rows)
	}
}

// noteFlaw notes what is wrong with a cell, given by the index of its column. What is missing because the file has no
// such column was said at the header.
func (r *rowReader) noteFlaw(line, column int, bad *flaw) {
	if bad == nil || r.columns[column] < 0 {
		return
	}
	f := finding{file: r.spec.file, line: line, column: r.spec.columns[column].name, hint: bad.hint}
	f.kind = bad.format
	if r.found.tally(f).n < r.found.listed() { // the hints of others are not shown
		f.hint = r.cellHint(column, bad)
	}
	r.found.note(f, bad.format, bad.args...)
}

// keys finds rows of a table that repeat the key of an earlier row.
type keys struct {
	spec  *tableSpec
	found *findings
	lines map[string]int
}

func newKeys(spec *tableSpec, found *findings) *keys {
	return &keys{spec, found, map[string]int{}}
}

// once notes a row whose key was there before, and says whether it is the first. The parts are in the order of the
// key; a row without its first part, which was refused, is not compared.
func (k *keys) once(line int, parts ...string) bool {
	if len(parts) != len(k.spec.key) {
		panic("survey: wrong number of key parts for " + k.spec.file)
	}
	if parts[0] == "" {
		return true
	}
	key := strings.Join(parts, "\x00")
	first, again := k.lines[key]
	if again {
		k.found.fault(k.spec.file, line, "", "keep one of the rows", "has the same %s as line %d",
			enumerate(k.spec.key), first)
		return false
	}
	k.lines[key] = line
	return true
}

// enumerate joins words as in a sentence.
func enumerate(words []string) string {
	if n := len(words) - 1; n > 0 {
		return strings.Join(words[:n], ", ") + " and " + words[n]
	}
	return words[0]
}

// ordered notes a row whose first day comes after its last.
func (r *reading) ordered(file string, line int, column string, from, to Day) {
	if from != NoDay && to != NoDay && from > to {
		r.found.fault(file, line, column, "mend one of the days, or change them about", "%s is before the first day, %s", to, from)
	}
}
