package survey

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding/charmap"

	"bedstock/data"
)

// dialectCase is a way in which a program saves a table.
type dialectCase struct {
	sep, decimal, dates, encoding, ends, head, tail string

	broken bool // headers and texts have ends of lines in them
}

// save writes a table in the dialect.
func (d dialectCase) save(t *testing.T, file, text string) []byte {
	t.Helper()
	records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	spec := tableOf(file)
	var b bytes.Buffer
	switch d.head {
	case "title":
		b.WriteString("Shore of the north\n\n")
	case "sep":
		b.WriteString("sep=" + d.sep + "\n")
	}
	w := csv.NewWriter(&b)
	w.Comma = rune(d.sep[0])
	for i, record := range records {
		for k, s := range record {
			if c := spec.find(foldHeader(records[0][k])); i > 0 && c != nil {
				record[k] = d.cell(c, s)
			}
			if d.broken && i == 0 {
				record[k] = strings.ReplaceAll(s, "_", "\n")
			} else if d.broken && s != "" && k%2 == 0 {
				record[k] = "\n" + record[k] + "\n"
			}
		}
		if d.tail != "" {
			record = append(record, "", "")
		}
		require.NoError(t, w.Write(record))
	}
	w.Flush()
	if d.tail != "" {
		b.WriteString(strings.Repeat(d.sep, len(records[0])+1) + "\n\n")
	}
	return d.encode(t, strings.ReplaceAll(b.String(), "\n", d.ends))
}

func (d dialectCase) cell(c *column, s string) string {
	switch c.kind {
	case numberKind, wholeKind:
		return strings.Replace(s, ".", d.decimal, 1)
	case dayKind:
		day, err := ParseDay(s)
		if err != nil || d.dates == "2006-01-02" {
			return s
		}
		return day.Time().Format(d.dates)
	case momentKind:
		date, clock := cutMoment(s)
		return d.cell(&column{kind: dayKind}, date) + " " + clock
	}
	return s
}

func (d dialectCase) encode(t *testing.T, text string) []byte {
	switch d.encoding {
	case "windows-1252":
		out, err := charmap.Windows1252.NewEncoder().String(text)
		require.NoError(t, err)
		return []byte(out)
	case "mark", "utf16", "utf16be":
		return saved(d.encoding, text)
	}
	return []byte(text)
}

// all calls for every dialect there is.
func allDialects(each func(dialectCase)) {
	for _, sep := range []string{",", ";", "\t"} {
		for _, decimal := range []string{".", ","} {
			for _, dates := range []string{"2006-01-02", "2/1/2006", "01/02/2006", "02.01.2006", "2006/1/2"} {
				for _, encoding := range []string{"", "mark", "utf16", "utf16be", "windows-1252"} {
					for _, ends := range []string{"\n", "\r\n", "\r"} {
						for _, head := range []string{"", "title", "sep"} {
							tail := map[bool]string{true: "blank"}[head == "title"]
							each(dialectCase{sep, decimal, dates, encoding, ends, head, tail, false})
						}
					}
				}
			}
		}
	}
}

// said gives the rules what the cells of a table leave open.
func (d dialectCase) said(texts map[string]string) Options {
	opt := DefaultOptions()
	opt.Input = map[string]InputRules{}
	order := map[string]string{"2/1/2006": "day-first", "01/02/2006": "month-first", "02.01.2006": "day-first"}[d.dates]
	for file := range texts {
		in := InputRules{Dates: order}
		if d.decimal == "," {
			in.Decimal = "comma"
		} else if d.sep != "," {
			in.Decimal = "point"
		}
		opt.Input[file] = in
	}
	return opt
}

// bare writes out a folder without what differs between dialects: hashes, dialects and the columns of warnings. Written
// out, what is missing (NaN) is the same as itself.
func bare(f *Folder) string {
	out := *f
	out.Inputs, out.Dialects, out.Headers, out.Doubts = nil, nil, nil, nil
	for _, p := range f.Doubts {
		p.Column = 0
		out.Doubts = append(out.Doubts, p)
	}
	return fmt.Sprintf("%+v", out)
}

// A folder saved in any dialect is the same folder.
func TestFolderInEveryDialect(t *testing.T) {
	texts := smallFolder()
	texts["beds.csv"] = strings.ReplaceAll(texts["beds.csv"], "North", "Nørdstränd")
	for file := range texts {
		if tableOf(file) == nil {
			delete(texts, file)
		}
	}
	want := map[string]string{}
	n := 0
	allDialects(func(d dialectCase) {
		read := func(d dialectCase, opt Options) *Folder {
			fsys := fstest.MapFS{}
			for file, text := range texts {
				fsys[file] = &fstest.MapFile{Data: d.save(t, file, text)}
			}
			f, err := Read(fsys, smallTable(), opt)
			require.NoError(t, err, fmt.Sprintf("%+v", d))
			return f
		}
		if want[d.head] == "" {
			want[d.head] = bare(read(dialectCase{sep: ",", decimal: ".", dates: "2006-01-02", ends: "\n", head: d.head}, DefaultOptions()))
		}
		got := bare(read(d, d.said(texts)))
		if want[d.head] != got {
			require.Equal(t, want[d.head], got, fmt.Sprintf("%+v", d))
		}
		n++
	})
	assert.Equal(t, 3*2*5*5*3*3, n)
}

// The demo saved in each of the ways there are, one thing changed at a time and some together, is the same folder: what
// its cells leave open in a small table is asked for, and nothing else is wrong.
func TestDemoInDialects(t *testing.T) {
	demo, err := fs.Sub(data.FS, "demo")
	require.NoError(t, err)
	table := embeddedTable(t)
	plain, err := Read(demo, table, DefaultOptions())
	require.NoError(t, err)
	want := lineless(plain)
	for name, change := range map[string]func(*dialectCase){
		"semicolon":          func(d *dialectCase) { d.sep = ";" },
		"tab":                func(d *dialectCase) { d.sep = "\t" },
		"decimal comma":      func(d *dialectCase) { d.decimal = "," },
		"mark":               func(d *dialectCase) { d.encoding = "mark" },
		"UTF-16":             func(d *dialectCase) { d.encoding = "utf16" },
		"UTF-16 big end":     func(d *dialectCase) { d.encoding = "utf16be" },
		"Windows-1252":       func(d *dialectCase) { d.encoding = "windows-1252" },
		"CRLF":               func(d *dialectCase) { d.ends = "\r\n" },
		"CR":                 func(d *dialectCase) { d.ends = "\r" },
		"newlines in quotes": func(d *dialectCase) { d.broken = true },
		"titles":             func(d *dialectCase) { d.head = "title" },
		"sep=":               func(d *dialectCase) { d.head = "sep" },
		"sep=;":              func(d *dialectCase) { d.head, d.sep = "sep", ";" },
		"blank tail":         func(d *dialectCase) { d.tail = "blank" },
		"day first":          func(d *dialectCase) { d.dates = "2/1/2006" },
		"day first, dots":    func(d *dialectCase) { d.dates = "02.01.2006" },
		"month first":        func(d *dialectCase) { d.dates = "1/2/2006" },
		"year first":         func(d *dialectCase) { d.dates = "2006/01/02" },
		"Europe": func(d *dialectCase) {
			*d = dialectCase{sep: ";", decimal: ",", dates: "02.01.2006", encoding: "windows-1252", ends: "\r\n"}
		},
		"America": func(d *dialectCase) {
			*d = dialectCase{sep: "\t", decimal: ".", dates: "1/2/2006", encoding: "utf16", ends: "\r\n", tail: "blank"}
		},
		"all at once": func(d *dialectCase) {
			*d = dialectCase{";", ",", "2/1/2006", "utf16be", "\r\n", "title", "blank", true}
		},
	} {
		t.Run(name, func(t *testing.T) {
			d := dialectCase{sep: ",", decimal: ".", dates: "2006-01-02", ends: "\n"}
			change(&d)
			f := d.readDemo(t, demo, table)
			got := lineless(f)
			if want != got {
				k := 0
				for k < min(len(want), len(got)) && want[k] == got[k] {
					k++
				}
				require.Fail(t, "another folder", "%.300s\n%.300s", want[max(0, k-100):], got[max(0, k-100):])
			}
		})
	}
}

// readDemo reads the demo as saved in the dialect. What is open is asked for in small tables only, and nothing else is
// wrong.
func (d dialectCase) readDemo(t *testing.T, demo fs.FS, table []Species) *Folder {
	fsys := fstest.MapFS{}
	for _, spec := range surveyTables {
		if text, err := fs.ReadFile(demo, spec.file); err == nil {
			fsys[spec.file] = &fstest.MapFile{Data: d.save(t, spec.file, string(text))}
		}
	}
	f, err := Read(fsys, table, DefaultOptions())
	var ps Problems
	if !errors.As(err, &ps) {
		require.NoError(t, err)
		return f
	}
	opt := DefaultOptions()
	opt.Input = map[string]InputRules{}
	for _, p := range ps.Faults() {
		require.Contains(t, p.Text+p.Hint, "say", "%v", p)
		require.NotContains(t, []string{"quadrats.csv", "fronds.csv"}, p.File)
		opt.Input[p.File] = d.said(map[string]string{p.File: ""}).Input[p.File]
	}
	f, err = Read(fsys, table, opt)
	require.NoError(t, err)
	return f
}

var lines = regexp.MustCompile(`Line:(\d+|\[[^\]]*\])|line \d+|\.csv:\d+`)

// lineless writes out a folder without what differs between dialects, and the lines of its files.
func lineless(f *Folder) string { return lines.ReplaceAllString(bare(f), "") }

func TestDialectInWords(t *testing.T) {
	d := Dialect{File: "harvest.csv", Encoding: "windows-1252", Separator: "semicolon", Decimal: "comma", Dates: "day-first", Titles: 2, Filled: 1}
	assert.Equal(t, "harvest.csv: read as semicolon-separated, decimal comma, Windows-1252, dates day first, "+
		"2 lines above the header passed over, 1 blank cell filled from the row above", d.String())
	assert.False(t, d.Plain())
	assert.True(t, Dialect{File: "beds.csv", Encoding: "utf-8", Separator: "comma", Decimal: "point", Dates: "iso"}.Plain())
}

// Cells are filled from the row above only where the rules say so, ditto marks too, and never numbers or species.
func TestFillDown(t *testing.T) {
	texts := smallFolder()
	texts["harvest.csv"] = "bed,date,species,wet_kg\nSkarn,2030-07-01,Fucus serratus,120\n,ditto,Fucus serratus,3\n\"\"\"\",,Fucus serratus,4\n"
	opt := DefaultOptions()
	assert.NotEmpty(t, problemsOf(t, files(texts), opt, "harvest.csv"))
	opt.Input = map[string]InputRules{"harvest.csv": {FillDown: []string{"bed", "date", "wet_kg", "species"}}}
	f, err := Read(files(texts), smallTable(), opt)
	require.NoError(t, err)
	require.Len(t, f.Cuts, 3)
	for _, c := range f.Cuts {
		assert.Equal(t, "Skarn 2030-07-01", c.Bed+" "+c.From.String())
	}
	for _, d := range f.Dialects {
		if d.File == "harvest.csv" {
			assert.Equal(t, 4, d.Filled)
		}
	}
	texts["harvest.csv"] = strings.Replace(texts["harvest.csv"], "serratus,3", "serratus,", 1)
	assert.Equal(t, []string{"harvest.csv:3:23: wet_kg: is blank; every row needs it"}, problemsOf(t, files(texts), opt, "harvest.csv"))
}

// FuzzDialect: whatever a table holds, reading ends without a crash, every problem has its place, and no more is taken
// of memory than 64 times the file and what an empty one needs.
func FuzzDialect(f *testing.F) {
	for _, text := range []string{"bed;area_m2\nA;1,5\n", "sep=\t\nbed\tarea_m2\r\nA\t2\r\n", "\xff\xfeb\x00e\x00d\x00", "bed,area_m2,from\nA,1,5/6/2030\n",
		"Title\n\nbed;area_m2;shore\nSk\xe4r;2;x\n", "bed,area_m2\r\"A\",\"1,234\"\rTotal,3\r"} {
		f.Add(text, "bed")
	}
	f.Fuzz(func(t *testing.T, text, column string) {
		opt := DefaultOptions()
		opt.Input = map[string]InputRules{"": {FillDown: []string{column}}}
		texts := smallFolder()
		texts["beds.csv"] = text
		var err error
		thrifty(t, len(text), func() { _, err = Read(files(texts), smallTable(), opt) })
		var ps Problems
		if errors.As(err, &ps) {
			for _, p := range ps {
				require.NotEmpty(t, p.Text)
				require.NotEmpty(t, p.File)
			}
		} else {
			require.NoError(t, err)
		}
	})
}

func TestTotalWord(t *testing.T) {
	for _, s := range []string{"Total", "TOTAL:", "sum", "Grand total", "Skarn Total", "Mean", "subtotal"} {
		assert.True(t, totalWord(s), s)
	}
	for _, s := range []string{"Fucus serratus", "Total reef", "Mean ledge", "Low mean", "a place that is total", "Sumo", ":"} {
		assert.False(t, totalWord(s), s)
	}
}
