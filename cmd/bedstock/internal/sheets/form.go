package sheets

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/encoding/charmap"
)

// Form is how a table of a folder is written. The zero Form is comma-separated UTF-8 with decimal points, under all columns.
type Form struct {
	Header       []string // its columns in their order, as they are spelled; nil: those that a plan has
	Separator    rune     // between cells; 0: a comma
	DecimalComma bool
	Windows1252  bool // how its letters are kept, where they can be
}

// number writes a number with the mark of decimals of the form.
func (f Form) number(v float64) string {
	s := strconv.FormatFloat(v, 'g', -1, 64)
	if f.DecimalComma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
}

// under writes rows under the header of the form, with the columns that it lacks behind, which more names; strata and
// transects only where there are any.
func (f Form) under(columns []string, rows []map[string]string) (text []byte, more []string) {
	var own []string // in small letters
	for _, s := range f.Header {
		own = append(own, strings.ToLower(strings.Join(strings.Fields(s), "_")))
	}
	for _, c := range columns {
		used := func(cells map[string]string) bool { return cells[c] != "" }
		if laid := c == "stratum" || c == "transect"; !slices.Contains(own, c) && (!laid || slices.ContainsFunc(rows, used)) {
			more = append(more, c)
		}
	}
	names := slices.Concat(own, more)
	all := [][]string{slices.Concat(f.Header, more)}
	for _, cells := range rows {
		record := make([]string, len(names))
		for i, n := range names {
			record[i] = cells[n]
		}
		all = append(all, record)
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Comma = cmp.Or(f.Separator, ',')
	if err := w.WriteAll(all); err != nil {
		panic("sheets: writing to memory: " + err.Error())
	}
	if f.Windows1252 {
		if text, err := charmap.Windows1252.NewEncoder().Bytes(b.Bytes()); err == nil {
			return text, more
		}
	}
	return b.Bytes(), more
}
