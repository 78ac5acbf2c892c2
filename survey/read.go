package survey

import (
	"errors"
	"io/fs"
	"slices"
	"strings"
)

// Read reads a survey folder: every table of it, each in one pass. The species table is overlaid cell by cell by the
// folder's own species.csv.
//
// All mistakes of all files come back together as a [Refusal]; then there is no folder. Without a mistake the folder
// carries its warnings in Doubts. A file that cannot be opened or read, or a folder that is none, is an ordinary
// error. Files must be plain files of comma-separated UTF-8 text, at most 1 GiB each.
//
// Where opt.AsOf is [NoDay] the folder is assessed as of the latest date in its quadrats, fronds, harvest, regrowth,
// events and decisions; a date in these after opt.AsOf is a mistake, or its row is left out where opt.LeaveLater says
// so. A quadrat that is only planned may lie ahead.
func Read(fsys fs.FS, table []Species, opt Options) (*Folder, error) {
	return readThen(check, fsys, table, opt)
}

// readThen reads a folder and looks for what no single file tells with the given checks.
func readThen(check func(*Folder, *findings, Options), fsys fs.FS, table []Species, opt Options) (*Folder, error) {
	r := newReading(fsys, opt)
	if err := r.listFiles(); err != nil {
		return nil, err
	}
	r.readTables(table)
	if r.err != nil {
		return nil, r.err
	}
	return r.finish(check)
}

func newReading(fsys fs.FS, opt Options) *reading {
	return &reading{fsys: fsys, opt: opt, f: &Folder{}, found: &findings{most: opt.MostAlike}, texts: map[string]*tableText{},
		aside: map[string][]*asideRule{}, noArea: map[int]bool{}, noStratumArea: map[int]bool{}, latest: NoDay, pool: newPool(), partBytes: partBytes, letGoBytes: letGoBytes}
}

// readTables reads all tables: what is set aside before the rest, and species before all files that name them.
func (r *reading) readTables(table []Species) {
	r.readSetAside()
	r.readSpecies(table)
	r.readBeds()
	r.readOutlines()
	r.areasFromOutlines()
	r.readQuadrats()
	r.readReadings()
	r.readFronds()
	r.sortNames()
	r.readStrata()
	r.strataFromOutlines()
	r.readSurveys()
	r.readHarvest()
	r.readRegrowth()
	r.readEvents()
	r.readClosures()
	r.readDecisions()
	r.readPermits()
	r.readTides()
	r.settleUnallocated()
}

// reading is a folder while it is being read.
type reading struct {
	fsys          fs.FS
	opt           Options
	f             *Folder
	found         *findings
	files         map[string]fs.DirEntry
	workbooks     []*book
	books         map[string]*bookSheet // by the names under which messages and rules know them
	sheets        map[string]*bookSheet // by the tables that they are
	texts         map[string]*tableText // what was read
	names         *speciesNames
	pool          *pool
	aside         map[string][]*asideRule // by file
	asideRules    []*asideRule            // in the order of setaside.csv
	outlines      *outlineReader          // nil without beds.geojson
	noArea        map[int]bool            // lines of beds.csv whose area_m2 is blank
	noStratumArea map[int]bool            // lines of strata.csv whose area_m2 is blank
	tables        []*rowReader            // in the order in which they were read
	latest        Day                     // latest date that bears on as_of
	mapped        []*mappedTable          // tables read by a mapping, in the order in which they were read
	partBytes     int                     // see [reading.parts]
	letGoBytes    int                     // see [reading.letGo]
	limit         int                     // of the rows of a table; 0: its own
	first         []int32                 // of every row of quadrats.csv, the first of the same quadrat
	sources       []*source
	err           error // the first that is no finding
}

// open reads a table of the folder as far as its header; nil where it is absent or refused.
func (r *reading) open(spec *tableSpec) *rowReader {
	name := r.opt.Mapping.file(spec.file)
	mapped, ok := r.mapping(spec)
	if !r.has(name) || r.err != nil || !ok {
		return nil
	}
	rows := r.openNamed(name, spec, mapped, r.opt.inputRules(spec.file))
	if rows != nil {
		rows.aside = r.aside[spec.file]
		if r.limit > 0 {
			rows.limit = r.limit
		}
		r.tables = append(r.tables, rows)
	}
	return rows
}

// openNamed reads a file or sheet of the folder as far as its header; nil where it is refused.
func (r *reading) openNamed(name string, spec *tableSpec, m *mappedTable, rules InputRules) *rowReader {
	if s := r.sheet(name); s != nil {
		r.addSource(s.book.source)
		return sheetTable(s, spec, m, rules, r.found, r.texts)
	}
	if !r.files[name].Type().IsRegular() {
		r.found.fault(spec.file, 0, "", plainHint, "is not a plain file")
		return nil
	}
	rows, from, err := openTable(r.fsys, name, spec, m, rules, r.found, r.texts)
	if err != nil {
		r.fail(err)
		return nil
	}
	r.addSource(from)
	return rows
}

// fail keeps the first error that is no finding.
func (r *reading) fail(err error) {
	if r.err == nil && !errors.Is(err, errRefused) {
		r.err = err
	}
}

// addSource enters a file that was read, once.
func (r *reading) addSource(s *source) {
	if !slices.Contains(r.sources, s) {
		r.sources = append(r.sources, s)
	}
}

// listInputs lists the files that were read with their checksums.
func (r *reading) listInputs() {
	for _, s := range r.sources {
		if input := s.input(); !slices.Contains(r.f.Inputs, input) {
			r.f.Inputs = append(r.f.Inputs, input)
		}
	}
	slices.SortFunc(r.f.Inputs, func(a, b Input) int { return strings.Compare(a.Path, b.Path) })
}

// openTable reads the file of that name as far as its header, by its mapping where it has one; the reader is nil where
// the text was refused.
func openTable(fsys fs.FS, name string, spec *tableSpec, m *mappedTable, rules InputRules, found *findings, texts map[string]*tableText) (*rowReader, *source, error) {
	raw, from, err := readText(fsys, name, found)
	if err != nil {
		return nil, nil, err
	}
	return textTable(raw, spec, m, rules, found, texts), from, nil
}

// textTable reads the bytes of a file as far as its header; nil where they are refused.
func textTable(raw string, spec *tableSpec, m *mappedTable, rules InputRules, found *findings, texts map[string]*tableText) *rowReader {
	text, encoding, ok := decode(spec.file, raw, rules, found)
	if !ok {
		return nil
	}
	t, ok := findHeader(text, spec, rules, found)
	texts[spec.file] = t
	if !ok {
		return nil
	}
	var rows *rowReader
	if m != nil {
		rows = newMappedReader(t, m, rules, found)
	} else {
		rows = newRowReader(t, spec, rules, found)
	}
	if rows != nil {
		d := rows.readAs()
		d.Encoding, d.Separator, d.Titles = encoding, wordOf(t.sep), t.skip
	}
	return rows
}

// finish runs the checks between files, gives every finding its place and hands the folder on.
func (r *reading) finish(check func(*Folder, *findings, Options)) (*Folder, error) {
	f := r.f
	r.countAside()
	r.sayMapped()
	f.Headers = map[string][]string{}
	for _, t := range r.tables {
		f.Dialects = append(f.Dialects, *t.readAs())
		if t.mapped == nil {
			f.Headers[t.spec.file] = headerCells(t)
		}
	}
	slices.SortFunc(f.Dialects, func(a, b Dialect) int { return strings.Compare(a.File, b.File) })
	f.AsOf = r.opt.AsOf
	if f.AsOf == NoDay {
		f.AsOf = r.latest
	}
	r.listInputs()
	r.opt.first = r.first
	r.letGo()
	check(f, r.found, r.opt)
	if err := r.recall(); err != nil {
		return nil, err
	}
	problems := r.found.problems(r.texts)
	if len(problems.Faults()) > 0 {
		return nil, &Refusal{problems, f.Dialects, f.Mapped}
	}
	f.Doubts = problems
	if r.opt.LeaveLater && r.latest > f.AsOf {
		now := f.Until(f.AsOf)
		now.Later = f.Rows() - now.Rows()
		return now, nil
	}
	return f, nil
}

// dated enters a date that bears on as_of.
func (r *reading) dated(file string, line int, column string, d Day) {
	if d == NoDay {
		return
	}
	r.latest = max(r.latest, d)
	if r.opt.AsOf == NoDay || d <= r.opt.AsOf || r.opt.LeaveLater {
		return
	}
	if r.opt.Clock {
		r.found.fault(file, line, column, "mend the date: here stands what was done, and only a quadrat with visit planned lies ahead",
			"%s is after today, %s", d, r.opt.AsOf)
	} else {
		r.found.fault(file, line, column, "mend the date, or take a later day for the assessment",
			"%s is after %s, the day the assessment is made for", d, r.opt.AsOf)
	}
}
