package survey

import (
	"slices"
)

// check looks for what no single row or file can tell: beds and strata that are not listed, areas that do not add up,
// a quadrat that contradicts itself, dates out of order between files. It runs after every file was read and before the
// findings get their places.
//
// Cells that were refused are blank in f: NaN, [NoDay], a [Num] that is not OK, or empty text; a file that could not
// be read at all leaves its list empty. Rows named in setaside.csv are already left out and counted in [SetAside].Rows.
// What needs whole surveys is looked at only where the files that make them are free of faults.
func check(f *Folder, fs *findings, opt Options) {
	c := newChecker(f, fs)
	quadrats := []string{bedsTable.file, strataTable.file, surveysTable.file, quadratsTable.file}
	found := c.lookThrough(opt, !c.faulty(quadrats...))
	c.bedNames()
	c.found.join(found.labels)
	c.positions()
	c.strataAreas()
	c.areaErrors()
	c.strataNames()
	c.noteMeasured(&found.measured)
	c.noRows()
	c.found.join(found.quadrats)
	found.copies.note()
	c.unfilled(found.first, opt.WindowDays)
	c.found.join(found.weights)
	c.observers(opt.Confidence)
	c.fronds()
	c.declared()
	c.speciesNames()
	c.permitNames()
	c.seasonNames(opt.SeasonNames)
	c.overGranted()
	c.farDates()
	c.cuts()
	if !c.faulty(quadrats...) {
		c.surveys(found.rounds, opt.WindowDays)
	}
}

// checker is a folder under check.
type checker struct {
	f       *Folder
	found   *findings
	bedIDs  []string            // sorted
	strata  map[string][]string // labels by bed
	species map[string]*Species // by name, those with a row in the table

	cutSlips []bool // rows of harvest.csv whose weight is noted as a slip
}

func newChecker(f *Folder, fs *findings) *checker {
	c := &checker{f: f, found: fs, strata: map[string][]string{}, species: map[string]*Species{}}
	for _, b := range f.Beds {
		c.bedIDs = append(c.bedIDs, b.ID)
	}
	for _, s := range f.Strata {
		c.strata[s.Bed] = append(c.strata[s.Bed], s.Stratum)
	}
	for i := range f.Species {
		c.species[f.Species[i].Name] = &f.Species[i]
	}
	return c
}

// bed is the bed of that name, nil where beds.csv has none.
func (c *checker) bed(id string) *Bed {
	i, ok := slices.BinarySearch(c.bedIDs, id)
	if !ok {
		return nil
	}
	return &c.f.Beds[i]
}

// faulty says whether any of the files has a fault so far.
func (c *checker) faulty(files ...string) bool {
	return slices.ContainsFunc(c.found.list, func(f finding) bool {
		return f.severity == Fault && slices.Contains(files, f.file)
	}) || slices.ContainsFunc(files, func(file string) bool { return c.found.unread[file] })
}

// lostRows says whether rows of the file could not be told apart: what other files say of them is not their mistake.
func (c *checker) lostRows(file string) bool {
	return slices.ContainsFunc(c.found.list, func(f finding) bool { return f.lost && f.file == file })
}

// read says whether the table is part of the folder.
func (c *checker) read(file string) bool {
	return slices.ContainsFunc(c.f.Inputs, func(in Input) bool { return in.Path == c.found.inputOf(file) })
}
