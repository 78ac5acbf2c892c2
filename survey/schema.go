package survey

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
)

//go:generate go run ./internal/schema ../data/schema

// Descriptors returns the Table Schema descriptor of every table of a survey folder as indented JSON, by the name of
// the table (beds, quadrats, ...). They say the same as the checks of [Read] on single cells: types, units, limits.
// Text is compared without regard to case by Read, and blanks around a cell do not count; a descriptor cannot say so.
//
// References:
//   - Frictionless Data: Table Schema, version 2.0 (2024). https://datapackage.org/standard/table-schema/
func Descriptors() map[string][]byte {
	out := make(map[string][]byte, len(surveyTables))
	for _, t := range surveyTables {
		var b bytes.Buffer
		e := json.NewEncoder(&b)
		e.SetIndent("", "  ")
		e.SetEscapeHTML(false)
		if err := e.Encode(newDescriptor(t)); err != nil {
			panic("survey: descriptor of " + t.file + ": " + err.Error())
		}
		out[strings.TrimSuffix(t.file, ".csv")] = b.Bytes()
	}
	return out
}

// descriptor is a Table Schema descriptor.
type descriptor struct {
	Schema        string            `json:"$schema"`
	Title         string            `json:"title"`
	Fields        []fieldDescriptor `json:"fields"`
	FieldsMatch   string            `json:"fieldsMatch"`
	MissingValues []string          `json:"missingValues"`
	PrimaryKey    []string          `json:"primaryKey,omitempty"`
	UniqueKeys    [][]string        `json:"uniqueKeys,omitempty"`
}

type fieldDescriptor struct {
	Name        string       `json:"name"`
	Type        string       `json:"type"`
	Format      string       `json:"format,omitempty"`
	Title       string       `json:"title,omitempty"`
	Description string       `json:"description"`
	Delimiter   string       `json:"delimiter,omitempty"`
	TrueValues  []string     `json:"trueValues,omitempty"`
	FalseValues []string     `json:"falseValues,omitempty"`
	Constraints *constraints `json:"constraints,omitempty"`
}

type constraints struct {
	Required         bool     `json:"required,omitempty"`
	Minimum          *float64 `json:"minimum,omitempty"`
	ExclusiveMinimum *float64 `json:"exclusiveMinimum,omitempty"`
	Maximum          *float64 `json:"maximum,omitempty"`
	Enum             []string `json:"enum,omitempty"`
}

// newDescriptor describes a table. Rows of a primary key must be filled; a key with cells that may be blank is a
// unique key.
func newDescriptor(t *tableSpec) descriptor {
	d := descriptor{Schema: "https://datapackage.org/profiles/2.0/tableschema.json", Title: t.title,
		FieldsMatch: "subset", MissingValues: []string{""}}
	for _, c := range t.columns {
		d.Fields = append(d.Fields, newFieldDescriptor(c))
		if !c.required {
			d.FieldsMatch = "partial" // optional columns may be absent, unknown ones there
		}
	}
	filled := true
	for _, k := range t.key {
		filled = filled && t.find(k).filled
	}
	switch {
	case t.key == nil:
	case filled:
		d.PrimaryKey = t.key
	default:
		d.UniqueKeys = [][]string{t.key}
	}
	return d
}

func newFieldDescriptor(c column) fieldDescriptor {
	types := map[columnKind]string{textKind: "string", wordKind: "string", listKind: "list", numberKind: "number",
		wholeKind: "integer", dayKind: "date", momentKind: "datetime", truthKind: "boolean"}
	f := fieldDescriptor{Name: c.name, Type: types[c.kind], Description: c.about}
	if c.unit != "" {
		f.Title = c.name + " (" + c.unit + ")"
		f.Description += " Unit: " + c.unit + "."
	}
	if c.required && !c.filled {
		f.Description += " The column must be there; its cells may be blank."
	}
	switch c.kind {
	case listKind:
		f.Delimiter = ";"
	case momentKind:
		f.Format = "any" // the default asks for a T between date and time
	case truthKind:
		f.TrueValues, f.FalseValues = yesWords, noWords
	}
	var limits constraints
	limits.Required, limits.Enum = c.filled, c.words
	if !math.IsInf(c.lo, 0) {
		if c.loOpen {
			limits.ExclusiveMinimum = &c.lo
		} else {
			limits.Minimum = &c.lo
		}
	}
	if !math.IsInf(c.hi, 0) {
		limits.Maximum = &c.hi
	}
	if limits.Required || limits.Enum != nil || limits.Minimum != nil || limits.ExclusiveMinimum != nil || limits.Maximum != nil {
		f.Constraints = &limits
	}
	return f
}
