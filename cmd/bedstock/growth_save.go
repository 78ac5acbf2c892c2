package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"bedstock/cmd/bedstock/internal/output"
	"bedstock/model"
)

// speciesFile is the folder's own species table.
const speciesFile = "species.csv"

// save writes the values of trials into species.csv of the survey folder and returns what was done. All else in the file
// stays as it is, byte for byte; the file as it was is kept beside it under a name that no reader looks at.
func (c growthCmd) save(o *opened, a *model.Assessment, trials []trial) (string, error) {
	if o.dir == "" {
		return "", usageError("--save needs a survey folder of your own\nhint: bedstock demo DIR writes the demo into one")
	}
	path := filepath.Join(o.dir, speciesFile)
	for _, d := range o.folder.Dialects {
		if d.File == speciesFile && !d.Plain() {
			return "", fmt.Errorf("%s\nhint: --save writes only into comma-separated UTF-8 text with decimal points, from its first line on: save it so first", d)
		}
	}
	old, err := os.ReadFile(path)
	there := err == nil
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	text := old
	for _, t := range trials {
		cells := append(slices.Clone(t.set), cell{column: "source", text: t.source(a)})
		if text, err = setCells(text, t.species, cells); err != nil {
			return "", fmt.Errorf("%s: %w", path, err)
		}
	}
	said := path + ": written"
	if there {
		kept, err := keepCopy(path, old)
		if err != nil {
			return "", err
		}
		said += "; as it was before: " + kept
	}
	return said, output.File(path, text, true)
}

// source is the source text of a row that was set.
func (t trial) source(a *model.Assessment) string {
	var set []string
	for _, c := range t.set {
		set = append(set, c.column+" "+c.text)
	}
	text := fmt.Sprintf("%s set by hand (bedstock growth --prior) for %s", strings.Join(set, ", "), a.Folder.AsOf)
	if t.row.Source != "" {
		text += "; before: " + t.row.Source
	}
	return text
}

// keepCopy writes a copy beside a file under the first free name.
func keepCopy(path string, data []byte) (string, error) {
	for n := 1; ; n++ {
		name := fmt.Sprintf("%s.kept-%d", path, n)
		if _, err := os.Lstat(name); err == nil {
			continue
		} else if !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
		return name, output.File(name, data, false)
	}
}

// span is a piece of a text.
type span struct{ from, to int }

// record is one row of a table with the places of its cells.
type record struct {
	cells  []string
	places []span
}

// records reads the rows of a table with the places of their cells in the text.
func records(text []byte) ([]record, error) {
	var starts []int // of lines
	for at := 0; ; {
		starts = append(starts, at)
		n := bytes.IndexByte(text[at:], '\n')
		if n < 0 {
			break
		}
		at += n + 1
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord, r.LazyQuotes = -1, true
	var out []record
	for {
		cells, err := r.Read()
		if err == io.EOF {
			return out, nil
		}
		if err != nil {
			return nil, err
		}
		row := record{cells: cells}
		end := int(r.InputOffset())
		for end > 0 && (text[end-1] == '\n' || text[end-1] == '\r') {
			end--
		}
		for i := range cells {
			line, column := r.FieldPos(i)
			row.places = append(row.places, span{starts[line-1] + column - 1, end})
			if i > 0 {
				row.places[i-1].to = row.places[i].from - 1 // the comma
			}
		}
		out = append(out, row)
	}
}

// setCells is a species table with some cells of one species changed. A column or a row that is not there is added at the
// end; an empty text becomes a table of its own.
func setCells(text []byte, species string, cells []cell) ([]byte, error) {
	if len(bytes.TrimSpace(text)) == 0 {
		text = []byte("species\n")
	}
	rows, err := records(text)
	if err != nil {
		return nil, err
	}
	if len(rows) == 0 {
		return nil, errors.New("it has no header")
	}
	header := rows[0]
	columns := make([]string, len(header.cells))
	for i, name := range header.cells {
		columns[i] = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(name, "\ufeff")))
	}
	if !slices.Contains(columns, "species") {
		return nil, errors.New("it has no column species")
	}
	e := editing{text: text, rows: rows, columns: columns, end: lineEnd(text)}
	row := e.row(species)
	for _, c := range cells {
		e.set(row, e.column(c.column), c.text)
	}
	return e.apply(), nil
}

// lineEnd is how lines of a text end.
func lineEnd(text []byte) string {
	if bytes.Contains(text, []byte("\r\n")) {
		return "\r\n"
	}
	return "\n"
}
