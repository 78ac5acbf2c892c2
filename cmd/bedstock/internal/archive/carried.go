package archive

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"bedstock/model"
	"bedstock/survey"
)

// Carried is a table of the survey folder as it is handed on: as it was read, under our own names of columns and in our
// units, without what is left out. A column that is blank in all rows and need not be there is left out too.
type Carried struct {
	Name   string // beds, strata, ...
	Header []string
	Rows   [][]string
	Text   []byte // in place of a table: rules.toml, beds.geojson
}

// File is the name of the file in the survey folder.
func (c Carried) File() string {
	if c.Text != nil {
		return c.Name
	}
	return c.Name + ".csv"
}

// Bytes is the file.
func (c Carried) Bytes() []byte {
	if c.Text != nil {
		return c.Text
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	err := w.Write(c.Header)
	for _, row := range c.Rows {
		if err == nil {
			err = w.Write(row)
		}
	}
	if w.Flush(); err != nil {
		panic("archive: " + err.Error())
	}
	return b.Bytes()
}

// observed are the tables that an archive holds as events and occurrences.
var observed = []string{"quadrats", "fronds"}

// ofPeople are tables that tell what single people took or were granted: few cut on one bed, and its kilograms are theirs.
var ofPeople = []string{"harvest", "permits", "decisions"}

// whoColumns tell who did something, or are remarks, in which anybody may be named.
var whoColumns = []string{"observer", "people", "notes"}

// freeColumns hold texts that people wrote and that are handed on, without the names that the folder gives elsewhere.
var freeColumns = []string{"protocol", "reason", "source"}

// Carry makes the tables of a survey folder that go along. Without people it leaves out the tables and columns that tell
// of them, and opt.Scrub takes their names out of what else was written. For a Darwin Core archive (core) it leaves out
// what goes into its events and occurrences. Rules is the text of the rules in force; nil: none. The notes say what was
// left out.
func Carry(f *survey.Folder, rules []byte, core bool, opt Options) (out []Carried, notes []string, err error) {
	c := carrier{opt: opt}
	for _, t := range tables {
		rows := t.rows(f, opt)
		switch {
		case len(rows) == 0:
		case core && slices.Contains(observed, t.name):
			c.hide(t, rows)
		case !opt.People && slices.Contains(ofPeople, t.name):
			c.left = append(c.left, t.name+".csv")
		default:
			out = append(out, c.table(t, rows))
		}
	}
	if (len(f.Outlines) > 0 || len(f.StratumOutlines) > 0) && !opt.Coarse {
		out = append(out, Carried{Name: survey.OutlinesFile, Text: outlines(f)})
	}
	if rules != nil {
		keys, err := withoutRemarks(rules)
		if err != nil {
			return nil, nil, err
		}
		out = append(out, Carried{Name: model.RulesFile, Text: keys})
	}
	return out, c.notes(f), nil
}

// carrier makes the tables one by one and keeps in mind what it left out.
type carrier struct {
	opt     Options
	left    []string // tables
	columns []string // "column of file"
}

// table leaves out the columns that are blank or withheld.
func (c *carrier) table(t folderTable, rows [][]string) Carried {
	out := Carried{Name: t.name, Rows: make([][]string, len(rows))}
	c.hide(t, rows)
	for k, column := range t.columns {
		if c.withheld(t.name, column) || blank(rows, k) && !slices.Contains(t.must, column) {
			continue
		}
		out.Header = append(out.Header, column)
		for i, row := range rows {
			cell := row[k]
			switch {
			case column == "notes" && !c.opt.People:
				cell = invented
			case slices.Contains(freeColumns, column):
				cell = c.opt.free(cell)
			}
			out.Rows[i] = append(out.Rows[i], cell)
		}
	}
	return out
}

// hide notes the columns that hold something and are withheld.
func (c *carrier) hide(t folderTable, rows [][]string) {
	for k, column := range t.columns {
		if !c.opt.People && slices.Contains(whoColumns, column) && !blank(rows, k) {
			c.columns = append(c.columns, column+" of "+t.name+".csv")
		}
	}
}

func blank(rows [][]string, column int) bool {
	return !slices.ContainsFunc(rows, func(row []string) bool { return row[column] != "" })
}

// withheld says whether a column is left out. The remarks of an invented survey stay, to say that it is.
func (c *carrier) withheld(table, column string) bool {
	if c.opt.People || column == "notes" && table == "surveys" && c.opt.Invented {
		return false
	}
	return slices.Contains(whoColumns, column)
}

// notes says what is left out.
func (c *carrier) notes(f *survey.Folder) []string {
	var out []string
	if len(c.left) > 0 {
		out = append(out, "left out without --people: "+strings.Join(c.left, ", ")+" (who took or was granted how much)")
	}
	if len(c.columns) > 0 {
		out = append(out, "left out without --people: "+strings.Join(c.columns, ", "))
	}
	aside := 0
	for _, s := range f.SetAside {
		aside += s.Rows
	}
	if aside > 0 {
		out = append(out, fmt.Sprintf("left out: %s that setaside.csv names", counted(aside, "row")))
	}
	if c.opt.Coarse {
		out = append(out, "coarse: "+generalised)
	}
	return out
}

// withoutRemarks is a rules file with its keys alone: a remark may name anybody.
func withoutRemarks(rules []byte) ([]byte, error) {
	var values map[string]any
	if err := toml.Unmarshal(rules, &values); err != nil {
		return nil, fmt.Errorf("%s: %w", model.RulesFile, err)
	}
	for _, key := range model.MappingKeys() { // the tables handed on are in our form
		delete(values, key)
	}
	return toml.Marshal(values)
}
