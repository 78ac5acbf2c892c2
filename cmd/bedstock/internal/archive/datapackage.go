package archive

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/survey"
)

// dataPackage is the descriptor of a Data Package.
type dataPackage struct {
	Schema       string        `json:"$schema"`
	Name         string        `json:"name"`
	Title        string        `json:"title"`
	Description  string        `json:"description"`
	Contributors []contributor `json:"contributors"`
	Licenses     []licence     `json:"licenses"`
	Resources    []resource    `json:"resources"`
}

type contributor struct {
	Title string   `json:"title"`
	Email string   `json:"email,omitempty"`
	Roles []string `json:"roles"`
}

type licence struct {
	Name  string `json:"name"`
	Path  string `json:"path"`
	Title string `json:"title"`
}

type resource struct {
	Name      string       `json:"name"`
	Type      string       `json:"type,omitempty"`
	Title     string       `json:"title,omitempty"`
	Path      string       `json:"path"`
	Format    string       `json:"format"`
	MediaType string       `json:"mediatype"`
	Encoding  string       `json:"encoding"`
	Bytes     int          `json:"bytes"`
	Hash      string       `json:"hash"`
	Schema    *tableSchema `json:"schema,omitempty"`
}

// tableSchema is a Table Schema descriptor whose fields are passed on as they stand in data/schema.
type tableSchema struct {
	Schema        string            `json:"$schema"`
	Title         string            `json:"title,omitempty"`
	Fields        []json.RawMessage `json:"fields"`
	FieldsMatch   string            `json:"fieldsMatch"`
	MissingValues []string          `json:"missingValues"`
	PrimaryKey    []string          `json:"primaryKey,omitempty"`
	UniqueKeys    [][]string        `json:"uniqueKeys,omitempty"`
}

// Package is the survey folder as a Data Package: its tables, each with its Table Schema, and datapackage.json.
func Package(set model.Dataset, carried []Carried, opt Options) ([]byte, []Count, error) {
	if opt.Invented {
		set = markInvented(set)
	}
	p := dataPackage{Schema: "https://datapackage.org/profiles/2.0/datapackage.json", Name: strings.ToLower(set.ID), Title: set.Title,
		Description:  set.Abstract,
		Contributors: contributors(set),
		Licenses:     []licence{{strings.ReplaceAll(set.Licence.Name, " ", "-"), set.Licence.URL, set.Licence.Name}}}
	files := map[string]content{}
	var counts []Count
	for _, c := range carried {
		text := c.Bytes()
		files[c.File()] = bytesOf(text)
		p.Resources = append(p.Resources, resourceOf(c, text))
		if c.Text == nil {
			counts = append(counts, Count{c.File(), len(c.Rows)})
		}
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	if err := e.Encode(p); err != nil {
		return nil, nil, fmt.Errorf("datapackage.json: %w", err)
	}
	files["datapackage.json"] = bytesOf(b.Bytes())
	zipped, err := zipOf(files)
	return zipped, counts, err
}

// contributors are who made the data, and whom to ask.
func contributors(set model.Dataset) []contributor {
	var out []contributor
	for _, name := range set.Creators {
		c := contributor{Title: name, Roles: []string{"creator"}}
		if name == set.Contact {
			c.Email, c.Roles = set.Mail, append(c.Roles, "contact")
		}
		out = append(out, c)
	}
	if !slices.Contains(set.Creators, set.Contact) {
		out = append(out, contributor{set.Contact, set.Mail, []string{"contact"}})
	}
	return out
}

func resourceOf(c Carried, text []byte) resource {
	sum := sha256.Sum256(text)
	r := resource{Name: strings.ReplaceAll(c.Name, ".", "-"), Path: c.File(), Encoding: "utf-8", Bytes: len(text), Hash: "sha256:" + hex.EncodeToString(sum[:])}
	switch c.Name {
	case model.RulesFile:
		r.Title, r.Format, r.MediaType = "Rules of the people responsible", "toml", "application/toml"
	case survey.OutlinesFile:
		r.Title, r.Format, r.MediaType = "Outlines of the beds and strata", "geojson", "application/geo+json"
	default:
		s := schemaOf(c)
		r.Type, r.Title, r.Format, r.MediaType, r.Schema = "table", s.Title, "csv", "text/csv", &s
		s.Title = ""
	}
	return r
}

// schemaOf is the descriptor of a table with the columns that are there. A key of which a column is missing is left out:
// the rows may repeat it then.
func schemaOf(c Carried) tableSchema {
	var s tableSchema
	if err := json.Unmarshal(survey.Descriptors()[c.Name], &s); err != nil {
		panic("archive: descriptor of " + c.Name + ": " + err.Error())
	}
	var fields []json.RawMessage
	for i, name := range columnsOf(c.Name) {
		if slices.Contains(c.Header, name) {
			fields = append(fields, s.Fields[i])
		}
	}
	s.Fields, s.FieldsMatch = fields, "exact"
	whole := func(key []string) bool {
		return !slices.ContainsFunc(key, func(k string) bool { return !slices.Contains(c.Header, k) })
	}
	if !whole(s.PrimaryKey) {
		s.PrimaryKey = nil
	}
	s.UniqueKeys = slices.DeleteFunc(s.UniqueKeys, func(k []string) bool { return !whole(k) })
	return s
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
