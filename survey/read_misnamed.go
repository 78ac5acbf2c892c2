package survey

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"
)

// What has no name of a table is looked through so far for the header of one.
const (
	headerWithin = 20   // rows
	headerBytes  = 8192 // of a file
)

// hintOther says what to do with a file or sheet that is not read, by its name without an ending, or by its header where
// the table of that header is missing. own is how rules.toml would name it, called what it would be renamed to.
func (r *reading) hintOther(stem, own string, called func(t *tableSpec) string, headed func() *tableSpec) (hint string, t *tableSpec) {
	t, by := namedFor(stem), ""
	if t == nil {
		by = ", whose header it has"
		if t = headed(); t == nil || r.has(t.file) {
			return "", nil
		}
	}
	if r.has(t.file) {
		return "is it an old copy? Keep it elsewhere; rows of other years, beds or observers belong into " + t.file + " itself", t
	}
	if all := r.namedFor(t); by == "" && len(all) > 1 {
		return fmt.Sprintf("the rows of all years and observers stand in one table: put those of %s into %s", some(all, 5), t.file), t
	}
	return fmt.Sprintf("rename it to %s%s, or name it in rules.toml, [files]: %s = %q", called(t), by, t.stem(), own), t
}

// namedFor are the files and sheets that are not read and named for a table, sorted.
func (r *reading) namedFor(t *tableSpec) []string {
	var out []string
	for name := range r.files {
		if stem, csv := strings.CutSuffix(strings.ToLower(name), ".csv"); csv && namedFor(stem) == t && !r.opt.Mapping.reads(name) {
			out = append(out, name)
		}
	}
	for called, s := range r.books {
		if namedFor(s.name) == t && !r.opt.Mapping.reads(called) {
			out = append(out, called)
		}
	}
	slices.Sort(out)
	return out
}

// hintOtherFile is hintOther of a text file.
func (r *reading) hintOtherFile(name string) (string, *tableSpec) {
	stem := name[:strings.LastIndexByte(name, '.')]
	return r.hintOther(stem, name, func(t *tableSpec) string { return t.file }, func() *tableSpec { return r.headedAs(name) })
}

// hintOtherSheet is hintOther of a sheet.
func (r *reading) hintOtherSheet(s *bookSheet) string {
	hint, _ := r.hintOther(s.name, s.called(), (*tableSpec).stem, s.headedAs)
	return hint
}

// stem is the name of the table without an ending.
func (t *tableSpec) stem() string { return strings.TrimSuffix(t.file, ".csv") }

// namedFor is the table whose name stands as a word in the name of a file or sheet, without its ending, as "quadrats
// 2031", "Copy of beds" or "harvest(1)"; nil where none or several do.
func namedFor(stem string) *tableSpec {
	words := strings.FieldsFunc(strings.ToLower(stem), func(r rune) bool { return !unicode.IsLetter(r) })
	var out *tableSpec
	for _, t := range surveyTables {
		if !slices.Contains(words, t.stem()) {
			continue
		}
		if out != nil {
			return nil
		}
		out = t
	}
	return out
}

// headedAs is the table whose header a file of UTF-8 text has near its beginning; nil where there is none.
func (r *reading) headedAs(name string) *tableSpec {
	if !r.files[name].Type().IsRegular() {
		return nil
	}
	f, err := r.fsys.Open(name)
	if err != nil {
		return nil
	}
	defer f.Close()
	raw, err := io.ReadAll(io.LimitReader(f, headerBytes))
	if err != nil {
		return nil
	}
	lines := strings.SplitN(strings.TrimPrefix(string(raw), byteMark), "\n", headerWithin+1)
	for _, line := range lines[:min(len(lines), headerWithin)] {
		if t := headedBy(strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune(separators, r) })); t != nil {
			return t
		}
	}
	return nil
}

// headedAs is the table whose header the sheet has near its beginning; nil where there is none.
func (s *bookSheet) headedAs() *tableSpec {
	cells, err := s.scanSheet()
	if err != nil {
		return nil
	}
	for i := range min(len(cells.rows), headerWithin) {
		if t := headedBy(cells.row(i)); t != nil {
			return t
		}
	}
	return nil
}

// headedBy is the table of which these cells are the header: of those of which they name three columns at least and all
// that must be there, the one of which they name most.
func headedBy(cells []string) *tableSpec {
	var names []string
	for _, s := range cells {
		names = append(names, foldHeader(strings.Trim(s, "\" ")))
	}
	var out *tableSpec
	most := 2
	for _, t := range surveyTables {
		known, lacks := 0, false
		for i := range t.columns {
			has := slices.Contains(names, t.columns[i].name)
			lacks = lacks || t.columns[i].required && !has
			if has {
				known++
			}
		}
		if known > most && !lacks {
			out, most = t, known
		}
	}
	return out
}
