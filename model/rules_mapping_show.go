package model

import (
	"fmt"

	"bedstock/survey"
)

// mappingMeanings says what the settings of a mapping mean, by their table in rules.toml.
var mappingMeanings = map[string]string{
	"files":   "the file that is read for this table",
	"columns": "what the column is made of in the folder's own file",
	"read":    "how the folder's own file is read",
	"classes": "classes of cover: letter and limits in percent",
	"species": "what a name or code of the folder stands for",
}

// describeMapping adds the settings of the mapping.
func (r *Rules) describeMapping() {
	m := &r.Survey.Mapping
	add := func(kind, name, value string, at survey.Place) {
		r.Settings = append(r.Settings, Setting{Name: kind + "." + name, Value: value, From: fmt.Sprintf("%s:%d", at.File, at.Line)})
	}
	for _, f := range m.Files {
		add("files", f.Table, f.Name, f.At)
	}
	for i := range m.Tables {
		t := &m.Tables[i]
		for _, line := range t.Reading() {
			add("read", t.Table+" "+line[0], line[1], t.ReadAt)
		}
		for j := range t.Columns {
			add("columns", t.Table+" "+t.Columns[j].Column, t.Columns[j].Whole(), t.Columns[j].At)
		}
	}
	for i := range m.Scales {
		add("classes", m.Scales[i].Name, m.Scales[i].String(), m.Scales[i].At)
	}
	for _, s := range m.Species {
		name := s.Name
		if name == "" {
			name = "left out"
		}
		add("species", s.Own, name, s.At)
	}
}
