package survey

import "strings"

// titleLines is how many lines above the header are recognised as such.
const titleLines = 5

// headerFirst says whether a file begins with a header of cells between commas. Lines above the header, as a title or
// "sep=,", and cells between semicolons or tabs are noted, once for the whole file.
func headerFirst(text string, spec *tableSpec, found *findings) bool {
	line, header := headerLine(text, spec)
	if line > 1 {
		hint := "delete line 1"
		if line > 2 {
			hint = "delete the lines above it"
		}
		found.note(finding{file: spec.file, line: 1, hint: hint, lost: true}, "line 1 is not the header; line %d looks like it", line)
	}
	sep, _ := separator(header, spec)
	if sep != ',' {
		name := map[byte]string{';': "semicolons", '\t': "tabs"}[sep]
		found.fault(spec.file, line, "", wayHint, "cells are separated by %s, not commas", name)
	}
	return line <= 1 && sep == ','
}

// headerLine finds the header: the first line that is not empty, or one soon after it where that names at most one
// column and the other more.
func headerLine(text string, spec *tableSpec) (line int, header string) {
	first, known := 0, 0
	for s := range strings.SplitSeq(text, "\n") {
		line++
		if strings.TrimSpace(s) == "" {
			continue
		}
		_, n := separator(s, spec)
		if first == 0 {
			first, header, known = line, s, n
		} else if n > max(1, known) {
			return line, s
		}
		if known > 1 || line >= first+titleLines {
			break
		}
	}
	return 1, header
}

// separator tells what the cells of a header are separated by: the one of comma, semicolon and tab that makes most
// known names. It returns their number too.
func separator(header string, spec *tableSpec) (sep byte, names int) {
	sep, names = ',', -1
	for _, by := range []byte{',', ';', '\t'} {
		n := 0
		for name := range strings.SplitSeq(header, string(by)) {
			if spec.find(foldHeader(strings.Trim(name, "\" \r"))) != nil {
				n++
			}
		}
		if n > names {
			sep, names = by, n
		}
	}
	return sep, names
}
