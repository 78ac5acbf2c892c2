package archive

import (
	"bytes"
	"io/fs"
	"strings"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/model"
	"bedstock/survey"
)

// namedRules is a rules.toml with a data set.
var namedRules = model.DatasetLines

func speciesTable(t require.TestingT) []survey.Species {
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems.Faults())
	return table
}

// folderOf is a survey folder in memory.
func folderOf(texts map[string]string) fstest.MapFS {
	out := fstest.MapFS{}
	for name, text := range texts {
		out[name] = &fstest.MapFile{Data: []byte(text), Mode: 0o644}
	}
	return out
}

func load(t require.TestingT, fsys fs.FS) (*survey.Folder, model.Rules) {
	f, rules, err := model.Load(fsys, speciesTable(t), model.LoadOptions{})
	require.NoError(t, err)
	return f, rules
}

// pack exports a folder.
func pack(t require.TestingT, fsys fs.FS, opt Options) (*Archive, []byte) {
	f, rules := load(t, fsys)
	text, err := fs.ReadFile(fsys, model.RulesFile)
	require.NoError(t, err)
	carried, notes, err := Carry(f, text, true, opt)
	require.NoError(t, err)
	a := New(f, rules, carried, opt)
	a.Notes = append(a.Notes, notes...)
	zipped, _, err := a.Zip()
	require.NoError(t, err)
	return a, zipped
}

func open(t require.TestingT, zipped []byte) *Read {
	r, err := Open(bytes.NewReader(zipped), int64(len(zipped)), speciesTable(t))
	require.NoError(t, err)
	return r
}

func asFS(r *Read) fstest.MapFS {
	out := fstest.MapFS{}
	for name, text := range r.Files {
		out[name] = &fstest.MapFile{Data: text, Mode: 0o644}
	}
	return out
}

// small is a survey with a bit of everything.
func small() map[string]string {
	return map[string]string{
		"beds.csv":    "bed,name,shore,zone,area_m2,area_se_m2,suitable_fraction,lat,lon\nb 1,First bed,West,lower,1000,50,0.8,50.1,-30.2\nb2,,West,,500,,,,\n",
		"strata.csv":  "bed,stratum,area_m2,area_se_m2\nb 1,low,400,10\nb 1,high,600,\n",
		"surveys.csv": "bed,survey,from,to,species_sought,people,low_water_m,protocol,notes\nb 1,2024,2024-07-01,2024-07-02,Fucus serratus;Palmaria palmata,A. Nobody,0.4,permanent transects,swell\n",
		"quadrats.csv": `bed,date,stratum,transect,quadrat,quadrat_m2,visit,species,cover_pct,frond_cm,biomass_g,weighed_m2,observer,notes
b 1,2024-07-01,low,T1,Q1,0.25,done,Fucus serratus,40,35.5,812.5,0.0625,AN,x
b 1,2024-07-01,low,T1,Q1,0.25,done,Palmaria palmata,0,,,,AN,
b 1,2024-07-01,low,T1,Q2,0.25,,,0,,,,AN,
b 1,2024-07-02,high,T1,Q3,0.25,done,Fucus serratus,0,,3,,BN,
b 1,2024-07-02,high,T2,Q1,0.25,not_reached,,,,,,,
b 1,2024-07-02,high,T2,Q2,0.25,planned,,,,,,,
b2,2024-08-01,,,1,1,done,Laminaria digitata,60,,4100,,,
b2,2024-08-03,,,2,1,done,Laminaria digitata,55,,,,,
b2,2024-12-01,,,1,1,unsampleable,,,,,,,
`,
		"fronds.csv": `bed,date,stratum,transect,quadrat,species,frond_cm,wet_g,stage
b 1,2024-07-01,low,T1,Q1,Fucus serratus,31,20.5,adult
b 1,2024-07-01,low,T1,Q1,Fucus serratus,12,,recruit
b 1,2024-07-01,low,T1,Q1,Palmaria palmata,9,,
b2,2024-09-30,,,9,Laminaria digitata,101,350,
`,
		"rules.toml": "# who: A. Nobody\nas_of = 2025-01-01\n\n" + namedRules,
	}
}

func with(texts map[string]string, name, text string) map[string]string {
	texts[name] = text
	return texts
}

func plainOptions() Options { return Options{Scrub: strings.ToUpper} }

// all are the rows of a sheet.
func (s sheet) all() (out [][]string) {
	for i := range s.n {
		out = append(out, s.cells(i))
	}
	return out
}

func (s sheet) text(t require.TestingT) []byte {
	var b bytes.Buffer
	require.NoError(t, s.write(&b))
	return b.Bytes()
}
