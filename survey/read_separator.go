package survey

import (
	"iter"
	"slices"
	"strings"
)

// titleLines is how many lines that are not empty are passed over above a header at most.
const titleLines = 10

// separators are what may stand between cells, in the order of [Separators].
const separators = ",;\t"

// findHeader finds where the header of a text stands and what separates its cells. A first line "sep=;" and the rules
// of the folder have their way; what can be read in two ways is a fault.
func findHeader(text string, spec *tableSpec, rules InputRules, found *findings) (*tableText, bool) {
	t := &tableText{text: text}
	first, _, _ := strings.Cut(text, "\n")
	named := strings.TrimRight(strings.Trim(first, "\"\r"), "\r\"")
	if rest, ok := strings.CutPrefix(strings.ToLower(named), "sep="); ok && len(rest) == 1 && strings.Contains(separators, rest) {
		t.sep, t.skip = rest[0], 1
	}
	if rules.Separator != "" {
		t.sep = separators[slices.Index(Separators(), rules.Separator)]
	}
	if rules.SkipLines.OK {
		t.skip = int(rules.SkipLines.V)
	} else {
		t.skip += t.above(spec)
	}
	rest := afterLines(text, t.skip)
	if strings.TrimSpace(rest) == "" {
		found.fault(spec.file, 0, "", "skip_lines in rules.toml must be fewer", "has no line below the %d to be passed over", t.skip)
		return nil, false
	}
	for rest != "" { // the header need not be the first line
		row, below, n := cutRow(rest)
		if strings.TrimSpace(row) != "" {
			return t, t.separate(row, spec, found)
		}
		rest, t.skip = below, t.skip+n
	}
	return t, true
}

// cutRow cuts the first row off a text, which is a line, or as many as its quotes hold together where they close soon.
func cutRow(text string) (row, rest string, lines int) {
	row, rest, _ = strings.Cut(text, "\n")
	open := oddQuotes(row)
	long, below := row, rest
	for lines = 1; open && below != "" && lines < titleLines*titleLines; lines++ {
		var line string
		line, below, _ = strings.Cut(below, "\n")
		open = open != oddQuotes(line)
		long = text[:len(long)+1+len(line)]
	}
	if open {
		return row, rest, 1
	}
	return long, below, lines
}

func oddQuotes(s string) bool { return strings.Count(s, `"`)%2 == 1 }

// above counts the lines above the header.
func (t *tableText) above(spec *tableSpec) int {
	return headerLine(func(yield func(int, int) bool) {
		line, n := 0, 0
		var s string
		for rest := afterLines(t.text, t.skip); rest != ""; line += n {
			s, rest, n = cutRow(rest)
			if strings.TrimSpace(s) == "" {
				continue
			}
			if _, names, _ := t.separator(s, spec); !yield(line, names) {
				return
			}
		}
	})
}

// headerLine tells how many lines stand above the header, which is the first row that is not empty, or one soon after it
// where that names at most one column and the other more. The rows that are not empty come with the number of lines above
// them and of the columns that they name.
func headerLine(rows iter.Seq2[int, int]) int {
	seen, known := 0, 0
	for above, n := range rows {
		if seen == 0 {
			known = n
		} else if n > max(1, known) {
			return above
		}
		if seen++; known > 1 || seen > titleLines {
			break
		}
	}
	return 0
}

// separate settles what separates the cells of the header.
func (t *tableText) separate(header string, spec *tableSpec, found *findings) bool {
	sep, _, rival := t.separator(header, spec)
	t.sep = sep
	if rival != 0 {
		found.note(finding{file: spec.file, line: t.skip + 1, hint: "say which it is: " + inputHint(spec.file, "separator", wordOf(sep), wordOf(rival)), lost: true},
			"the header can be split at each %s or at each %s", wordOf(sep), wordOf(rival))
		return false
	}
	return narrow(strings.Count(header, string(sep))+1, t.skip+1, spec, found)
}

// wordOf is the word for a separator.
func wordOf(sep byte) string { return Separators()[strings.IndexByte(separators, sep)] }

// separator tells what the cells of a header are separated by: what makes most known names, and of what makes none
// what there is most of. It returns the number of names, and another separator that makes as many, 0 where none does.
func (t *tableText) separator(header string, spec *tableSpec) (sep byte, names int, rival byte) {
	if t.sep != 0 {
		return t.sep, knownNames(header, t.sep, spec), 0
	}
	names = -1
	most := 0
	for _, by := range []byte(separators) {
		n, count := knownNames(header, by, spec), strings.Count(header, string(by))
		switch {
		case n > names || n == 0 && names == 0 && count > most:
			sep, names, rival, most = by, n, 0, count
		case n == names && n > 0 && count > 0 && most > 0:
			rival = by
		case n == names && n > 0 && count > most:
			sep, most = by, count // a single known name, and something beside it
		}
	}
	return sep, names, rival
}

func knownNames(header string, sep byte, spec *tableSpec) int {
	n, cells := 0, 0
	for name := range strings.SplitSeq(header, string(sep)) {
		if cells++; cells > maxColumns {
			break
		}
		if spec.find(foldHeader(strings.Trim(name, "\" \r\n"))) != nil {
			n++
		}
	}
	return n
}
