package survey

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
)

// openBookFile opens a workbook by its name. What is wrong with it is an error, for there is nothing to compare.
func openBookFile(fsys fs.FS, name string) (*book, error) {
	found := &findings{}
	raw, _, err := readText(fsys, name, found)
	if errors.Is(err, errRefused) {
		return nil, fmt.Errorf("%s: %s", name, found.list[0].text)
	}
	if err != nil {
		return nil, err
	}
	b, err := openBook(name, raw)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read as a workbook: %w", name, err)
	}
	return b, nil
}

// typedSheet is the sheet of a workbook that is a typing of a table: that of the table's name, the only one that is filled,
// or, where the table is not known yet, the only one that is named as a table.
func typedSheet(fsys fs.FS, name string, spec *tableSpec) (*bookSheet, *tableSpec, error) {
	b, err := openBookFile(fsys, name)
	if err != nil {
		return nil, nil, err
	}
	var filled, named []*bookSheet
	for _, s := range b.sheets {
		if spec != nil && s.table() == spec.file {
			return s, spec, nil
		}
		if tableOf(s.table()) != nil {
			named = append(named, s)
		}
		if !s.blank() {
			filled = append(filled, s)
		}
	}
	switch {
	case spec == nil && len(named) == 1:
		return named[0], tableOf(named[0].table()), nil
	case spec != nil && len(named) == 0 && len(filled) == 1:
		return filled[0], spec, nil
	case spec != nil:
		return nil, nil, fmt.Errorf("%s: no sheet of it is named %s", name, strings.TrimSuffix(spec.file, ".csv"))
	}
	return nil, nil, fmt.Errorf("%s: it has %s named as tables, and one at a time is compared; name the workbook like the table, as quadrats-2.xlsx",
		name, counted(len(named), "sheet"))
}

// folderSheet is the sheet of a workbook of the folder that a table is read from; nil where there is none, or a file of
// that name.
func folderSheet(fsys fs.FS, spec *tableSpec) (*bookSheet, error) {
	entries, err := fs.ReadDir(fsys, ".")
	if err != nil {
		return nil, err
	}
	var out *bookSheet
	for _, e := range entries {
		if e.Name() == spec.file {
			return nil, nil
		}
		if !isBook(e.Name()) || !e.Type().IsRegular() {
			continue
		}
		b, err := openBookFile(fsys, e.Name())
		if err != nil {
			return nil, err
		}
		for _, s := range b.sheets {
			if s.table() != spec.file {
				continue
			}
			if out != nil {
				return nil, fmt.Errorf("%s and %s are both %s: only one of them can be compared", out.called(), s.called(), spec.file)
			}
			out = s
		}
	}
	return out, nil
}

// TableBooks lists the workbooks of a folder that have a sheet named as a table, sorted. One that cannot be read may have
// one.
func TableBooks(fsys fs.FS) ([]string, error) {
	entries, err := fs.ReadDir(fsys, ".")
	if err != nil {
		return nil, err
	}
	var out []string
	for _, e := range entries {
		if !isBook(e.Name()) || !e.Type().IsRegular() {
			continue
		}
		b, err := openBookFile(fsys, e.Name())
		known := err != nil
		if err == nil {
			for _, s := range b.sheets {
				known = known || tableOf(s.table()) != nil
			}
		}
		if known {
			out = append(out, e.Name())
		}
	}
	return out, nil
}
