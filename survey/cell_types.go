package survey

import (
	"cmp"
	"math"
	"reflect"
	"strings"
)

// The cell types of the small tables. Decoding keeps what was read and never fails, so that every mistake of a file is
// found in one pass; judge then reads the cell as its column wants it, and leaves it blank where it is refused.
type cell interface {
	judge(c *column) *flaw
}

// textCell holds text, a word, or yes and no (as "yes" and "").
type textCell struct{ s string }

// UnmarshalCSV keeps the trimmed text.
func (t *textCell) UnmarshalCSV(s string) error {
	t.s = strings.TrimSpace(s)
	return nil
}

func (t *textCell) judge(c *column) *flaw {
	switch c.kind {
	case wordKind:
		i, bad := c.word(t.s)
		t.s = ""
		if i >= 0 {
			t.s = c.words[i]
		}
		return bad
	case truthKind:
		yes, bad := c.truth(t.s)
		t.s = ""
		if yes {
			t.s = yesWords[0]
		}
		return bad
	}
	if t.s == "" {
		return c.blank()
	}
	return nil
}

// split cuts a list at its semicolons; nil where it is blank.
func (t textCell) split() []string {
	var out []string
	for s := range strings.SplitSeq(t.s, ";") {
		if s = strings.TrimSpace(s); s != "" {
			out = append(out, s)
		}
	}
	return out
}

// numberCell holds a number that may be missing.
type numberCell struct {
	Num
	raw string
}

// UnmarshalCSV keeps the trimmed text.
func (n *numberCell) UnmarshalCSV(s string) error {
	n.raw = strings.TrimSpace(s)
	return nil
}

func (n *numberCell) judge(c *column) *flaw {
	v, bad := c.number(n.raw)
	n.Num = Num{}
	if !math.IsNaN(v) {
		n.Num = Some(v)
	}
	return bad
}

// orNaN is the number, NaN where it is missing.
func (n numberCell) orNaN() float64 { return n.Or(math.NaN()) }

// dayCell holds a date that may be missing.
type dayCell struct {
	Day
	raw string
}

// UnmarshalCSV keeps the trimmed text.
func (d *dayCell) UnmarshalCSV(s string) error {
	d.raw = strings.TrimSpace(s)
	return nil
}

func (d *dayCell) judge(c *column) (bad *flaw) {
	d.Day, bad = c.day(d.raw)
	return bad
}

// key tells dates apart, also those that were refused.
func (d dayCell) key() string { return cmp.Or(d.String(), d.raw) }

// cellFields lists the fields of a row struct in the order of the columns. Every column has its field, tagged
// `csv:"name"`.
func cellFields(row reflect.Type, spec *tableSpec) []int {
	byName := make(map[string]int, row.NumField())
	for i := range row.NumField() {
		if name := row.Field(i).Tag.Get("csv"); name != "" {
			byName[name] = i
		}
	}
	out := make([]int, len(spec.columns))
	for i, c := range spec.columns {
		field, ok := byName[c.name]
		if !ok {
			panic("survey: no field for column " + c.name + " of " + spec.file)
		}
		out[i] = field
	}
	return out
}
