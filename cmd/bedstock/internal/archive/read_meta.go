package archive

import (
	"bytes"
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"golang.org/x/text/encoding/charmap"
)

// readMeta reads meta.xml.
func readMeta(text []byte) (meta, error) {
	var m meta
	if len(text) > maxXML {
		return m, errors.New("meta.xml is larger than 16 MiB")
	}
	d := xml.NewDecoder(bytes.NewReader(text))
	d.CharsetReader = func(label string, in io.Reader) (io.Reader, error) {
		if !latin1(label) {
			return nil, fmt.Errorf("the encoding %q is not read, only UTF-8 and ISO 8859-1", label)
		}
		return charmap.ISO8859_1.NewDecoder().Reader(in), nil
	}
	if err := d.Decode(&m); err != nil {
		return m, fmt.Errorf("meta.xml: %w", err)
	}
	if len(m.Core.Files) == 0 {
		return m, errors.New("meta.xml names no file of the core")
	}
	return m, nil
}

func latin1(label string) bool {
	switch strings.ToLower(label) {
	case "iso-8859-1", "latin1", "latin-1", "windows-1252":
		return true
	}
	return false
}

// dialect is how a table separates its cells, as meta.xml says or by the defaults of the text guide.
type dialect struct {
	cell     string
	enclosed byte // 0: not
	skip     int  // header lines
	latin1   bool
}

func (t metaTable) dialect() (dialect, error) {
	d := dialect{cell: ",", enclosed: '"'}
	if t.Terminated != nil {
		d.cell = unescaped(*t.Terminated)
	}
	if t.Enclosed != nil {
		switch q := unescaped(*t.Enclosed); len(q) {
		case 0:
			d.enclosed = 0
		case 1:
			d.enclosed = q[0]
		default:
			return d, fmt.Errorf("cells enclosed by %q are not read", q)
		}
	}
	if t.Lines != nil && !strings.HasSuffix(unescaped(*t.Lines), "\n") {
		return d, fmt.Errorf("lines ended by %q are not read", unescaped(*t.Lines))
	}
	if d.cell == "" || strings.ContainsAny(d.cell, "\r\n") {
		return d, fmt.Errorf("cells ended by %q are not read", d.cell)
	}
	if _, err := fmt.Sscan(cmp.Or(t.HeaderLines, "0"), &d.skip); err != nil || d.skip < 0 {
		return d, fmt.Errorf("ignoreHeaderLines is %q, not a number", t.HeaderLines)
	}
	switch enc := cmp.Or(t.Encoding, "UTF-8"); {
	case strings.EqualFold(enc, "UTF-8"), strings.EqualFold(enc, "UTF8"):
	case latin1(enc):
		d.latin1 = true
	default:
		return d, fmt.Errorf("the encoding %q is not read, only UTF-8 and ISO 8859-1", enc)
	}
	return d, nil
}

// unescaped reads the \t, \n and \r of meta.xml.
func unescaped(s string) string {
	return strings.NewReplacer(`\t`, "\t", `\n`, "\n", `\r`, "\r").Replace(s)
}
