package survey

import (
	"bytes"
	"cmp"
	"fmt"
	"io/fs"
	"slices"
	"strings"
)

// isBook says whether a file of that name is a workbook. Those that begin with ~$ are kept by spreadsheet programs while
// a workbook is open, and are none.
func isBook(name string) bool {
	return strings.HasSuffix(strings.ToLower(name), ".xlsx") && !strings.HasPrefix(name, "~$")
}

// otherBook says whether a file is a workbook of a kind that is not read.
func otherBook(name string) bool {
	low := strings.ToLower(name)
	return !strings.HasPrefix(name, "~$") && slices.ContainsFunc([]string{".xls", ".xlsm", ".xlsb", ".ods", ".fods", ".numbers"},
		func(ending string) bool { return strings.HasSuffix(low, ending) })
}

const otherBookHint = "save it as .xlsx, with sheets named as the tables, or each sheet as comma-separated UTF-8 text (CSV UTF-8)"

// listBooks opens the workbooks of the folder, in the order of their names.
func (r *reading) listBooks(entries []fs.DirEntry) {
	r.books = map[string]*bookSheet{}
	for _, e := range entries {
		name := e.Name()
		if !isBook(name) {
			continue
		}
		if b := r.openBook(e, name); b != nil {
			r.workbooks = append(r.workbooks, b)
			for _, s := range b.sheets {
				r.books[s.called()] = s
			}
		}
	}
}

// openBook opens a workbook of the folder; nil where it is refused.
func (r *reading) openBook(e fs.DirEntry, name string) *book {
	if !e.Type().IsRegular() {
		r.found.fault(name, 0, "", plainHint, "is not a plain file")
		return nil
	}
	raw, from, err := readText(r.fsys, name, r.found)
	if err != nil {
		r.fail(err)
		return nil
	}
	b, err := openBook(name, raw)
	if err != nil {
		r.found.note(finding{file: name, hint: bookMendHint, first: true}, "cannot be read as a workbook: %v", err)
		return nil
	}
	b.source = from
	return b
}

// listSheets finds the sheets that are tables by their names. A table that stands in the folder twice is a fault that
// asks which of them it is; a sheet that is none is a doubt.
func (r *reading) listSheets() {
	r.sheets, r.found.books = map[string]*bookSheet{}, map[string]string{}
	for _, s := range r.books {
		r.found.books[s.called()] = s.book.name
	}
	unknown := map[*book][]*bookSheet{}
	for _, b := range r.workbooks {
		for _, s := range b.sheets {
			table := s.table()
			switch {
			case r.opt.Mapping.reads(s.called()):
			case tableOf(table) == nil:
				unknown[b] = append(unknown[b], s)
			default:
				r.takeSheet(s, table)
			}
		}
	}
	for _, b := range r.workbooks {
		r.sayUnknown(b, unknown[b])
	}
}

// table is the file that the sheet stands for by its name.
func (s *bookSheet) table() string {
	return strings.TrimSuffix(strings.ToLower(strings.TrimSpace(s.name)), ".csv") + ".csv"
}

// takeSheet has a table read from a sheet.
func (r *reading) takeSheet(s *bookSheet, table string) {
	const hint = "keep the one that holds, and remove or rename the other"
	own := r.opt.Mapping.file(table)
	first := r.sheets[table]
	switch {
	case own != table:
		r.found.doubt(s.called(), 0, "", "rename the sheet, or take "+table+" out of [files]", "is not read: %s is, by rules.toml", own)
		return
	case r.files[table] != nil:
		r.found.fault(s.called(), 0, "", hint, "%s stands in the folder too: only one of them can be read", table)
		r.found.unread[table] = true
	case first != nil:
		r.found.fault(s.called(), 0, "", hint, "%s is %s too: only one of them can be read", first.called(), table)
		r.found.unread[table] = true
	}
	if first == nil {
		r.sheets[table] = s
		if r.files[table] == nil {
			r.found.files[table] = s.called()
		}
	}
}

// sayUnknown warns of sheets that are not read. Blank ones, as every new workbook has, are no matter.
func (r *reading) sayUnknown(b *book, unknown []*bookSheet) {
	filled := slices.DeleteFunc(slices.Clone(unknown), (*bookSheet).blank)
	var stems []string
	for _, t := range surveyTables {
		stems = append(stems, t.stem())
	}
	if len(unknown) == len(b.sheets) {
		what, hint := "no sheet of it is named as a table", "name the sheets as the tables: "+strings.Join(stems, ", ")
		if names, headed := namesOfSheets(filled); len(names) > 0 {
			what += ": it has " + some(names, 8)
			if len(headed) > 0 {
				hint = "name the sheets as the tables: " + some(headed, 8)
			}
		}
		r.found.doubt(b.name, 0, "", hint, "is not read: %s", what)
		return
	}
	for _, s := range filled {
		what := "a survey folder has no table of this name"
		if s.hidden {
			what += ", and the sheet is hidden"
		}
		hint := cmp.Or(r.hintOtherSheet(s), didYouMean(strings.TrimSuffix(s.table(), ".csv"), stems))
		r.found.doubt(s.called(), 0, "", hint, "is not read: %s", what)
	}
}

// namesOfSheets are the names of sheets, and in words which of them have the header of a table.
func namesOfSheets(all []*bookSheet) (names, headed []string) {
	for _, s := range all {
		names = append(names, s.name)
		if t := s.headedAs(); t != nil {
			headed = append(headed, fmt.Sprintf("%s has the header of %s", s.name, t.stem()))
		}
	}
	return names, headed
}

// blank says whether a sheet has no cells with a value.
func (s *bookSheet) blank() bool {
	text, ok := s.book.part(s.part)
	return !ok || !bytes.Contains(text, []byte("v>")) && !bytes.Contains(text, []byte("is>"))
}

// sheet is the sheet that a table is read from under the name it has in the folder, nil where that is a file.
func (r *reading) sheet(name string) *bookSheet {
	if s := r.books[name]; s != nil {
		return s
	}
	return r.sheets[name]
}

// has says whether there is a file or a sheet of that name.
func (r *reading) has(name string) bool { return r.files[name] != nil || r.sheet(name) != nil }
