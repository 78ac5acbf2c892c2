package survey

import (
	"errors"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// unchecked leaves out what is looked for between files.
func unchecked(*Folder, *findings, Options) {}

// problemsOf reads a folder that is refused or not, and returns everything found in single rows of the files named.
func problemsOf(t *testing.T, fsys fs.FS, opt Options, names ...string) []string {
	t.Helper()
	f, err := readThen(unchecked, fsys, smallTable(), opt)
	ps, ok := errors.AsType[Problems](err)
	if !ok {
		require.NoError(t, err)
		ps = f.Doubts
	}
	var out []string
	for _, p := range ps {
		for _, n := range names {
			if p.File == n {
				out = append(out, p.String())
			}
		}
	}
	return out
}

// Each case changes one file of a sound folder, old to new, and names everything that is then said of that file.
func TestReadFaults(t *testing.T) {
	for _, c := range []struct {
		file, old, new string
		want           string
	}{
		// Numbers.
		{"beds.csv", "1200", "12x", `beds.csv:2:31: area_m2: "12x" is not a number`},
		{"beds.csv", "1200", "0", `beds.csv:2:31: area_m2: "0" is not above 0`},
		{"beds.csv", "1200", "NaN", `beds.csv:2:31: area_m2: "NaN" is not a number`},
		{"beds.csv", "1200", "Inf", `beds.csv:2:31: area_m2: "Inf" is not a number`},
		{"beds.csv", "1200", "0x10", `beds.csv:2:31: area_m2: "0x10" is not a number`},
		{"beds.csv", "1200", "1_200", `beds.csv:2:31: area_m2: "1_200" is not a number`},
		{"beds.csv", "1200", `"1,200"`, `beds.csv:2:31: area_m2: "1,200" has a mark between thousands, which another program may take for the mark of decimals`},
		{"beds.csv", "1200", `1e999`, `beds.csv:2:31: area_m2: "1e999" is too large`},
		{"beds.csv", "1200", `1-2`, `beds.csv:2:31: area_m2: "1-2" is not a number`},
		{"beds.csv", "1200", "", `beds.csv:2:31: area_m2: is blank; every row needs it`},
		{"beds.csv", "0.8", "80", `beds.csv:2:39: suitable_fraction: "80" is above 1`},
		{"beds.csv", "55.1", "", `beds.csv:2:43: lat: is blank, but lon is given`},
		{"beds.csv", ",-7.2", ",", `beds.csv:2:48: lon: is blank, but lat is given`},
		{"quadrats.csv", "60,32.5", "120,32.5", `quadrats.csv:2:53: cover_pct: "120" is above 100`},
		{"quadrats.csv", "60,32.5", "-1,32.5", `quadrats.csv:2:53: cover_pct: "-1" is below 0`},
		{"quadrats.csv", "32.5", "0", `quadrats.csv:2:56: frond_cm: "0" is not above 0`},
		{"quadrats.csv", "812", "-812", `quadrats.csv:2:61: biomass_g: "-812" is below 0`},
		{"quadrats.csv", "0.0625", "0.3", `quadrats.csv:2:65: weighed_m2: "0.3" is above quadrat_m2, 0.25`},
		{"harvest.csv", ",120,", ",-120,", `harvest.csv:2:44: wet_kg: "-120" is below 0`},
		{"events.csv", "0.7", "1.7", `events.csv:2:20: fraction_left: "1.7" is above 1`},
		{"permits.csv", "P1,Skarn,,0.5", "P1,Skarn,,-0.5", `permits.csv:2:11: share: "-0.5" is below 0`},
		{"permits.csv", "P1,Skarn,,0.5", "P1,Skarn,,0.6",
			`permits.csv:3:25: share: the shares of bed Skarn, Fucus serratus, add up to 1.1`},
		{"species.csv", "0.9", "-2", `species.csv:2:16: r_per_year: "-2" is not above 0`},

		// Dates.
		{"beds.csv", "2030-01-01", "1.1.2030", `beds.csv:3:41: dates are written both as 1.1.2030 and as 2029-01-01 (line 4)`},
		{"beds.csv", "2030-01-01", "2030-02-30", `beds.csv:3:41: from: "2030-02-30" is not a date`},
		{"harvest.csv", "2030-05-03", "2030-04-03", `harvest.csv:2:18: date_to: 2030-04-03 is before the first day, 2030-05-01`},
		{"surveys.csv", "2030-06-03", "2030-05-31", `surveys.csv:2:22: to: 2030-05-31 is before the first day, 2030-06-01`},
		{"closures.csv", "2031-01-01,", "2031-01-01,2030-01-01", `closures.csv:2:15: to: 2030-01-01 is before the first day, 2031-01-01`},
		{"decisions.csv", "2030-06-30", "2029-06-30", `decisions.csv:2:40: to: 2029-06-30 is before the first day, 2030-03-15`},

		// Words.
		{"beds.csv", "lower", "low", `beds.csv:2:25: zone: "low" is not a word for this column`},
		{"quadrats.csv", "not_reached", "missed", `quadrats.csv:5:33: visit: "missed" is not a word for this column`},
		{"harvest.csv", "yes", "perhaps", `harvest.csv:2:52: estimated: "perhaps" is neither yes nor no`},
		{"regrowth.csv", "cut,900", ",900", `regrowth.csv:2:35: event: is blank; every row needs it`},
		{"beds.csv", "Skarn,", "*,", `beds.csv:2:1: bed: "*" stands for all beds and cannot name one`},

		// Rows that contradict themselves.
		{"quadrats.csv", "palmata,5,", "palmata,,", `quadrats.csv:3:50: cover_pct: is blank, and so is biomass_g: nothing is said of Palmaria palmata`},
		{"quadrats.csv", "done,,0,", "done,,,", `quadrats.csv:4:38: cover_pct: is blank, and so is species`},
		{"quadrats.csv", "done,,0,", "done,,4,", `quadrats.csv:4:37: species: is blank, but cover_pct is "4" and biomass_g ""`},
		{"quadrats.csv", "not_reached,,,", "not_reached,,0,", `quadrats.csv:5:46: cover_pct: is given, but the visit is not_reached`},
		{"quadrats.csv", "T1,2,0.25", "T1,2,", `quadrats.csv:4:27: quadrat_m2: is blank; every quadrat visited needs its area`},
		{"quadrats.csv", "812,", ",", `quadrats.csv:2:62: warning: weighed_m2: is given, but biomass_g is blank: not weighed`},

		{"quadrats.csv", "0.0625", "0.25", ""},
		{"quadrats.csv", "Skarn,2030-06-01", "Skarn,", `quadrats.csv:2:7: date: is blank; every row needs it`},
		{"quadrats.csv", "L,\n", "L,\nSkarn,1.6.30,low,T1,3,0.25,,,0,,,,,\nSkarn,1.6.30,low,T1,4,0.25,,,0,,,,,\n",
			"quadrats.csv:3:7: date: \"1.6.30\" is not a date\n" + `quadrats.csv:4:7: date: "1.6.30" is not a date`},

		// Keys.
		{"quadrats.csv", "L,\n", "L,\nSkarn,2030-06-01,low,T9,1,0.25,done,Fucus serratus,60,,,,,\n", ""},
		{"quadrats.csv", "L,\n", "L,\nSkarn,2030-06-01,low,T1,,0.25,,,0,,,,,\nSkarn,2030-06-01,low,T1,,0.25,,,0,,,,,\n",
			"quadrats.csv:3:25: quadrat: is blank; every row needs it\n" + `quadrats.csv:4:25: quadrat: is blank; every row needs it`},
		{"harvest.csv", "cast,,,\n", "cast,,,\nSkarn,2030-05-09,,Fucus serratus,0,cast,,,\n", ""},
		{"harvest.csv", "yes,\n", "yes,\nSkarn,2030-05-01,2030-05-03,Fucus serratus,120,cut,P1,1,\n",
			`harvest.csv:3: warning: is the same as line 2`},
		{"beds.csv", "2029-01-01", "2030-01-01", `beds.csv:4: has the same bed and from as line 3`},
		{"strata.csv", "high", "low", `strata.csv:3: has the same bed and stratum as line 2`},
		{"quadrats.csv", "Palmaria palmata", "FUCUS serratus",
			`quadrats.csv:3: has the same bed, date, stratum, transect, quadrat and species as line 2`},
		{"species.csv", "Osmundea minor", "Fucus  Serratus", `species.csv:3: has the same species as line 2`},
		{"permits.csv", "P2,Skarn,Fucus serratus", "P1,Skarn,", `permits.csv:3: has the same permit, bed and species as line 2`},
		{"regrowth.csv", "2030-06-01,measure", "2029-06-01,cut", `regrowth.csv:3: has the same plot, species, date and event as line 2`},

		// Headers.
		{"beds.csv", "area_m2", "area", `beds.csv:1:21: unknown column "area", and there is no column area_m2`},
		{"beds.csv", "reason", "Area m2", `beds.csv:1:73: column "area_m2" stands twice in the header`},
		{"harvest.csv", "notes", "Remarks", `harvest.csv:1:57: warning: unknown column "remarks" is not read`},
		{"strata.csv", "bed,stratum", "bed,", "strata.csv:1: column \"stratum\" is missing\n" +
			"strata.csv:2:7: \"low\" stands in a column without a name\n" +
			`strata.csv:3:7: "high" stands in a column without a name`},

		{"quadrats.csv", "cover_pct", "cover", `quadrats.csv:1:60: unknown column "cover", and there is no column cover_pct`},
		{"quadrats.csv", "biomass_g", "Wet weight (kg)",
			`quadrats.csv:1:79: unknown column "wet_weight_(kg)", and there is no column biomass_g`},
		{"regrowth.csv", "event,biomass_g,plot_m2\nA,Fucus serratus,Skarn,2029-06-01,cut,900",
			"Event_,biomass_g,plot_m2\nA,Fucus serratus,Skarn,2030-06-01,,heavy", "regrowth.csv:1:23: unknown column \"event_\", and there is no column event\n" +
				`regrowth.csv:2:36: biomass_g: "heavy" is not a number`},

		// Torn rows.
		{"strata.csv", "low,700,", "low,700", `strata.csv:2: has 3 cells, the header has 4`},
		{"strata.csv", "low,700,", "low,700,2,5", `strata.csv:2: has 5 cells, the header has 4`},
		{"strata.csv", "low", `l"ow`, `strata.csv:2:8: a quote inside a cell without quotes around it`},
		{"strata.csv", "low", `"low"er`, `strata.csv:2:11: quotes around a cell do not close as they should`},
		{"strata.csv", "low", `"low`,
			`strata.csv:2: quotes opened in this row do not close as they should; line 3 is read as part of it`},
		{"strata.csv", "low,700,", "low,700,,,", ""},
		{"strata.csv", "500,20\n", "500,20\n,,,\n  ,,,\n\n", ""},

		// Rows set aside.
		{"setaside.csv", "quadrats.csv", "quadrat.csv", `setaside.csv:2:1: file: "quadrat.csv" is not a table whose rows can be set aside`},
		{"setaside.csv", "quadrats.csv", "harvest.csv", "setaside.csv:2:20: quadrat: harvest.csv has no column quadrat"},
	} {
		t.Run(c.file+"/"+c.new, func(t *testing.T) {
			texts := smallFolder()
			require.Contains(t, texts[c.file], c.old)
			texts[c.file] = strings.Replace(texts[c.file], c.old, c.new, 1)
			if c.file != "setaside.csv" {
				delete(texts, "setaside.csv")
			}
			got := problemsOf(t, files(texts), DefaultOptions(), c.file)
			want := strings.Split(c.want, "\n")
			if c.want == "" {
				want = nil
			}
			assert.ElementsMatch(t, want, got)
		})
	}
}

// What is no text, or can be read in two ways, gets one clear fault.
func TestReadRefusesDialects(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"UTF-16 torn":   {"\xff\xfeb\x00e\x00d", "beds.csv: is UTF-16 text that ends in half a letter"},
		"UTF-16 broken": {"\xff\xfeb\x00\n\x00d\x00\x00\xd8", "beds.csv:2:2: is not whole UTF-16 text"},
		"NUL":           {"bed,area_m2\nA\x00,1\n", "beds.csv:2:2: holds a NUL byte: no plain text"},
		"two encodings": {"bed,area_m2\nB\u00e4,1\nSk\xe4r,1\n",
			`beds.csv:3:3: holds the byte 0xe4, which is not UTF-8, but "ä" elsewhere, which is: the encoding cannot be told`},
		"no encoding": {"bed,area_m2\nB,1\nSk\x81r,1\n", "beds.csv:3:3: holds the byte 0x81: neither UTF-8 nor Windows-1252 text"},
		"workbook":    {"PK\x03\x04rest", "beds.csv: is a spreadsheet or zip file, not CSV text"},
		"separators":  {"bed,area_m2;shore\nA,2;\n", "beds.csv:1: the header can be split at each comma or at each semicolon"},
		"decimals":    {"bed;area_m2;name\nA;2,5;\nB;2.5;\n", "beds.csv:2:3: numbers are written with a decimal comma (2,5) and with a decimal point (2.5, line 3)"},
		"thousands": {"bed;area_m2\nA;1,200\n",
			"beds.csv:2:3: 1,200 can be more than a thousand or a number with three decimals, and no other number of the file tells which"},
		"date": {"bed,area_m2,from\nA,1,5/6/2030\n", "beds.csv:2:5: 5/6/2030 can be 2030-06-05 or 2030-05-06, and no other date of the file tells which"},
		"dates": {"bed,area_m2,from\nA,1,15/6/2030\nA,1,6/15/2030\n",
			"beds.csv:3:5: 6/15/2030 has its month first, 15/6/2030 (line 2) its day: dates are written in both orders"},
		"empty":  {"", "beds.csv: is empty"},
		"blank":  {"\ufeff \r\n\n", "beds.csv: is empty"},
		"header": {"bed,area_m2\n,\n", "beds.csv: has a header and no rows"},
	} {
		t.Run(name, func(t *testing.T) {
			texts := smallFolder()
			texts["beds.csv"] = c.text
			assert.Equal(t, []string{c.want}, problemsOf(t, files(texts), DefaultOptions(), "beds.csv"))
		})
	}
	beds := smallFolder()["beds.csv"]
	for name, text := range map[string]string{
		"mark":        "\ufeff" + beds,
		"CRLF":        strings.ReplaceAll(beds, "\n", "\r\n"),
		"no ending":   strings.TrimSuffix(beds, "\n"),
		"header":      strings.Replace(beds, "bed,name,shore", " BED ,\"Name\",Shore", 1),
		"real U+FFFD": strings.Replace(beds, "North", "N\ufffdrth", 1),
	} {
		t.Run(name, func(t *testing.T) {
			texts := smallFolder()
			texts["beds.csv"] = text
			assert.Empty(t, problemsOf(t, files(texts), DefaultOptions(), "beds.csv"))
		})
	}
}

func TestReadRefusesOddFiles(t *testing.T) {
	texts := smallFolder()
	delete(texts, "beds.csv")
	fsys := files(texts)
	fsys["harvest.csv"] = &fstest.MapFile{Mode: fs.ModeNamedPipe}
	fsys["fronds.csv"] = &fstest.MapFile{Mode: fs.ModeDir}
	fsys["Events.csv"] = &fstest.MapFile{}
	fsys["photos.csv"] = &fstest.MapFile{}
	fsys["notes.txt"] = &fstest.MapFile{}
	got := problemsOf(t, fsys, DefaultOptions(), "beds.csv", "harvest.csv", "fronds.csv", "Events.csv", "photos.csv", "notes.txt")
	assert.Equal(t, []string{
		"Events.csv: warning: is not read: a survey folder has no file of this name",
		"beds.csv: is missing",
		"fronds.csv: is not a plain file",
		"harvest.csv: is not a plain file",
		"photos.csv: warning: is not read: a survey folder has no file of this name",
	}, got)
}

// A date after the day of the assessment is a fault, but for what is planned or will hold.
func TestReadAsOf(t *testing.T) {
	opt := DefaultOptions()
	opt.AsOf = day("2030-06-01")
	texts := smallFolder()
	texts["decisions.csv"] = strings.Replace(texts["decisions.csv"], "2030-02-01", "2030-07-01", 1)
	got := problemsOf(t, files(texts), opt, "beds.csv", "quadrats.csv", "closures.csv", "decisions.csv", "harvest.csv")
	assert.Equal(t, []string{
		"decisions.csv:2:64: decided_on: 2030-07-01 is after 2030-06-01, the day the assessment is made for",
		"quadrats.csv:5:7: date: 2030-06-03 is after 2030-06-01, the day the assessment is made for",
	}, got)

	opt.AsOf = day("2033-01-01")
	f, err := Read(files(smallFolder()), nil, opt)
	require.NoError(t, err)
	assert.Equal(t, opt.AsOf, f.AsOf)
}

// Shares that add up to 1 but for rounding are sound.
func TestReadSharesOut(t *testing.T) {
	texts := smallFolder()
	texts["permits.csv"] = "permit,bed,species,share\nA,Skarn,,0.2\nB,Skarn,,0.4\nC,Skarn,,0.3\nD,Skarn,,0.1\n"
	assert.Empty(t, problemsOf(t, files(texts), DefaultOptions(), "permits.csv"))
}

// A file too large is refused before it is read.
func TestReadRefusesHugeFile(t *testing.T) {
	found := &findings{}
	_, _, err := readText(huge{}, "beds.csv", found)
	require.ErrorIs(t, err, errRefused)
	_, _, err = readText(huge{}, OutlinesFile, found)
	require.ErrorIs(t, err, errRefused)
	assert.Equal(t, "beds.csv: is larger than 1 GiB\nbeds.geojson: is larger than 64 MiB", found.problems(nil).Error())
}

// huge holds one file that says it is a byte larger than may be.
type huge struct{ fs.File }

func (huge) Open(string) (fs.File, error) { return huge{}, nil }
func (huge) Close() error                 { return nil }
func (huge) Stat() (fs.FileInfo, error)   { return hugeInfo{}, nil }

type hugeInfo struct{ fs.FileInfo }

func (hugeInfo) Mode() fs.FileMode { return 0o644 }
func (hugeInfo) Size() int64       { return maxFile + 1 }
