package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"

	"bedstock/model"
)

// packageFile is the name of the descriptor in the output folder.
const packageFile = "datapackage.json"

// packageDescriptor is a Data Package that describes the tables of the output folder.
//
// References:
//   - Frictionless Data: Data Package, version 2.0 (2024). https://datapackage.org/standard/data-package/
type packageDescriptor struct {
	Schema      string               `json:"$schema"`
	Name        string               `json:"name"`
	Title       string               `json:"title"`
	Description string               `json:"description"`
	Resources   []resourceDescriptor `json:"resources"`
}

type resourceDescriptor struct {
	Name        string           `json:"name"`
	Type        string           `json:"type"`
	Title       string           `json:"title"`
	Description string           `json:"description"`
	Path        string           `json:"path"`
	Format      string           `json:"format"`
	MediaType   string           `json:"mediatype"`
	Encoding    string           `json:"encoding"`
	Bytes       int              `json:"bytes"`
	Hash        string           `json:"hash"`
	Schema      schemaDescriptor `json:"schema"`
}

type schemaDescriptor struct {
	Schema        string            `json:"$schema"`
	Fields        []fieldDescriptor `json:"fields"`
	FieldsMatch   string            `json:"fieldsMatch"`
	MissingValues []string          `json:"missingValues"`
	PrimaryKey    []string          `json:"primaryKey,omitempty"`
	UniqueKeys    [][]string        `json:"uniqueKeys,omitempty"`
}

type fieldDescriptor struct {
	Name        string           `json:"name"`
	Type        string           `json:"type"`
	Title       string           `json:"title,omitempty"`
	Description string           `json:"description"`
	Constraints *fieldConstraint `json:"constraints,omitempty"`
}

type fieldConstraint struct {
	Required bool     `json:"required,omitempty"`
	Minimum  *float64 `json:"minimum,omitempty"`
	Maximum  *float64 `json:"maximum,omitempty"`
	Enum     []string `json:"enum,omitempty"`
	Pattern  string   `json:"pattern,omitempty"`
}

// dataPackage describes the tables as they are written, in their order; files holds their bytes.
func dataPackage(a *model.Assessment, opt Options, layouts []tableLayout, files map[string][]byte) ([]byte, error) {
	p := packageDescriptor{Schema: "https://datapackage.org/profiles/2.0/datapackage.json", Name: "bedstock-report", Title: title(a),
		Description: fmt.Sprintf("Advice as of %s, by bedstock %s. An empty cell is a number that is not to be had; its row says why. "+
			"Text that begins like a formula of a spreadsheet has an apostrophe before it.", a.Folder.AsOf, opt.Version)}
	if opt.public != nil {
		p.Description += " Public edition: permits and people are left out, and cut_kg, granted_kg, left_kg and the recovery are empty where this would tell what one permit cut: of " + fewWords + "."
	}
	if opt.Invented {
		p.Description = "INVENTED DATA. " + p.Description
	}
	for _, l := range layouts {
		p.Resources = append(p.Resources, l.resource(files[l.name+".csv"]))
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	err := e.Encode(p)
	return b.Bytes(), err
}

func (l tableLayout) resource(csv []byte) resourceDescriptor {
	sum := sha256.Sum256(csv)
	return resourceDescriptor{Name: l.name, Type: "table", Title: l.title, Description: l.about, Path: l.name + ".csv", Format: "csv",
		MediaType: "text/csv", Encoding: "utf-8", Bytes: len(csv), Hash: "sha256:" + hex.EncodeToString(sum[:]), Schema: l.schema()}
}

// schema is the Table Schema of a layout.
func (l tableLayout) schema() schemaDescriptor {
	s := schemaDescriptor{Schema: "https://datapackage.org/profiles/2.0/tableschema.json", FieldsMatch: "exact", MissingValues: []string{""},
		PrimaryKey: l.key}
	if l.unique != nil {
		s.UniqueKeys = [][]string{l.unique}
	}
	for _, f := range l.fields {
		s.Fields = append(s.Fields, f.descriptor())
	}
	return s
}

func (f field) descriptor() fieldDescriptor {
	d := fieldDescriptor{Name: f.name, Type: f.kind, Description: f.means}
	if f.unit != "" {
		d.Title = f.name + " (" + f.unit + ")"
		d.Description += " Unit: " + f.unit + "."
	}
	c := fieldConstraint{Required: f.filled, Enum: f.words, Pattern: f.pattern}
	if !math.IsInf(f.lo, 0) {
		c.Minimum = &f.lo
	}
	if !math.IsInf(f.hi, 0) {
		c.Maximum = &f.hi
	}
	if c.Required || c.Minimum != nil || c.Maximum != nil || c.Enum != nil || c.Pattern != "" {
		d.Constraints = &c
	}
	return d
}
