package report

import (
	"bytes"
	"encoding/xml"
	"io"
	"io/fs"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/model"
	"bedstock/survey"
)

var invented = Options{Invented: true, Version: "test"}

// assess loads and assesses a folder with the embedded species table.
func assess(t testing.TB, fsys fs.FS) *model.Assessment {
	t.Helper()
	return assessWith(t, fsys, 2000)
}

// assessWith is assess with so many draws.
func assessWith(t testing.TB, fsys fs.FS, draws int) *model.Assessment {
	t.Helper()
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems.Faults())
	folder, rules, err := model.Load(fsys, table, model.LoadOptions{})
	require.NoError(t, err)
	return model.Assess(folder, model.Config{Rules: rules, Seed: 1, Draws: draws})
}

// folderOf makes a folder of texts.
func folderOf(files map[string]string) fs.FS {
	m := fstest.MapFS{}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}

var demoOnce = sync.OnceValue(func() *model.Assessment {
	sub, err := fs.Sub(data.FS, "demo")
	if err != nil {
		panic(err)
	}
	var tb testing.T
	return assess(&tb, sub)
})

var demoFigures = sync.OnceValue(func() []Figure {
	figs, err := Figures(demoOnce(), invented)
	if err != nil {
		panic(err)
	}
	return figs
})

// element is an element of a page that has been read.
type element struct {
	name  string
	attr  map[string]string
	above []string // names of the elements around it
	text  string   // all text inside
	begin int      // where it begins in the text of the page
}

// elements reads a page as XML, so that anything left open or wrongly nested is an error.
func elements(t *testing.T, html []byte) []*element {
	t.Helper()
	all, err := parse(html)
	require.NoError(t, err)
	return all
}

func parse(html []byte) (all []*element, err error) {
	d := xml.NewDecoder(bytes.NewReader(html))
	var text strings.Builder // of the whole page
	var open []*element
	for {
		token, err := d.Token()
		if err == io.EOF {
			return all, nil
		}
		if err != nil {
			return nil, err
		}
		switch x := token.(type) {
		case xml.StartElement:
			e := &element{name: x.Name.Local, attr: map[string]string{}, begin: text.Len()}
			for _, a := range x.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			for _, o := range open {
				e.above = append(e.above, o.name)
			}
			all, open = append(all, e), append(open, e)
		case xml.EndElement:
			e := open[len(open)-1]
			e.text = text.String()[e.begin:]
			open = open[:len(open)-1]
		case xml.CharData:
			text.Write(x)
		}
	}
}

// textOf is the text of the first element with an id.
func textOf(t *testing.T, all []*element, id string) string {
	t.Helper()
	for _, e := range all {
		if e.attr["id"] == id {
			return squeeze(e.text)
		}
	}
	t.Fatalf("no element with id %q", id)
	return ""
}

func squeeze(s string) string { return strings.Join(strings.Fields(s), " ") }

func named(all []*element, name string) (out []*element) {
	for _, e := range all {
		if e.name == name {
			out = append(out, e)
		}
	}
	return out
}
