package model

import (
	"errors"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"bedstock/survey"
)

// mappingKeys are the tables of rules.toml that say how a folder of other names, headers and units is read.
var mappingKeys = []string{"files", "columns", "read", "species", "classes"}

// MappingKeys are the tables of rules.toml that say how a folder's own tables are read; tables in our form need none.
func MappingKeys() []string { return slices.Clone(mappingKeys) }

const (
	filesHint   = `as quadrats = "my file.csv": a file of the folder itself`
	columnsHint = `as cover_pct = "Cover" or biomass_g = {from = "Wet kg", unit = "kg"}; keys: from, text, sum, value or cells, and unit, per, times, form, words, classes`
	readHint    = "keys: missing, where, except, join, only_listed_species, repeats; layout = \"wide\" with across, blank, ignore, heading, rows"
	classesHint = `as [classes.ours] with a line for each class: many = [40, 100], its limits in percent`
	speciesHint = `as "L. dig." = "Laminaria digitata"; false for what is no seaweed of the survey`
)

// readMapping reads the tables of the mapping.
func (in *rulesInput) readMapping(text []byte, values map[string]any) {
	m := mappingInput{rulesInput: in, paths: keyPaths(text), out: &in.rules.Survey.Mapping}
	before := len(in.problems)
	defer func() { in.rules.unreadable = len(in.problems) > before }()
	for _, key := range mappingKeys {
		value, given := values[key]
		if !given {
			continue
		}
		table, ok := value.(map[string]any)
		if !ok {
			in.fault(m.paths[key], "", "%s must be a table: write [%s]", key, key)
			continue
		}
		for _, name := range m.inOrder(key, table) {
			m.entry(key, name, table[name])
		}
	}
}

// mappingInput is a mapping while it is read.
type mappingInput struct {
	*rulesInput
	paths map[string]unstable.Position // by the names of a key, joined by NUL
	out   *survey.Mapping
}

func (m *mappingInput) at(names ...string) survey.Place {
	p := m.paths[strings.Join(names, "\x00")]
	return survey.Place{File: m.file, Line: p.Line, Column: p.Column}
}

// inOrder gives the keys of a table in the order in which they stand.
func (m *mappingInput) inOrder(above string, table map[string]any) []string {
	names := sortedKeys(table)
	slices.SortStableFunc(names, func(a, b string) int {
		p, q := m.at(append(strings.Split(above, "\x00"), a)...), m.at(append(strings.Split(above, "\x00"), b)...)
		return (p.Line-q.Line)*10000 + p.Column - q.Column
	})
	return names
}

func (m *mappingInput) entry(key, name string, value any) {
	at := m.at(key, name)
	wrong := func(hint string, err error) {
		m.problems = append(m.problems, survey.Problem{File: at.File, Line: at.Line, Column: at.Column, Hint: hint,
			Text: fmt.Sprintf("%s.%s: %v", key, name, err)})
	}
	switch key {
	case "files":
		if f, err := fileMap(name, value, at); err != nil {
			wrong(filesHint, err)
		} else {
			m.out.Files = append(m.out.Files, f)
		}
	case "classes":
		if err := m.scale(name, value, at); err != nil {
			wrong(classesHint, err)
		}
	case "species":
		if s, err := speciesMap(name, value, at); err != nil {
			wrong(speciesHint, err)
		} else if slices.ContainsFunc(m.out.Species, func(o survey.SpeciesMap) bool { return sameName(o.Own, name) }) {
			wrong("keep one of them", errors.New("is translated twice"))
		} else {
			m.out.Species = append(m.out.Species, s)
		}
	case "columns", "read":
		table, ok := value.(map[string]any)
		if !ok {
			wrong("", fmt.Errorf("must be a table: write [%s.%q]", key, name))
			return
		}
		if !survey.IsTable(tableName(name)) {
			wrong("as ["+key+".quadrats]", fmt.Errorf("a survey folder has no table %q", tableName(name)))
			return
		}
		t := m.table(tableName(name), at)
		if key == "read" {
			t.ReadAt = at
		}
		for _, k := range m.inOrder(key+"\x00"+name, table) {
			if key == "columns" {
				m.column(t, name, k, table[k])
			} else if err := m.reading(t, name, k, table[k]); err != nil {
				in := m.at(key, name, k)
				m.problems = append(m.problems, survey.Problem{File: in.File, Line: in.Line, Column: in.Column, Hint: readHint,
					Text: fmt.Sprintf("%s.%s %s: %v", key, name, k, err)})
			}
		}
	}
}

// tableName is the file name of a table of ours, which may be given without its ending.
func tableName(name string) string {
	if !strings.Contains(name, ".") {
		return name + ".csv"
	}
	return name
}

// table is the mapping of a table, made where it is new.
func (m *mappingInput) table(name string, at survey.Place) *survey.TableMap {
	for i := range m.out.Tables {
		if m.out.Tables[i].Table == name {
			return &m.out.Tables[i]
		}
	}
	m.out.Tables = append(m.out.Tables, survey.TableMap{Table: name, At: at})
	return &m.out.Tables[len(m.out.Tables)-1]
}

func fileMap(name string, value any, at survey.Place) (survey.FileMap, error) {
	file, err := asFile(value)
	f := survey.FileMap{Table: tableName(name), Name: file, At: at}
	switch {
	case err != nil:
		return f, err
	case !survey.IsTable(f.Table):
		return f, fmt.Errorf("a survey folder has no table %q", f.Table)
	case survey.IsTable(file) || file == RulesFile:
		return f, fmt.Errorf("%s is a file of ours and read as such", file)
	}
	return f, nil
}

// asFile is the name of a file of the folder itself.
func asFile(value any) (string, error) {
	name, err := asName(value)
	if err == nil && (strings.ContainsAny(name, `/\:`) || path.Clean(name) != name || name == ".." || name == ".") {
		err = fmt.Errorf("%q is not a file of the folder itself", name)
	}
	return name, err
}

func speciesMap(name string, value any, at survey.Place) (survey.SpeciesMap, error) {
	s := survey.SpeciesMap{Own: name, At: at}
	if left, ok := value.(bool); ok && !left {
		return s, nil
	}
	var err error
	s.Name, err = asName(value)
	return s, err
}

// keyPaths finds where every key stands, by its names from the top joined by NUL; those inside a list of tables and
// inside braces stand where the list or the key of the braces does.
func keyPaths(text []byte) map[string]unstable.Position {
	out := map[string]unstable.Position{}
	var p unstable.Parser
	p.Reset(text)
	var table []string
	for p.NextExpression() {
		e := p.Expression()
		var names []string
		var at unstable.Position
		for it := e.Key(); it.Next(); {
			if names = append(names, string(it.Node().Data)); len(names) == 1 {
				at = p.Shape(it.Node().Raw).Start
			}
		}
		if e.Kind == unstable.Table || e.Kind == unstable.ArrayTable {
			table = names
		} else {
			names = append(slices.Clone(table), names...)
		}
		for n := 1; n <= len(names); n++ {
			if key := strings.Join(names[:n], "\x00"); out[key].Line == 0 {
				out[key] = at
			}
		}
	}
	return out
}

// asText is a text, or a number or truth as rules.toml writes it.
func asText(value any) (string, error) {
	switch v := value.(type) {
	case string:
		return v, nil
	case int64:
		return strconv.FormatInt(v, 10), nil
	case float64:
		if _, ok := asNumber(v); ok {
			return strconv.FormatFloat(v, 'f', -1, 64), nil
		}
	case bool:
		if v {
			return "yes", nil
		}
		return "no", nil
	}
	if d, err := asDay(value); err == nil {
		return d.String(), nil
	}
	return "", fmt.Errorf("%v is not a text", value)
}
