package model

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

// openData is where open survey data lie, beside the project. Each is read as its people wrote it, by a mapping alone:
// testdata/mapping/NAME holds the rules.toml, and what the data do not tell (the areas of the beds, invented here).
const openData = "../../shared/data"

// openFolder is an open data set with its mapping, and a plain reading of one of its files.
func openFolder(t *testing.T, name, source string) (*survey.Folder, Rules, func(file string) []map[string]string) {
	t.Helper()
	if _, err := os.Stat(filepath.Join(openData, source)); err != nil {
		t.Skip("the open data do not stand beside the project: ", err)
	}
	fsys := fstest.MapFS{}
	for _, dir := range []string{filepath.Join(openData, source), filepath.Join("testdata/mapping", name)} {
		files, err := os.ReadDir(dir)
		require.NoError(t, err)
		for _, f := range files {
			if ext := filepath.Ext(f.Name()); ext == ".csv" || ext == ".toml" {
				text, err := os.ReadFile(filepath.Join(dir, f.Name()))
				require.NoError(t, err)
				fsys[f.Name()] = &fstest.MapFile{Data: text}
			}
		}
	}
	folder, rules, err := Load(fsys, speciesTable(t), LoadOptions{})
	require.NoError(t, err)
	return folder, rules, func(file string) []map[string]string {
		text := strings.TrimPrefix(string(fsys[file].Data), "\ufeff")
		r := csv.NewReader(strings.NewReader(text))
		r.LazyQuotes, r.FieldsPerRecord = true, -1
		rows, err := r.ReadAll()
		require.NoError(t, err)
		var out []map[string]string
		for _, row := range rows[1:] {
			cells := map[string]string{}
			for i, s := range row[:min(len(row), len(rows[0]))] {
				cells[rows[0][i]] = s
			}
			out = append(out, cells)
		}
		return out
	}
}

func num(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// total adds the numbers that are there.
func total(values []float64) (sum float64, n int) {
	for _, v := range values {
		if !math.IsNaN(v) {
			sum, n = sum+v, n+1
		}
	}
	return sum, n
}

// Canopy cover of Laminaria hyperborea on British reefs, and single plants (Smale, Moore and others; MIT).
func TestOpenDataUK(t *testing.T) {
	f, _, plain := openFolder(t, "uk", "uk-laminaria-hyperborea")
	cover, n := 0.0, 0
	for _, row := range plain("collab_densityCanopy.csv") {
		cover += num(t, row["CanopyPctCover"])
		n++
	}
	require.Equal(t, 528, n)
	assert.Equal(t, n, f.Quadrats.Len())
	got, _ := total(f.Quadrats.Cover)
	assert.Equal(t, cover, got)

	length, weight := 0.0, 0.0
	for _, row := range plain("collab_allometry.csv") {
		length += num(t, row["lengthFrond"])
		weight += num(t, row["weightStipe"]) + num(t, row["weightFrond"])
	}
	require.Equal(t, 396, f.Fronds.Len())
	got, n = total(f.Fronds.Length)
	assert.InEpsilon(t, length, got, 1e-12)
	assert.Equal(t, 396, n)
	got, _ = total(f.Fronds.Wet)
	assert.InEpsilon(t, weight, got, 1e-12)
}

// Canopy of cleared reefs and beside them, a row a measure (Smale and others 2020, Scientific Reports; MIT).
func TestOpenDataClearance(t *testing.T) {
	f, _, plain := openFolder(t, "uk-clearance", "uk-laminaria-hyperborea")
	want := map[string]float64{}
	n := 0
	for _, row := range plain("collab_clearance.csv") {
		if row["Metric"] == "canopy_pct" && row["Date"] != "" {
			want[row["Location"]+row["Treatment"]] += num(t, row["Value"])
			n++
		}
	}
	require.Equal(t, 128, n)
	require.Equal(t, n, f.Quadrats.Len())
	got := map[string]float64{}
	for i, cover := range f.Quadrats.Cover {
		got[f.Names[f.Quadrats.Bed[i]]+f.Names[f.Quadrats.Stratum[i]]] += cover
	}
	assert.Equal(t, want, got)
}

// Stipes of tagged bull kelp, measured again and again.
func TestOpenDataHakaiGrowth(t *testing.T) {
	f, _, plain := openFolder(t, "hakai-growth", "hakai-nereocystis")
	length, n, days := 0.0, 0, map[string]bool{}
	for _, row := range plain("metrics_long.csv") {
		if row["stipe_length"] != "NA" && row["date"] != "NA" {
			length += num(t, row["stipe_length"])
			days[row["date"]] = true
			n++
		}
	}
	require.Greater(t, n, 3000)
	require.Equal(t, n, f.Fronds.Len())
	got, _ := total(f.Fronds.Length)
	assert.InEpsilon(t, length, got, 1e-12)
	seen := map[string]bool{}
	for _, d := range f.Fronds.Day {
		seen[d.String()] = true
	}
	assert.Equal(t, days, seen)
}

// Bull kelp along transects and plants cut for their weights (Hakai Institute, doi 10.21966/d1s2-s530; CC BY 4.0).
func TestOpenDataHakai(t *testing.T) {
	f, _, plain := openFolder(t, "hakai", "hakai-nereocystis")
	plants, area, n := 0.0, 0.0, 0
	for _, row := range plain("nereo_density.csv") {
		again := row["site"] == "Manley" && row["date"] == "2026-07-11" || row["site"] == "Triquetta" && row["date"] == "2026-07-13" ||
			row["site"] == "Odlum" && row["date"] == "2021-08-22" && row["dist"] == "0" && row["side"] == "R"
		if row["stipeD"] == "" || again {
			continue
		}
		plants += num(t, row["stipeD"])
		area += num(t, row["area"])
		n++
	}
	assert.Equal(t, n, f.Quadrats.Len())
	assert.Greater(t, n, 7000)
	got, _ := total(f.Quadrats.Biomass)
	assert.InEpsilon(t, 2060*plants, got, 1e-12)
	got, _ = total(f.Quadrats.M2)
	assert.Equal(t, area, got)

	kg, weighed, long := 0.0, 0, 0
	for _, row := range plain("nereo_harvest.csv") {
		if row["stipeL"] == "na" {
			continue
		}
		long++
		if row["bladeW"] != "na" && row["stipeW"] != "na" {
			kg += num(t, row["bladeW"]) + num(t, row["stipeW"])
			weighed++
		}
	}
	assert.Equal(t, long, f.Fronds.Len())
	got, n = total(f.Fronds.Wet)
	assert.InEpsilon(t, 1000*kg, got, 1e-12)
	assert.Equal(t, weighed, n)
	assert.Contains(t, f.Doubts.Error(), "is counted at 2.06 kg each, taken as exact")
}

// Wracks of western Sweden: points along transects, and weighed plants (Hagan 2023, Functional Ecology; MIT).
func TestOpenDataSweden(t *testing.T) {
	f, _, plain := openFolder(t, "sweden", "sweden-fucoid-allometry")
	points, covered := map[string]bool{}, map[string]bool{}
	for _, row := range plain("transect_data.csv") {
		if code := row["binomial_code"]; code != "NA" && code != "" {
			at := row["transect_id"] + " " + row["position"]
			points[at] = true
			if code != "-9999" {
				covered[at+code] = true
			}
		}
	}
	cover, _ := total(f.Quadrats.Cover)
	assert.Equal(t, 100*float64(len(covered)), cover)
	seen := map[string]bool{}
	for i := range f.Quadrats.Len() {
		seen[f.Names[f.Quadrats.Transect[i]]+" "+f.Names[f.Quadrats.Quadrat[i]]] = true
	}
	assert.Equal(t, points, seen)

	weight, n := map[string]float64{}, 0
	for _, row := range plain("allometry_data.csv") {
		if row["wet_weight_g"] != "NA" {
			weight[row["binomial_code"]] += num(t, row["wet_weight_g"])
		}
		n++
	}
	require.Equal(t, n, f.Fronds.Len())
	got := map[string]float64{}
	for i, w := range f.Fronds.Wet {
		if !math.IsNaN(w) {
			got[f.Names[f.Fronds.Species[i]]] += w
		}
	}
	for code, name := range map[string]string{"as_no": "Ascophyllum nodosum", "fu_se": "Fucus serratus", "fu_sp": "Fucus spiralis", "fu_ve": "Fucus vesiculosus"} {
		assert.InEpsilon(t, weight[code], got[name], 1e-12, name)
	}
}

// Cover of everything on four shores of Calvert Island (Martone, Lindstrom, Whalen and others; MIT).
func TestOpenDataCalvert(t *testing.T) {
	f, rules, plain := openFolder(t, "calvert", "calvert-seaweed-quadrats")
	place := map[string]map[string]string{}
	for _, row := range plain("Martone_Hakai_metadata.csv") {
		if row["Date"] != "NA" {
			place[row["UID"]] = row
		}
	}
	name := map[string]string{}
	for _, s := range rules.Survey.Mapping.Species {
		name[s.Own] = s.Name
	}
	want, visited, kept := map[string]float64{}, map[string]bool{}, map[string]bool{}
	for _, row := range plain("Martone_Hakai_data.csv") {
		at := place[row["UID"]]
		if at == nil {
			continue
		}
		visited[row["UID"]] = true
		if s := name[row["Taxon"]]; s != "" {
			want[at["Site"]+at["Zone"]+s] += num(t, row["Abundance"])
			kept[row["UID"]+s] = true
		}
	}
	got, quadrats := map[string]float64{}, map[string]bool{}
	named := 0
	for i := range f.Quadrats.Len() {
		id := func(ids []uint32) string { return f.Names[ids[i]] }
		q := &f.Quadrats
		quadrats[id(q.Bed)+q.Day[i].String()+id(q.Quadrat)] = true
		if s := id(q.Species); s != "" {
			got[id(q.Bed)+id(q.Stratum)+s] += q.Cover[i]
			named++
		}
	}
	assert.Equal(t, 1171, len(visited))
	assert.Equal(t, len(visited), len(quadrats))
	assert.Equal(t, len(kept), named)
	assert.InDeltaMapValues(t, want, got, 1e-9)
}
