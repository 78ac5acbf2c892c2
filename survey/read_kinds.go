package survey

import "strings"

// otherKinds are files of another kind that are found under the name of a table, by how they begin, in small letters.
var otherKinds = []struct{ begins, kind, hint string }{
	{"%pdf", "a PDF file", saveHint},
	{"\xd0\xcf\x11\xe0", "a workbook of an old kind (.xls)", saveHint},
	{"{\\rtf", "a text with letters in bold and the like (RTF)", saveHint},
	{"\x1f\x8b", "a compressed file (gzip)", "unpack it, and put the table there"},
	{"<!doctype html", "a web page", pageHint},
	{"<html", "a web page", pageHint},
	{"<?xml", "XML text", saveHint},
	{"[{\"", "JSON text", saveHint},
	{"{\"", "JSON text", saveHint},
}

const pageHint = "download the table again: this is a page that stood in its place, to sign in perhaps; else " + saveHint

// plainText notes a file of another kind, and says whether it is none.
func plainText(name, raw string, found *findings) bool {
	head := strings.ToLower(strings.TrimLeft(strings.TrimPrefix(raw[:min(len(raw), 100)], byteMark), " \t\r\n"))
	for _, k := range otherKinds {
		if strings.HasPrefix(head, k.begins) || strings.HasPrefix(raw, k.begins) {
			found.fault(name, 0, "", k.hint, "is %s, not CSV text", k.kind)
			return false
		}
	}
	return true
}

// mergeMarks begin the lines that a version control program leaves where two versions of a file differ.
var mergeMarks = []string{"<<<<<<< ", "=======", ">>>>>>> ", "||||||| "}

// pasted notes a row that is none: a mark between two versions of the file, or the header once more.
func (r *rowReader) pasted(record []string) bool {
	if r.spelled == nil || len(record) == 0 || record[0] == "" {
		return false
	}
	f := finding{file: r.spec.file, line: r.line, lost: true}
	if c := record[0][0]; len(record) == 1 && len(record[0]) >= 7 && (c == '<' || c == '=' || c == '>' || c == '|') {
		for _, mark := range mergeMarks {
			if strings.HasPrefix(record[0]+" ", mark) {
				f.hint = "keep one of the two versions between the lines of < and >, and delete these lines and the one of ="
				r.found.note(f, "is a mark between two versions of the file that were not merged")
				return true
			}
		}
	}
	if r.same > 0 || !beginsHeader(record[0]) && record[0] != r.first {
		return false
	}
	if r.headerAgain(record) {
		f.hint = "delete the line; was a table pasted below another?"
		r.found.note(f, "is the header once more")
		return true
	}
	t := headedBy(record)
	if t == nil || r.spec.foreign {
		return false
	}
	r.ended = true
	if t.file == r.spec.file {
		f.hint = "put its rows under the first header, each cell in its column"
		r.found.note(f, "is a second header, of other columns: nothing is read from here on")
		return true
	}
	f.hint = "cut it out, and save it as " + t.file
	r.found.note(f, "is the header of %s: a second table begins, and nothing is read from here on", t.file)
	return true
}

// headerAgain says whether a record is the header of the table.
func (r *rowReader) headerAgain(record []string) bool {
	if record[0] != r.first || len(record) != len(r.header) {
		return false
	}
	for i, s := range record {
		if s != strings.TrimSpace(r.spelled[i]) {
			return false
		}
	}
	return true
}

// beginsHeader says whether a cell is the first of the headers that tables usually have.
func beginsHeader(s string) bool {
	switch s {
	case "bed", "plot", "permit", "species", "file", "time":
		return true
	}
	return false
}
