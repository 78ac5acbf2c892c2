package survey

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
)

// ReadSpecies reads a species table: the embedded one or a species.csv alone. Rows are sorted by name; From says
// "table" for every cell that is given. Anything that keeps the file from being read is a fault too.
func ReadSpecies(fsys fs.FS, name string) ([]Species, Problems) {
	spec := speciesTable
	spec.file = name
	found := &findings{}
	texts := map[string]*tableText{}
	rows, _, err := openTable(fsys, name, &spec, nil, InputRules{}, found, texts)
	if err != nil && !errors.Is(err, errRefused) {
		found.fault(name, 0, "", "", "%v", err)
	}
	var out []Species
	if rows != nil {
		for _, row := range speciesRows(rows) {
			var s Species
			row.overlay(&s, "table")
			out = append(out, s)
		}
	}
	sortSpecies(out)
	return out, found.problems(texts)
}

func sortSpecies(list []Species) {
	slices.SortFunc(list, func(a, b Species) int { return cmp.Compare(a.Name, b.Name) })
}

// readSpecies lays the folder's species.csv over the table.
func (r *reading) readSpecies(table []Species) {
	list := slices.Clone(table)
	place := map[string]int{}
	for i := range list {
		list[i].From = maps.Clone(list[i].From)
		place[foldSpecies(list[i].Name)] = i
	}
	if rows := r.open(&speciesTable); rows != nil {
		for _, row := range speciesRows(rows) {
			key := foldSpecies(row.Species.s)
			k, ok := place[key]
			if !ok {
				k = len(list)
				place[key] = k
				list = append(list, Species{})
			}
			row.overlay(&list[k], fmt.Sprintf("%s:%d", speciesTable.file, row.line))
		}
	}
	sortSpecies(list)
	r.f.Species = list
	r.names = newSpeciesNames(list)
}

// speciesRow is a row of a species table.
type speciesRow struct {
	Species     textCell   `csv:"species"`
	CommonName  textCell   `csv:"common_name"`
	Measured    textCell   `csv:"measured"`
	Life        textCell   `csv:"life"`
	R           numberCell `csv:"r_per_year"`
	RCV         numberCell `csv:"r_cv"`
	K           numberCell `csv:"k_kg_m2"`
	KCV         numberCell `csv:"k_cv"`
	PeakMonth   numberCell `csv:"peak_month"`
	Amplitude   numberCell `csv:"amplitude"`
	SeasonRatio numberCell `csv:"season_ratio"`
	MaxFrond    numberCell `csv:"max_frond_cm"`
	MinLength   numberCell `csv:"min_length_cm"`
	Leave       numberCell `csv:"leave_cm"`
	RecruitLen  numberCell `csv:"recruit_cm"`
	MaxFraction numberCell `csv:"max_fraction"`
	CoverA      numberCell `csv:"cover_a_kg_m2"`
	CoverB      numberCell `csv:"cover_b"`
	CoverCV     numberCell `csv:"cover_cv"`
	Group       textCell   `csv:"group"`
	AphiaID     numberCell `csv:"aphia_id"`
	Confidence  textCell   `csv:"confidence"`
	Source      textCell   `csv:"source"`

	line int
}

// speciesRows reads the rows of a species table, a species once.
func speciesRows(rows *rowReader) []speciesRow {
	list, lines := decodeRows[speciesRow](rows)
	seen := newKeys(rows.spec, rows.found)
	out := list[:0]
	for i, row := range list {
		row.line = lines[i]
		if row.Species.s != "" && seen.once(row.line, foldSpecies(row.Species.s)) {
			out = append(out, row)
		}
	}
	return out
}

// overlay puts every cell that is given over that of s and marks it as coming from the given place. The table's
// spelling of the name stays.
func (w *speciesRow) overlay(s *Species, from string) {
	s.Name = cmp.Or(s.Name, w.Species.s)
	s.InTable = true
	if s.From == nil {
		s.From = map[string]string{}
	}
	texts := map[string]struct {
		to   *string
		cell textCell
	}{
		"common_name": {&s.CommonName, w.CommonName}, "measured": {&s.Measured, w.Measured}, "life": {&s.Life, w.Life},
		"group": {&s.Group, w.Group}, "confidence": {&s.Confidence, w.Confidence}, "source": {&s.Source, w.Source},
	}
	for name, t := range texts {
		if t.cell.s != "" {
			*t.to, s.From[name] = t.cell.s, from
		}
	}
	numbers := map[string]struct {
		to   *Num
		cell numberCell
	}{
		"r_per_year": {&s.R, w.R}, "r_cv": {&s.RCV, w.RCV}, "k_kg_m2": {&s.K, w.K}, "k_cv": {&s.KCV, w.KCV},
		"peak_month": {&s.PeakMonth, w.PeakMonth}, "amplitude": {&s.Amplitude, w.Amplitude},
		"season_ratio": {&s.SeasonRatio, w.SeasonRatio}, "max_frond_cm": {&s.MaxFrond, w.MaxFrond},
		"min_length_cm": {&s.MinLength, w.MinLength}, "leave_cm": {&s.Leave, w.Leave},
		"recruit_cm": {&s.RecruitLen, w.RecruitLen}, "max_fraction": {&s.MaxFraction, w.MaxFraction},
		"cover_a_kg_m2": {&s.CoverA, w.CoverA}, "cover_b": {&s.CoverB, w.CoverB}, "cover_cv": {&s.CoverCV, w.CoverCV},
		"aphia_id": {&s.AphiaID, w.AphiaID},
	}
	for name, t := range numbers {
		if t.cell.OK {
			*t.to, s.From[name] = t.cell.Num, from
		}
	}
}

// foldSpecies is a species' name without regard to case and inner spacing.
func foldSpecies(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

// speciesNames gives every species one spelling: that of the table, else the first that was read.
type speciesNames struct{ spelled map[string]string }

func newSpeciesNames(table []Species) *speciesNames {
	n := &speciesNames{map[string]string{}}
	for _, s := range table {
		n.spelled[foldSpecies(s.Name)] = s.Name
	}
	return n
}

// of is the spelling for a name as read; blank stays blank.
func (n *speciesNames) of(s string) string {
	key := foldSpecies(s)
	if key == "" {
		return ""
	}
	name, ok := n.spelled[key]
	if !ok {
		name = strings.Clone(s)
		n.spelled[key] = name
	}
	return name
}
