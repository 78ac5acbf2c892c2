package survey

// Mapping says how the tables of a folder become ours where they have other file names, headers, units or words. It is
// what [files], [columns], [read] and [species] of rules.toml say. The zero value maps nothing.
type Mapping struct {
	Files   []FileMap
	Tables  []TableMap
	Species []SpeciesMap
	Scales  []Scale // classes of cover of the folder's own
}

// Place is where a part of a mapping stands.
type Place struct {
	File         string
	Line, Column int
}

// FileMap gives the name of a table in the folder.
type FileMap struct {
	Table string // ours, as quadrats.csv
	Name  string // a file of the folder itself
	At    Place
}

// TableMap is the mapping of one table.
type TableMap struct {
	Table   string // ours, as quadrats.csv
	Columns []ColumnMap
	Missing []string // cells of these texts are blank
	Where   []Filter // rows that fit all of these are read, others passed over
	Except  []Filter // rows that fit one of these are left out
	Join    *Join
	// OnlyListed leaves out the rows of species that [Mapping].Species does not list. Their quadrats stay visited.
	OnlyListed bool
	Repeats    string   // of quadrats.csv: [RepeatsOnce], [RepeatsAdd], empty a fault
	Wide       *WideMap // nil: a row a quadrat and species
	At, ReadAt Place    // of [columns] and of [read]
}

// ColumnMap says what a column of ours is made of: one of From, Text, Sum and Value.
type ColumnMap struct {
	Column string // ours, as cover_pct
	From   string // header in the file
	Text   string // text with headers in braces, as "{Site}-{Plot}"
	Sum    []string
	Value  string // the same in every row
	Fixed  bool   // Value holds, blank or not
	Cells  bool   // of a wide table: its cells
	Header bool   // of a wide table: its headers across, set by reading

	Unit    string            // of the file; "": ours
	Per     string            // "m2": the file has it per square metre, we have it per quadrat or plot
	Times   string            // what one of the file's pieces holds, in Unit; a decimal number
	Form    string            // how a date is written, as "DD.MM.YYYY"
	Classes []SpeciesScale    // of cover_pct: the scales of its letters
	Words   map[string]string // the file's words and what they are here
	At      Place
}

// Filter is fitted by rows whose cell of a column is one of some texts.
type Filter struct {
	Header string
	Texts  []string
	At     Place
}

// Join adds the columns of another file of the folder to a table: those of its row that has the same cell of column On.
type Join struct {
	File string
	On   string
	At   Place
}

// SpeciesMap translates one name or code of a species.
type SpeciesMap struct {
	Own, Name string // Name "": no seaweed, left out
	At        Place
}

// file is the name that a table of ours has in the folder.
func (m *Mapping) file(table string) string {
	for _, f := range m.Files {
		if f.Table == table {
			return f.Name
		}
	}
	return table
}

// tableOf is the table of ours that a file of the folder is read for; other names are given back.
func (m *Mapping) tableOf(name string) string {
	for _, f := range m.Files {
		if f.Name == name {
			return f.Table
		}
	}
	return name
}

// noteAt notes a fault of the mapping itself.
func (fs *findings) noteAt(at Place, hint, format string, args ...any) {
	fs.note(finding{file: at.File, line: at.Line, at: at.Column, hint: hint}, format, args...)
}

// cellPlace is where the columns of a row stand that is made of one cell of a wide table.
type cellPlace struct {
	file    string
	line    int
	header  string
	columns []string
}
