package survey

import (
	"cmp"
	"fmt"
	"io/fs"
	"slices"
	"strings"
)

// listFiles looks up what the folder holds. Files that look like tables and belong to no folder are doubts, and so is
// a table that was saved as something else.
func (r *reading) listFiles() error {
	entries, err := fs.ReadDir(r.fsys, ".")
	if err != nil {
		return fmt.Errorf("cannot read the survey folder: %w", err)
	}
	r.files = make(map[string]fs.DirEntry, len(entries))
	for _, e := range entries {
		r.files[e.Name()] = e
	}
	r.found.files, r.found.mapped, r.found.unread = map[string]string{}, map[string]*mappedTable{}, map[string]bool{}
	r.listBooks(entries)
	r.listSheets()
	r.listMapped()
	needed := []string{bedsTable.file, quadratsTable.file}
	other := map[string]string{} // what to do about the table that is missing
	for _, e := range entries {
		name := e.Name()
		if tableOf(name) != nil || slices.Contains(unreadFiles, name) || r.opt.Mapping.reads(name) {
			continue
		}
		if file := savedAs(name); file != "" && !r.has(file) {
			if other[file] == "" {
				other[file] = saveAsHint(name, file)
			}
			if !slices.Contains(needed, file) {
				r.found.doubt(name, 0, "", saveAsHint(name, file), "is not read: only %s is", file)
			}
		} else if otherBook(name) {
			r.found.doubt(name, 0, "", otherBookHint, "is not read: of workbooks only .xlsx are")
		} else if r.files[OutlinesFile] == nil && meantOutlines(name) {
			r.found.doubt(name, 0, "", geoSaveHint+", under the name "+OutlinesFile, "is not read: outlines are read from %s", OutlinesFile)
		} else if strings.HasSuffix(strings.ToLower(name), ".csv") {
			hint, t := r.hintOtherFile(name)
			if t != nil && slices.Contains(needed, t.file) && !r.has(t.file) && other[t.file] == "" {
				other[t.file] = strings.Replace(hint, " it ", " "+name+" ", 1)
				continue // what is missing names it
			}
			r.found.doubt(name, 0, "", cmp.Or(hint, otherName(name)), "is not read: a survey folder has no file of this name")
		}
	}
	for _, name := range needed {
		if own := r.opt.Mapping.file(name); own == name && !r.has(name) {
			hint := "every survey folder needs beds.csv and quadrats.csv"
			if slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return isBook(e.Name()) }) {
				hint += ", or a workbook with the sheets beds and quadrats"
			}
			r.found.fault(name, 0, "", cmp.Or(other[name], hint), "is missing")
		}
	}
	return nil
}

// savedAs is the table that a file of another kind, or with one ending too many, was perhaps meant to be.
func savedAs(name string) string {
	stem, ending, _ := strings.Cut(strings.ToLower(name), ".")
	if slices.Contains([]string{"csv.txt", "csv.csv", "txt", "tsv", "tab", "xls", "xlsm", "ods", "numbers", "csv.ods"}, ending) &&
		tableOf(stem+".csv") != nil {
		return stem + ".csv"
	}
	return ""
}

// saveAsHint says how such a file becomes the table.
func saveAsHint(name, file string) string {
	switch _, ending, _ := strings.Cut(strings.ToLower(name), "."); ending {
	case "csv.txt", "csv.csv", "txt", "tsv", "tab":
		return fmt.Sprintf("rename %s to %s", name, file)
	}
	stem := strings.TrimSuffix(file, ".csv")
	return fmt.Sprintf("save %s as comma-separated UTF-8 text (CSV UTF-8) under the name %s, or as .xlsx with its sheet named %s", name, file, stem)
}

func otherName(name string) string {
	if hint := fileHint(name); strings.HasPrefix(hint, "did") {
		return hint
	}
	return ""
}
