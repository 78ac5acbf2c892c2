package survey

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"path"
	"strings"

	"github.com/xuri/excelize/v2"
)

// book is a workbook (.xlsx) of the folder: sheets, each of which may be a table.
//
// The library opens the package and reads what all sheets share: their list, number formats, texts and the system of
// dates. The cells are read by scanSheet from the sheet's own part of the package, for the library's iterator of rows
// tells neither the type nor the format of a cell, and its other calls hold a whole sheet in memory several times over.
type book struct {
	name    string
	source  *source
	file    *excelize.File
	sheets  []*bookSheet
	formats map[int]cellFormat // by style
	texts   []sharedText       // that cells refer to by number
	date904 bool               // days are counted from 1904-01-01
}

// bookSheet is a sheet of a workbook.
type bookSheet struct {
	book   *book
	name   string
	part   string // of the package; empty where the sheet has no cells, as a chart
	hidden bool
}

// sharedText is a text that cells refer to.
type sharedText struct {
	text string
	kind cellKind
}

// called is how messages and rules call the sheet, and the name under which a mapping finds it: survey.xlsx[quadrats].
func (s *bookSheet) called() string { return s.book.name + "[" + s.name + "]" }

// A workbook may be so large, in bytes. Unpacked it may be larger so many times, and some; what is beyond has been made
// to fill the memory.
const (
	maxBook      = 100 << 20
	bookTimes    = 100
	bookAllowing = 4 << 20
)

var (
	errTooLarge  = errors.New("is larger than 100 MiB")
	errLocked    = errors.New("is protected by a password, or a workbook of the older kind (.xls)")
	errNoSheets  = errors.New("has no sheets")
	errBadPart   = errors.New("a sheet of it is missing or broken")
	bookMendHint = "open it in the spreadsheet program and save it again as .xlsx, without a password; or remove it from the folder"
)

// openBook opens a workbook from its bytes. Whatever these hold, the error is one for the user.
func openBook(name, raw string) (b *book, err error) {
	defer notBook(&err)
	if len(raw) > maxBook {
		return nil, errTooLarge
	}
	if strings.HasPrefix(raw, "\xd0\xcf\x11\xe0") {
		return nil, errLocked
	}
	most := int64(min(maxFile, bookAllowing+bookTimes*len(raw)))
	b = &book{name: name, formats: map[int]cellFormat{}}
	b.file, err = excelize.OpenReader(strings.NewReader(raw), // equal limits: nothing goes into temporary files
		excelize.Options{UnzipSizeLimit: most, UnzipXMLSizeLimit: most})
	if err != nil {
		return nil, err
	}
	if b.file.WorkBook == nil || len(b.file.WorkBook.Sheets.Sheet) == 0 {
		return nil, errNoSheets
	}
	if p := b.file.WorkBook.WorkbookPr; p != nil {
		b.date904 = p.Date1904
	}
	parts, err := b.parts()
	if err != nil {
		return nil, err
	}
	for _, s := range b.file.WorkBook.Sheets.Sheet {
		b.sheets = append(b.sheets, &bookSheet{b, s.Name, parts[s.ID], s.State != "" && s.State != "visible"})
	}
	b.texts, err = b.shared()
	return b, err
}

// notBook turns a panic of the library, which trusts what it reads, into an error.
func notBook(err *error) {
	if p := recover(); p != nil {
		*err = errBadPart
	}
}

// shared are the texts that the cells of all sheets refer to. The library reads them with the first row.
func (b *book) shared() ([]sharedText, error) {
	rows, err := b.file.Rows(b.sheets[0].name)
	if _, absent := errors.AsType[excelize.ErrSheetNotExist](err); absent {
		return nil, nil // a chart stands first
	}
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	rows.Next()
	if _, err := rows.Columns(); b.file.SharedStrings == nil { // what is wrong with that row alone is found when it is read
		return nil, err
	}
	out := make([]sharedText, len(b.file.SharedStrings.SI))
	for i, s := range b.file.SharedStrings.SI {
		out[i].text, out[i].kind, _ = checkText(s.String())
	}
	return out, nil
}

// relation names a part of the package that another one uses.
type relation struct {
	ID     string `xml:"Id,attr"`
	Type   string `xml:"Type,attr"`
	Target string `xml:"Target,attr"`
}

// parts are the names of the parts that hold the cells of the sheets, by the identifier of the sheet.
func (b *book) parts() (map[string]string, error) {
	root, err := b.relations("")
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	for _, r := range root {
		if !strings.HasSuffix(r.Type, "/officeDocument") {
			continue
		}
		own, err := b.relations(strings.TrimPrefix(r.Target, "/"))
		if err != nil {
			return nil, err
		}
		for _, s := range own {
			if strings.HasSuffix(s.Type, "/worksheet") {
				out[s.ID] = s.Target
			}
		}
	}
	return out, nil
}

// relations lists the parts that a part uses, by their full names.
func (b *book) relations(part string) ([]relation, error) {
	dir, base := path.Split(part)
	text, ok := b.part(path.Join(dir, "_rels", base+".rels"))
	if !ok {
		return nil, errBadPart
	}
	var all struct {
		Relation []relation `xml:"Relationship"`
	}
	d := xml.NewDecoder(bytes.NewReader(text))
	d.CharsetReader = b.file.CharsetReader
	if err := d.Decode(&all); err != nil {
		return nil, fmt.Errorf("its list of parts: %w", err)
	}
	for i, r := range all.Relation {
		if target, whole := strings.CutPrefix(r.Target, "/"); whole {
			all.Relation[i].Target = target
		} else {
			all.Relation[i].Target = path.Join(dir, r.Target)
		}
	}
	return all.Relation, nil
}

// part is a part of the package as it stands.
func (b *book) part(name string) ([]byte, bool) {
	text, _ := b.file.Pkg.Load(name)
	raw, ok := text.([]byte)
	return raw, ok
}
