package archive

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"bedstock/model"
	"bedstock/survey"
)

// Carried is a table of the survey folder as it is handed on: the columns that are described, in that order, without
// those that are left out.
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
	w.Write(c.Header)
	w.WriteAll(c.Rows)
	if err := w.Error(); err != nil {
		panic("archive: " + err.Error())
	}
	return b.Bytes()
}

// observed are the tables that an archive holds as events and occurrences.
var observed = []string{"quadrats", "fronds"}

// tables are those of a survey folder that can be handed on, in their order.
var tables = []string{"beds", "strata", "surveys", "quadrats", "fronds", "regrowth", "events", "closures", "species", "setaside",
	"harvest", "permits", "decisions"}

// ofPeople are tables that tell what single people took or were granted: few cut on one bed, and its kilograms are theirs.
var ofPeople = []string{"harvest", "permits", "decisions"}

// whoColumns tell who did something, or are remarks, in which anybody may be named.
var whoColumns = []string{"observer", "people", "by", "decided_by", "permit", "notes"}

// freeColumns hold texts that people wrote and that are handed on, without the names that the folder gives elsewhere.
var freeColumns = []string{"protocol", "reason", "source"}

// Carry reads the tables of a survey folder that was read without a mistake. Without people it leaves out the tables and
// columns that tell of them, and lets scrub take their names out of what else was written. For a Darwin Core archive
// (core) it leaves out what goes into its events and occurrences. Rules is the text of the rules in force; nil: none.
func Carry(fsys fs.FS, f *survey.Folder, rules []byte, core bool, opt Options, scrub func(string) string) (out []Carried, notes []string, err error) {
	c := carrier{fsys: fsys, f: f, opt: opt, core: core, scrub: scrub}
	if core {
		if err := c.observedColumns(); err != nil {
			return nil, nil, err
		}
	}
	for _, name := range tables {
		if core && slices.Contains(observed, name) {
			continue
		}
		t, err := c.table(name)
		if err != nil {
			return nil, nil, err
		}
		if t != nil && (name != "setaside" || len(t.Rows) > 0) {
			out = append(out, *t)
		}
	}
	if len(f.Outlines) > 0 && !opt.Coarse {
		out = append(out, Carried{Name: survey.OutlinesFile, Text: outlines(f)})
	}
	if rules != nil {
		keys, err := withoutRemarks(rules)
		if err != nil {
			return nil, nil, err
		}
		out = append(out, Carried{Name: model.RulesFile, Text: keys})
	}
	return out, c.notes(), nil
}

// carrier reads the tables one by one and keeps in mind what it left out.
type carrier struct {
	fsys    fs.FS
	f       *survey.Folder
	opt     Options
	core    bool
	scrub   func(string) string
	left    []string // tables
	columns []string // "file column"
}

// table reads a table; nil where the folder has none or it is left out.
func (c *carrier) table(name string) (*Carried, error) {
	text, err := fs.ReadFile(c.fsys, name+".csv")
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	if !c.opt.People && slices.Contains(ofPeople, name) {
		c.left = append(c.left, name+".csv")
		return nil, nil
	}
	r, at, err := headed(text)
	if err != nil {
		return nil, fmt.Errorf("%s.csv: %w", name, err)
	}
	t := &Carried{Name: name}
	for _, column := range columnsOf(name) {
		if _, ok := at[column]; !ok {
			continue
		}
		if c.withheld(name, column) {
			c.columns = append(c.columns, column+" of "+name+".csv")
			continue
		}
		t.Header = append(t.Header, column)
	}
	for {
		record, err := r.Read()
		if err == io.EOF {
			return t, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%s.csv: %w", name, err)
		}
		if row := c.row(name, t.Header, at, record); row != nil {
			if line, _ := r.FieldPos(0); c.opt.Coarse && name == "beds" {
				coarsen(c.f, t.Header, row, line)
			}
			t.Rows = append(t.Rows, row)
		}
	}
}

// headed reads the header of a table: where each column stands, its name as the reader of the folder folds it.
func headed(text []byte) (*csv.Reader, map[string]int, error) {
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff"))))
	r.FieldsPerRecord = -1
	header, err := r.Read()
	at := map[string]int{}
	for i := len(header) - 1; i >= 0; i-- {
		at[strings.ToLower(strings.Join(strings.Fields(header[i]), "_"))] = i
	}
	return r, at, err
}

// observedColumns notes which columns of quadrats.csv do not go into an archive: who read it where people are left out,
// and the remarks always, since they are kept nowhere.
func (c *carrier) observedColumns() error {
	text, err := fs.ReadFile(c.fsys, "quadrats.csv")
	if err != nil {
		return err
	}
	_, at, err := headed(text)
	if err != nil {
		return fmt.Errorf("quadrats.csv: %w", err)
	}
	for _, column := range []string{"observer", "notes"} {
		if _, ok := at[column]; ok && (column == "notes" || !c.opt.People) {
			c.columns = append(c.columns, column+" of quadrats.csv")
		}
	}
	return nil
}

// row is a record in the order of the columns handed on; nil for a blank one, and for what sets rows of an archive's
// events aside: they are not in it.
func (c *carrier) row(name string, header []string, at map[string]int, record []string) []string {
	row, blank := make([]string, len(header)), true
	for i, column := range header {
		if k := at[column]; k < len(record) {
			row[i] = strings.TrimSpace(record[k])
		}
		blank = blank && row[i] == ""
		switch {
		case column == "notes" && !c.opt.People:
			row[i] = invented
		case slices.Contains(freeColumns, column) && !c.opt.People:
			row[i] = c.scrub(row[i])
		}
	}
	if blank || name == "setaside" && c.core && slices.Contains(observed, strings.TrimSuffix(row[0], ".csv")) {
		return nil
	}
	return row
}

// withheld says whether a column is left out. The remarks of an invented survey stay, to say that it is.
func (c *carrier) withheld(table, column string) bool {
	if c.opt.People || column == "notes" && table == "surveys" && c.opt.Invented {
		return false
	}
	return slices.Contains(whoColumns, column) && !slices.Contains(ofPeople, table)
}

// columnsOf are the columns that a table can have, in the order of its description.
func columnsOf(name string) []string {
	var d struct {
		Fields []struct {
			Name string `json:"name"`
		} `json:"fields"`
	}
	if err := json.Unmarshal(survey.Descriptors()[name], &d); err != nil {
		panic("archive: descriptor of " + name + ": " + err.Error())
	}
	out := make([]string, len(d.Fields))
	for i, f := range d.Fields {
		out[i] = f.Name
	}
	return out
}

// notes says what is left out.
func (c *carrier) notes() []string {
	var out []string
	if len(c.left) > 0 {
		out = append(out, "left out without --people: "+strings.Join(c.left, ", ")+" (who took or was granted how much)")
	}
	if len(c.columns) > 0 {
		without := map[bool]string{false: " without --people"}[c.opt.People]
		out = append(out, "left out"+without+": "+strings.Join(c.columns, ", "))
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
	return toml.Marshal(values)
}
