package archive

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedstock/data"
	"bedstock/survey"
)

// rowsAgain are the rows of quadrats.csv and fronds.csv as they were read, without their places in the file. Rows that
// are only planned, and those of quadrats that were not visited, count once a quadrat.
func rowsAgain(f *survey.Folder) []string {
	var out []string
	q := &f.Quadrats
	for i := range q.Len() {
		p := quadratPlace(f, i)
		switch q.Visit[i] {
		case survey.Planned:
		case survey.Done:
			out = append(out, fmt.Sprint("quadrat ", p, q.M2[i], f.Names[q.Species[i]], q.Cover[i], q.Frond[i], q.Biomass[i], q.Weighed[i], f.Names[q.Observer[i]]))
		default:
			out = append(out, fmt.Sprint("quadrat ", p, q.Visit[i]))
		}
	}
	slices.Sort(out)
	out = slices.Compact(out)
	x := &f.Fronds
	for i := range x.Len() {
		out = append(out, fmt.Sprint("frond ", frondPlace(f, i), f.Names[x.Species[i]], x.Length[i], x.Wet[i], f.Names[x.Stage[i]]))
	}
	slices.Sort(out)
	return out
}

// same checks that a folder is read as before and gives the same stocks, to the last bit.
func same(t require.TestingT, before, after fs.FS) {
	f, rules := load(t, before)
	g, rulesAgain := load(t, after)
	require.Equal(t, rowsAgain(f), rowsAgain(g))
	require.Equal(t, fmt.Sprintf("%#v", survey.Stocks(f, rules.Survey)), fmt.Sprintf("%#v", survey.Stocks(g, rulesAgain.Survey)))
}

// lineless is a table of a folder as JSON, without the places of its rows.
func lineless(t require.TestingT, table any) string {
	text, err := json.Marshal(table)
	require.NoError(t, err)
	text = regexp.MustCompile(`"Line":\d+`).ReplaceAll(text, []byte(`"Line":0`))
	return regexp.MustCompile(`"species\.csv:\d+"`).ReplaceAllString(string(text), `"species.csv"`)
}

// An archive with people in it gives the survey folder back: the same rows, the same stocks, the same small tables.
func TestThereAndBack(t *testing.T) {
	opt := plainOptions()
	opt.People = true
	a, zipped := pack(t, folderOf(small()), opt)
	r := open(t, zipped)
	same(t, folderOf(small()), asFS(r))
	assert.True(t, r.Own)
	assert.Empty(t, r.Unused)
	assert.Empty(t, r.Taken)
	for _, c := range a.Carried {
		assert.Equal(t, string(c.Bytes()), string(r.Files[c.File()]), c.File())
	}

	// once more gives the same archive
	_, again := pack(t, asFS(r), opt)
	assert.Equal(t, zipped, again)
}

// Without people the stocks are the same.
func TestThereAndBackWithoutPeople(t *testing.T) {
	_, zipped := pack(t, folderOf(small()), plainOptions())
	f, rules := load(t, folderOf(small()))
	g, rulesAgain := load(t, asFS(open(t, zipped)))
	assert.Equal(t, fmt.Sprintf("%#v", survey.Stocks(f, rules.Survey)), fmt.Sprintf("%#v", survey.Stocks(g, rulesAgain.Survey)))
}

// Every other table of the demo comes back too, where people may go along.
func TestSmallTablesThereAndBack(t *testing.T) {
	demo, err := fs.Sub(data.FS, "demo")
	require.NoError(t, err)
	opt := plainOptions()
	opt.People = true
	_, zipped := pack(t, demo, opt)
	f, rules := load(t, demo)
	g, again := load(t, asFS(open(t, zipped)))
	for _, pair := range [][2]any{{f.Beds, g.Beds}, {f.Strata, g.Strata}, {f.Surveys, g.Surveys}, {f.Cuts, g.Cuts}, {f.Regrowth, g.Regrowth},
		{f.Events, g.Events}, {f.Closures, g.Closures}, {f.Decisions, g.Decisions}, {f.Permits, g.Permits}, {f.Species, g.Species},
		{f.AsOf, g.AsOf}, {rules.Offtake, again.Offtake}, {rules.Seasons, again.Seasons}, {rules.Dataset, again.Dataset}} {
		assert.Equal(t, lineless(t, pair[0]), lineless(t, pair[1]))
	}
}

// A folder of other headers and units is handed on under ours.
func TestMappedFolder(t *testing.T) {
	mapped := small()
	mapped["quadrats.csv"] = strings.Replace(mapped["quadrats.csv"], "biomass_g,", "Wet,", 1)
	mapped["quadrats.csv"] = strings.Replace(mapped["quadrats.csv"], "812.5", "0.8125", 1)
	mapped["quadrats.csv"] = strings.Replace(mapped["quadrats.csv"], "4100", "4.1", 1)
	mapped["quadrats.csv"] = strings.Replace(mapped["quadrats.csv"], "0,,3,", "0,,0.003,", 1)
	mapped["rules.toml"] += "\n[columns.quadrats]\nbiomass_g = {from = \"Wet\", unit = \"kg\"}\n"
	for _, core := range []bool{true, false} {
		f, rules := load(t, folderOf(mapped))
		opt := Options{People: true}
		carried, _, err := Carry(f, []byte(mapped["rules.toml"]), core, opt)
		require.NoError(t, err)
		zipped, _, err := New(f, rules, carried, opt).Zip()
		if !core {
			zipped, _, err = Package(*rules.Dataset, carried, opt)
		}
		require.NoError(t, err)
		r := open(t, zipped)
		assert.NotContains(t, string(r.Files["rules.toml"]), "Wet")
		same(t, folderOf(mapped), asFS(r))
		same(t, folderOf(small()), asFS(r))
	}
}

// The demo gives the same stocks by both ways, and so does its archive without what bedstock carries in it, up to what
// its own species.csv says of lengths.
func TestDemoThereAndBack(t *testing.T) {
	demo, err := fs.Sub(data.FS, "demo")
	require.NoError(t, err)
	_, zipped := pack(t, demo, plainOptions())
	f, rules := load(t, demo)
	want := survey.Stocks(f, rules.Survey)
	g, rulesAgain := load(t, asFS(open(t, zipped)))
	assert.Equal(t, fmt.Sprintf("%#v", want), fmt.Sprintf("%#v", survey.Stocks(g, rulesAgain.Survey)))

	r := open(t, strip(t, zipped))
	assert.False(t, r.Own)
	h, _ := load(t, asFS(r))
	got := survey.Stocks(h, survey.DefaultOptions())
	require.Len(t, got, len(want))
	for i := range want {
		assert.Equal(t, []any{want[i].Bed, want[i].Survey, want[i].Species, want[i].Date}, []any{got[i].Bed, got[i].Survey, got[i].Species, got[i].Date})
		assert.Equal(t, fmt.Sprint(want[i].Kg, want[i].Cover, want[i].Conversion, want[i].Domain), fmt.Sprint(got[i].Kg, got[i].Cover, got[i].Conversion, got[i].Domain))
	}
}

// strip takes what bedstock carries out of an archive.
func strip(t *testing.T, zipped []byte) []byte {
	z, err := zip.NewReader(bytes.NewReader(zipped), int64(len(zipped)))
	require.NoError(t, err)
	kept := map[string]content{}
	for _, f := range z.File {
		if !strings.HasPrefix(f.Name, carriedFolder) {
			text, err := inflate(f, maxUnzip)
			require.NoError(t, err)
			kept[f.Name] = bytesOf(text)
		}
	}
	out, err := zipOf(kept)
	require.NoError(t, err)
	return out
}

// Any survey comes back as it was, whatever its labels, and its ids are unique.
func TestAnySurveyThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		texts := anySurvey(t)
		opt := Options{People: true}
		a, zipped := pack(t, folderOf(texts), opt)
		r := open(t, zipped)
		require.Empty(t, r.Unused)
		same(t, folderOf(texts), asFS(r))
		for _, s := range a.sheets() {
			seen := map[string]bool{}
			for _, row := range s.all() {
				id := map[string]string{eventRow: row[0], occurrenceRow: row[2], measurementRow: row[1]}[s.row]
				require.False(t, seen[id], "%s stands twice", id)
				seen[id] = true
			}
		}
	})
}

// anySurvey draws a survey folder without a mistake.
func anySurvey(t *rapid.T) map[string]string {
	pick := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(t, name) }
	number := func(name string, hi int) string {
		return pick(name, "", fmt.Sprint(rapid.IntRange(0, hi).Draw(t, name+" n")), fmt.Sprintf("%.2f", rapid.Float64Range(0.01, float64(hi)).Draw(t, name+" x")))
	}
	labels := []string{"1", "a b", "x:y", "ö", "%41", "A", "semi;colon", `"q"`, "#1"}
	beds := []string{"one", "two:2"}
	texts := map[string]string{"beds.csv": "bed,area_m2,lat,lon\none,1000,,\ntwo:2,333.25,50,-30\n", "rules.toml": "as_of = 2024-01-01\n" + namedRules}
	if rapid.Bool().Draw(t, "strata") {
		texts["strata.csv"] = "bed,stratum,area_m2\none,low,400\none,a:b,600\n"
	}
	if rapid.Bool().Draw(t, "declared") {
		texts["surveys.csv"] = "bed,survey,from,to,species_sought,protocol\none,A/1,2023-05-30,2023-06-10,Fucus serratus;Palmaria palmata,permanent\n"
	}
	var quadrats, fronds strings.Builder
	quadrats.WriteString("bed,date,stratum,transect,quadrat,quadrat_m2,visit,species,cover_pct,frond_cm,biomass_g,weighed_m2,observer\n")
	fronds.WriteString("bed,date,stratum,transect,quadrat,species,frond_cm,wet_g,stage\n")
	taken := map[string]bool{}
	quoted := func(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }
	for i := range rapid.IntRange(1, 12).Draw(t, "quadrats") {
		bed := pick("bed", beds...)
		stratum := ""
		if texts["strata.csv"] != "" && bed == "one" {
			stratum = pick("stratum", "low", "a:b")
		}
		dates := []string{"2023-06-01", "2023-06-08", "2023-12-20"}
		if texts["surveys.csv"] != "" && bed == "one" {
			dates = dates[:2]
		}
		at := strings.Join([]string{bed, pick("date", dates...), stratum, quoted(pick("transect", append(labels, "")...)), quoted(pick("quadrat", labels...))}, ",")
		if taken[at] {
			continue
		}
		taken[at] = true
		visit := pick("visit", "done", "done", "done", "", "not_reached", "unsampleable", "planned")
		if i == 0 {
			visit = "done"
		}
		if visit != "done" && visit != "" {
			fmt.Fprintf(&quadrats, "%s,0.25,%s,,,,,,\n", at, visit)
			continue
		}
		n := 0
		for _, species := range []string{"Fucus serratus", "Palmaria palmata", "Ulva spp.", "Unheard of"} {
			if rapid.Bool().Draw(t, species) {
				n++
				cover, biomass := fmt.Sprint(rapid.IntRange(0, 60).Draw(t, "cover")), number("biomass", 2000)
				weighed := ""
				if biomass != "" {
					weighed = pick("weighed", "", "0.0625")
					cover = pick("read", cover, "")
				}
				frond := ""
				if cover != "" && cover != "0" {
					frond = pick("frond", "", "31.5")
				}
				fmt.Fprintf(&quadrats, "%s,0.25,%s,%s,%s,%s,%s,%s,%s\n", at, visit, species, cover, frond, biomass, weighed, pick("observer", "", "AN"))
				for range rapid.IntRange(0, 2).Draw(t, "fronds") {
					fmt.Fprintf(&fronds, "%s,%s,%d,%s,%s\n", at, species, rapid.IntRange(1, 40).Draw(t, "cm"), pick("wet", "", "12.75"), pick("stage", "", "adult"))
				}
			}
		}
		if n == 0 {
			fmt.Fprintf(&quadrats, "%s,0.25,%s,,0,,,,\n", at, visit)
		}
	}
	texts["quadrats.csv"], texts["fronds.csv"] = quadrats.String(), fronds.String()
	return texts
}

// The same survey gives the same bytes, in whatever order its rows stand, and they tell nothing of the clock.
func TestSameBytes(t *testing.T) {
	_, zipped := pack(t, folderOf(small()), plainOptions())
	turned := small()
	lines := strings.Split(strings.TrimSpace(turned["quadrats.csv"]), "\n")
	slices.Reverse(lines[1:])
	turned["quadrats.csv"] = strings.Join(lines, "\n") + "\n"
	_, again := pack(t, folderOf(turned), plainOptions())
	assert.Equal(t, zipped, again)
	z, err := zip.NewReader(bytes.NewReader(zipped), int64(len(zipped)))
	require.NoError(t, err)
	names := []string{}
	for _, f := range z.File {
		names = append(names, f.Name)
		assert.Equal(t, theTime, f.Modified.UTC(), f.Name)
	}
	assert.True(t, slices.IsSorted(names))
}
