package archive

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/survey"
)

// Read is an archive that was read.
type Read struct {
	Kind   string   // "Darwin Core archive" or "Data Package"
	Files  files    // of the survey folder
	Counts []Count  // rows of its tables
	Taken  []string // how things were understood, where that is not plain
	Unused []string // what could not be used, and why
	Own    bool     // bedstock wrote it
}

// Open reads an archive and makes a survey folder of it. Species are named as in the table where they have the same
// number in the World Register of Marine Species. An archive that cannot be read at all is an error.
func Open(r io.ReaderAt, size int64, table []survey.Species) (*Read, error) {
	all, err := unzip(r, size, limits{maxEntries, maxUnzip})
	if err != nil {
		return nil, err
	}
	return understand(all, table)
}

func understand(all files, table []survey.Species) (*Read, error) {
	if dir, ok := all.folder("meta.xml"); ok {
		return readArchive(all, dir, table)
	}
	if dir, ok := all.folder("datapackage.json"); ok {
		return readPackage(all, dir)
	}
	return nil, errors.New("holds neither meta.xml, as a Darwin Core archive does, nor the datapackage.json of a survey folder")
}

// folderFiles are the names of all files of a survey folder.
func folderFiles() []string {
	var out []string
	for _, t := range tables {
		out = append(out, t.name+".csv")
	}
	return append(out, "setaside.csv", survey.OutlinesFile, model.RulesFile)
}

// readPackage takes the tables of a Data Package as they are.
func readPackage(all files, dir string) (*Read, error) {
	r := &Read{Kind: "Data Package", Files: files{}, Own: true}
	r.takeFolder(all, dir, folderFiles(), func(name string) bool { return name == "datapackage.json" })
	if r.Files["quadrats.csv"] == nil || r.Files["beds.csv"] == nil {
		return nil, errors.New("is a Data Package without beds.csv and quadrats.csv: not one of a survey folder")
	}
	r.count()
	return r, nil
}

// takeFolder takes the files of these names out of a folder of the archive; others are noted.
func (r *Read) takeFolder(all files, dir string, names []string, known func(name string) bool) {
	for _, name := range sorted(all) {
		in, ok := strings.CutPrefix(name, dir)
		switch {
		case ok && slices.Contains(names, in):
			r.Files[in] = all[name]
		case ok && known(in):
		case ok:
			r.unused("file %s: not one that is taken from there", name)
		}
	}
}

func (r *Read) unused(format string, args ...any) {
	r.Unused = append(r.Unused, fmt.Sprintf(format, args...))
}

func (r *Read) taken(format string, args ...any) {
	r.Taken = append(r.Taken, fmt.Sprintf(format, args...))
}

// readArchive reads a Darwin Core archive.
func readArchive(all files, dir string, table []survey.Species) (*Read, error) {
	m, err := readMeta(all[dir+"meta.xml"])
	if err != nil {
		return nil, err
	}
	r := &Read{Kind: "Darwin Core archive", Files: files{}}
	known := map[string]bool{"meta.xml": true, m.Metadata: true}
	var core *given
	var more []*given
	for i, t := range append([]metaTable{m.Core}, m.Extensions...) {
		for _, f := range t.Files {
			known[strings.TrimPrefix(f, "./")] = true
		}
		g, err := readTable(t, all, dir)
		if err != nil {
			return nil, err
		}
		if i == 0 {
			core = g
		} else {
			more = append(more, g)
		}
	}
	for name := range all {
		if strings.HasPrefix(name, dir+carriedFolder) {
			r.Own, known[strings.TrimPrefix(name, dir)] = true, true
		}
	}
	for _, name := range sorted(all) {
		if in, ok := strings.CutPrefix(name, dir); !ok || !known[in] {
			r.unused("file %s: meta.xml does not name it", name)
		}
	}
	s := seen{Read: r, names: newNames(table)}
	if err := s.take(core, more); err != nil {
		return nil, err
	}
	s.write()
	beside := slices.DeleteFunc(folderFiles(), func(name string) bool { return slices.Contains(observed, strings.TrimSuffix(name, ".csv")) })
	r.takeFolder(all, dir+carriedFolder, beside, func(string) bool { return false })
	r.count()
	return r, nil
}

// count counts the rows of the tables.
func (r *Read) count() {
	for _, t := range tables {
		if text, ok := r.Files[t.name+".csv"]; ok {
			r.Counts = append(r.Counts, Count{t.name + ".csv", rowsOf(text)})
		}
	}
}
