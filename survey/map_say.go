package survey

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// IsTable says whether a file of that name is a table of a survey folder.
func IsTable(file string) bool { return tableOf(file) != nil }

// Origin says in words what the column is made of.
func (c *ColumnMap) Origin() string {
	var b strings.Builder
	switch {
	case c.Fixed && c.Value == "":
		b.WriteString("blank in every row")
	case c.Fixed:
		fmt.Fprintf(&b, "%q in every row", c.Value)
	case c.Cells:
		b.WriteString("the cells")
	case c.Header:
		b.WriteString("the headers")
	case c.Text != "":
		fmt.Fprintf(&b, "%q", c.Text)
	case c.Sum != nil:
		b.WriteString(quotedList(c.Sum, " + "))
	default:
		fmt.Fprintf(&b, "%q", c.From)
	}
	if c.Times != "" {
		fmt.Fprintf(&b, ", times %s", c.Times)
	}
	if c.Unit != "" {
		fmt.Fprintf(&b, ", in %s", c.Unit)
	}
	if c.Per != "" {
		fmt.Fprintf(&b, ", per %s", c.Per)
	}
	for i, s := range c.Classes {
		of := ""
		if s.Species != "" {
			of = " of " + s.Species
		} else if i > 0 || len(c.Classes) > 1 {
			of = " of others"
		}
		fmt.Fprintf(&b, ", letters%s by %s", of, s.Scale)
	}
	if c.Form != "" {
		fmt.Fprintf(&b, ", written %s", c.Form)
	}
	return b.String()
}

func quotedList(texts []string, between string) string {
	parts := make([]string, len(texts))
	for i, s := range texts {
		parts[i] = strconv.Quote(s)
	}
	return strings.Join(parts, between)
}

// Translated says in words what the file's words are here; empty: as they stand.
func (c *ColumnMap) Translated() string {
	var parts []string
	for _, word := range slices.Sorted(maps.Keys(c.Words)) {
		parts = append(parts, fmt.Sprintf("%q is %q", word, c.Words[word]))
	}
	return strings.Join(parts, ", ")
}

// Whole is origin and translation.
func (c *ColumnMap) Whole() string {
	if c.Words == nil {
		return c.Origin()
	}
	return c.Origin() + ": " + c.Translated()
}

// Reading lists the choices of a table that concern whole rows: what each is called in rules.toml, and its value.
func (t *TableMap) Reading() [][2]string {
	var out [][2]string
	add := func(key, format string, args ...any) { out = append(out, [2]string{key, fmt.Sprintf(format, args...)}) }
	if t.Missing != nil {
		add("missing", "%s", quotedList(t.Missing, ", "))
	}
	for _, f := range t.Where {
		add("where", "%s is %s", f.Header, quotedList(f.Texts, " or "))
	}
	for _, f := range t.Except {
		add("except", "%s is %s", f.Header, quotedList(f.Texts, " or "))
	}
	if t.Join != nil {
		add("join", "%s on %s", t.Join.File, t.Join.On)
	}
	if t.OnlyListed {
		add("only_listed_species", "true")
	}
	if w := t.Wide; w != nil {
		add("layout", "wide, %s across", w.Across)
		if w.Absent {
			add("blank", "absent: looked for and not found, 0")
		}
		if w.Ignore != nil {
			add("ignore", "%s", quotedList(w.Ignore, ", "))
		}
		if w.Heading != "" {
			add("heading", "%s", w.Heading)
		}
		for _, row := range w.Rows {
			add("rows", "%s in the row %q", row[0], row[1])
		}
	}
	if t.Repeats != "" {
		add("repeats", "%s", t.Repeats)
	}
	return out
}

// say tells in words how the table was read.
func (t *mappedTable) say() []string {
	if t.own == t.spec {
		if t.unlisted > 0 {
			return []string{fmt.Sprintf("%s: %s left out: no species of the survey; %s", t.name, counted(t.unlisted, "row"), t.visits())}
		}
		return nil
	}
	if !t.bound {
		return nil // the file was refused
	}
	var parts []string
	for i := range t.cols {
		if c := &t.cols[i]; c.ColumnMap != nil && !(t.wide != nil && c.Fixed && c.Value == "") {
			parts = append(parts, c.Column+" from "+c.Whole())
		}
	}
	if w := t.wide; w != nil {
		blank := "a blank cell is a mistake"
		if w.Absent {
			blank = "a blank cell means looked for and absent: 0"
		}
		parts = append(parts, fmt.Sprintf("%s across: %s; %s", counted(len(w.at), "column"), strings.Join(w.names, ", "), blank))
	}
	if t.join != nil {
		parts = append(parts, fmt.Sprintf("joined to %s on %s", t.join.File, t.join.On))
	}
	as := ""
	if t.name != t.spec.file {
		as = " as " + t.spec.file
	}
	out := []string{fmt.Sprintf("%s is read%s, %s: %s", t.name, as, counted(t.rows, "row"), strings.Join(parts, "; "))}
	if t.passed > 0 {
		out = append(out, fmt.Sprintf("%s: %s passed over: not of this table (where)", t.name, counted(t.passed, "row")))
	}
	if t.unlisted > 0 {
		out = append(out, fmt.Sprintf("%s: %s left out: no species of the survey; %s", t.name, counted(t.unlisted, "row"), t.visits()))
	}
	if len(t.others) > 0 {
		out = append(out, fmt.Sprintf("%s: not read: %s", t.name, some(t.others, 12)))
	}
	return out
}

// visits says what becomes of the quadrats of rows left out.
func (t *mappedTable) visits() string {
	if t.spec == &quadratsTable {
		return "their quadrats count as visited"
	}
	return "as [species] says"
}

// sayMapped enters how the tables were read, and doubts where rows were left out or a factor is taken as exact.
func (r *reading) sayMapped() {
	for _, t := range r.mapped {
		r.f.Mapped = append(r.f.Mapped, t.say()...)
		if t.left > 0 {
			r.found.doubt(t.spec.file, 0, "", "", "%s left out by except in %s:%d", counted(t.left, "row"), t.not[0].At.File, t.not[0].At.Line)
		}
		for i := range t.cols {
			if c := &t.cols[i]; c.ColumnMap != nil && c.Times != "" {
				r.found.doubt(t.spec.file, 0, c.Column, "the error of a mean weight is in no interval; weigh quadrats whole where you can",
					"is counted at %s each, taken as exact", strings.TrimSpace(c.Times+" "+c.Unit))
			}
		}
	}
}
