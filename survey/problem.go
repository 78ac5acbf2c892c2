package survey

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Severity says whether a problem stops the numbers.
type Severity uint8

const (
	// Fault must be mended or set aside: a folder with one gives no number.
	Fault Severity = iota
	// Doubt is a warning: it travels with the results.
	Doubt
)

// Problem is one mistake or doubt in a file, at a place.
type Problem struct {
	File     string // slash path relative to the folder
	Line     int    // 1-based line in the file; 0: the whole file
	Column   int    // 1-based character in the line; 0: the whole line
	Severity Severity
	Text     string // what is wrong, what was read
	Hint     string // what to do; may be empty

	Table string // the table that the file is, as quadrats.csv; empty: none, or said elsewhere
	Name  string // name of the column; empty: the whole line or file
	Cell  string // what stands in that cell of the file; empty where it is not known
	Kind  string // problems of one kind differ only in what was read; empty: one of its own
	First bool   // others may follow from it: it stands before them
	More  int    // how many more of the kind there are that are not listed
}

// String is "file:line:column: text", without the hint.
func (p Problem) String() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d", p.Line)
		if p.Column > 0 {
			fmt.Fprintf(&b, ":%d", p.Column)
		}
	}
	b.WriteString(": ")
	if p.Severity == Doubt {
		b.WriteString("warning: ")
	}
	b.WriteString(p.Text)
	return b.String()
}

// Problems is everything found in a folder, in the order of files, lines and columns. As an error it is the text of
// all of them, a line each.
type Problems []Problem

// Refusal is the error of a folder with faults: what is wrong with it, and how its tables were read as far as they could
// be. It wraps the [Problems].
type Refusal struct {
	Problems
	Dialects []Dialect // as in [Folder]
	Mapped   []string
}

// Unwrap is the problems.
func (r *Refusal) Unwrap() error { return r.Problems }

// Error lists all problems, a line each.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}

// Sort orders the problems by file, line, column and text, with those first that others may follow from.
func (ps Problems) Sort() {
	slices.SortStableFunc(ps, func(a, b Problem) int {
		if a.First != b.First {
			return map[bool]int{true: -1, false: 1}[a.First]
		}
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column),
			cmp.Compare(a.Severity, b.Severity), cmp.Compare(a.Text, b.Text))
	})
}

// Faults returns the problems that stop the numbers.
func (ps Problems) Faults() Problems { return ps.only(Fault) }

// Doubts returns the warnings.
func (ps Problems) Doubts() Problems { return ps.only(Doubt) }

func (ps Problems) only(s Severity) Problems {
	var out Problems
	for _, p := range ps {
		if p.Severity == s {
			out = append(out, p)
		}
	}
	return out
}
