package archive

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// write makes the tables of the survey folder that the archive tells of. What bedstock carried in it takes their place.
func (s *seen) write() {
	quadrats := s.quadrats()
	var out observedTables
	for _, q := range quadrats {
		s.quadratRows(&out, q)
	}
	if !out.observers {
		out.quadrats = without(out.quadrats, len(quadratColumns)-1)
	}
	s.table("quadrats.csv", quadratColumns, out.quadrats)
	if len(out.fronds) > 0 {
		s.table("fronds.csv", frondColumns, out.fronds)
	}
	if s.Own {
		return
	}
	s.surveys(quadrats)
	s.strataTable(quadrats)
	s.beds(quadrats)
	s.speciesTable()
	s.unusedFacts()
	s.doubtful(out)
}

// without leaves the last column out.
func without(rows [][]string, n int) [][]string {
	for i := range rows {
		rows[i] = rows[i][:n]
	}
	return rows
}

// table makes a CSV file of rows that may be shorter than the columns. In archives of others, text that a spreadsheet
// program would take for a formula gets an apostrophe.
func (s *seen) table(file string, columns []string, rows [][]string) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if len(rows) > 0 {
		columns = columns[:len(rows[0])]
	}
	w.Write(columns)
	for _, row := range rows {
		for i := range row {
			if row[i] = strings.TrimSpace(row[i]); !s.Own {
				row[i] = harmless(row[i])
			}
		}
		w.Write(row)
	}
	w.Flush()
	s.Files[file] = b.Bytes()
}

// harmless puts an apostrophe before what begins like a formula and is no number.
func harmless(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return cell
	}
	if _, ok := parse(cell); ok {
		return cell
	}
	return "'" + cell
}

func parse(s string) (float64, bool) {
	x, err := strconv.ParseFloat(s, 64)
	return x, err == nil && x-x == 0
}

// unusedFacts lists the kinds of measurements that were not used, the most frequent first.
func (s *seen) unusedFacts() {
	kinds := sorted(s.idle)
	slices.SortStableFunc(kinds, func(x, y string) int { return cmp.Compare(s.idle[y], s.idle[x]) })
	for _, k := range kinds {
		s.unused("%s of %s", counted(s.idle[k], "measurement"), k)
	}
}

// doubtful says what has to be seen to before the folder gives numbers.
func (s *seen) doubtful(out observedTables) {
	for _, d := range []struct {
		n    int
		text string
	}{
		{out.bare, "%s without cover or weight: their cells in quadrats.csv are blank, and check asks for them"},
		{out.noArea, "%s without an area: fill in quadrat_m2"},
		{out.twice, "%s of a species that its quadrat has already: the first is kept"},
	} {
		what := map[bool]string{true: "quadrat", false: "occurrence"}[strings.Contains(d.text, "quadrat_m2")]
		if d.n > 0 {
			s.unused(d.text, counted(d.n, what))
		}
	}
	if renamed := sorted(s.names.renamed); len(renamed) > 0 {
		for i, name := range renamed {
			renamed[i] = fmt.Sprintf("%s as %s", name, s.names.renamed[name])
		}
		s.taken("species named as in the table: %s", strings.Join(renamed, "; "))
	}
}

// speciesTable lists the species that the embedded table does not have: they get a stock, and a quota once r and K are
// filled in.
func (s *seen) speciesTable() {
	var rows [][]string
	for _, name := range sorted(s.names.unknown) {
		rows = append(rows, []string{name, s.names.unknown[name]})
	}
	if len(rows) > 0 {
		s.table("species.csv", []string{"species", "aphia_id"}, rows)
		s.taken("species that the table does not have: %s; they get a stock, and an offtake once species.csv has r and K", someOf(sorted(s.names.unknown)))
	}
}
