package archive

import (
	"bufio"
	"encoding/xml"
	"io"
	"strings"
	"unicode"
)

// meta is meta.xml: which file holds what in which column.
type meta struct {
	XMLName    xml.Name    `xml:"http://rs.tdwg.org/dwc/text/ archive"`
	Metadata   string      `xml:"metadata,attr,omitempty"`
	Core       metaTable   `xml:"core"`
	Extensions []metaTable `xml:"extension"`
}

type metaTable struct {
	Encoding    string      `xml:"encoding,attr"`
	Terminated  *string     `xml:"fieldsTerminatedBy,attr"`
	Lines       *string     `xml:"linesTerminatedBy,attr"`
	Enclosed    *string     `xml:"fieldsEnclosedBy,attr"`
	HeaderLines string      `xml:"ignoreHeaderLines,attr"`
	RowType     string      `xml:"rowType,attr"`
	Files       []string    `xml:"files>location"`
	ID          *metaIndex  `xml:"id"`
	CoreID      *metaIndex  `xml:"coreid"`
	Fields      []metaField `xml:"field"`
}

type metaIndex struct {
	Index int `xml:"index,attr"`
}

type metaField struct {
	Index     *int   `xml:"index,attr"`
	Term      string `xml:"term,attr"`
	Default   string `xml:"default,attr,omitempty"`
	Delimited string `xml:"delimitedBy,attr,omitempty"`
}

// metaXML describes the tables of an archive, the core first.
func metaXML(sheets []sheet) []byte {
	m := meta{Metadata: "eml.xml"}
	for i, s := range sheets {
		tab, line, none := `\t`, `\n`, ""
		t := metaTable{Encoding: "UTF-8", Terminated: &tab, Lines: &line, Enclosed: &none, HeaderLines: "1", RowType: s.row, Files: []string{s.file}}
		for k, term := range s.terms {
			at := k + 1
			t.Fields = append(t.Fields, metaField{Index: &at, Term: term})
		}
		if i == 0 {
			t.ID = &metaIndex{0}
			m.Core = t
		} else {
			t.CoreID = &metaIndex{0}
			m.Extensions = append(m.Extensions, t)
		}
	}
	return xmlFile(m)
}

// xmlFile is a document with its declaration.
func xmlFile(v any) []byte {
	text, err := xml.MarshalIndent(v, "", "  ")
	if err != nil {
		panic("archive: " + err.Error())
	}
	return append([]byte(xml.Header), append(text, '\n')...)
}

// write writes the sheet as tab-separated text with a header. Tabs and line breaks within a cell become blanks.
func (s sheet) write(to io.Writer) error {
	b := bufio.NewWriterSize(to, 1<<16)
	b.WriteString("id")
	for _, term := range s.terms {
		b.WriteByte('\t')
		b.WriteString(term[strings.LastIndexByte(term, '/')+1:])
	}
	b.WriteByte('\n')
	for i := range s.n {
		for k, cell := range s.cells(i) {
			if k > 0 {
				b.WriteByte('\t')
			}
			b.WriteString(oneLine(cell))
		}
		b.WriteByte('\n')
	}
	return b.Flush()
}

// oneLine puts a blank in the place of every control character.
func oneLine(s string) string {
	if strings.IndexFunc(s, unicode.IsControl) < 0 {
		return s
	}
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s)
}
