package survey

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// square is a feature of a bed of about a side in degrees of latitude.
func square(bed string, lon, lat, side float64) string {
	w := side / math.Cos(lat*math.Pi/180)
	return fmt.Sprintf(`{"type": "Feature", "properties": {"bed": %q}, "geometry": {"type": "Polygon", "coordinates": `+
		`[[[%.7f, %.7f], [%.7f, %.7f], [%.7f, %.7f], [%.7f, %.7f], [%.7f, %.7f]]]}}`,
		bed, lon, lat, lon+w, lat, lon+w, lat+side, lon, lat+side, lon, lat)
}

func collection(features ...string) string {
	return `{"type": "FeatureCollection", "features": [` + strings.Join(features, ",\n") + "]}\n"
}

// A bed without an area has that of its outline in every row where the cell is blank; what is given stays. The file is
// among the inputs, and the stock follows the area.
func TestAreaFromOutline(t *testing.T) {
	texts := bareFolder()
	delete(texts, "strata.csv")
	texts["quadrats.csv"] = strings.ReplaceAll(texts["quadrats.csv"], ",low,", ",,")
	texts["quadrats.csv"] = strings.ReplaceAll(texts["quadrats.csv"], ",high,", ",,")
	texts["beds.csv"] = "bed,shore,zone,area_m2,area_se_m2,from\nSkarn,North,lower,,60,\nSkarn,North,lower,1500,,2031-01-01\n" +
		"Anvik,North,mid,800,,\n"
	texts[OutlinesFile] = collection(square("Skarn", 7, 58, 0.0003))
	f, err := Read(files(texts), smallTable(), DefaultOptions())
	require.NoError(t, err)
	o := f.Outlines["Skarn"]
	require.Len(t, f.Outlines, 1)
	skarn := f.Beds[1]
	assert.Equal(t, [2]float64{o.Area, 1500}, [2]float64{skarn.Periods[0].Area, skarn.Periods[1].Area})
	assert.Equal(t, [2]bool{true, false}, [2]bool{skarn.Periods[0].AreaOutlined, skarn.Periods[1].AreaOutlined})
	assert.Equal(t, Some(60), skarn.Periods[0].AreaSE)
	assert.Equal(t, 1, o.Line)
	approx(t, "area", o.Area, 1116, 0.01, 0) // 33.4 m squared
	found := false
	for _, in := range f.Inputs {
		found = found || in.Path == OutlinesFile && len(in.SHA256) == 64
	}
	assert.True(t, found)

	drawn := Stocks(f, DefaultOptions())
	texts["beds.csv"] = strings.Replace(texts["beds.csv"], "lower,,60", fmt.Sprintf("lower,%.17g,60", o.Area), 1)
	delete(texts, OutlinesFile)
	f, err = Read(files(texts), smallTable(), DefaultOptions())
	require.NoError(t, err)
	assert.Nil(t, f.Outlines)
	assert.Equal(t, fmt.Sprintf("%+v", Stocks(f, DefaultOptions())), fmt.Sprintf("%+v", drawn), "as if the area had been written")
}

// A column area_m2 that is not there cannot be replaced by outlines: it is told at the header.
func TestOutlineWithoutAreaColumn(t *testing.T) {
	texts := bareFolder()
	texts["beds.csv"] = "bed,shore,zone\nSkarn,North,lower\nAnvik,North,mid\n"
	texts[OutlinesFile] = collection(square("Skarn", 7, 58, 0.0003), square("Anvik", 7, 58, 0.0003))
	_, err := Read(files(texts), smallTable(), DefaultOptions())
	ps, _ := errors.AsType[Problems](err)
	require.Len(t, ps.Faults(), 1)
	assert.Equal(t, `beds.csv:1: column "area_m2" is missing`, ps.Faults()[0].String())
}

// Whatever is drawn, written and read comes back: positions, holes, parts, with members and blanks in any order and
// altitudes or not.
func TestOutlinesComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var parts []Polygon
		lat := rapid.Float64Range(-80, 80).Draw(t, "lat")
		lon := rapid.Float64Range(-180, 179).Draw(t, "lon")
		for range rapid.IntRange(1, 3).Draw(t, "parts") {
			parts = append(parts, Polygon{ragged(t, lon, lat)})
			lat += 0.01
		}
		high := rapid.Bool().Draw(t, "altitude")
		write := func(r Ring) string {
			var s []string
			for _, p := range r {
				a := ""
				if high {
					a = ", 1.5"
				}
				s = append(s, fmt.Sprintf("[%.17g, %.17g%s]", p.Lon, p.Lat, a))
			}
			return "[" + strings.Join(s, ",") + "]"
		}
		var rings []string
		for _, p := range parts {
			rings = append(rings, "["+write(p[0])+"]")
		}
		fields := []string{`"type": "MultiPolygon"`, `"coordinates": [` + strings.Join(rings, ",") + "]", `"bbox": [0, 0, 1, 1]`}
		feature := []string{`"type": "Feature"`, `"properties": {"Bed ": "A", "n": [1, {"x": [[2]]}]}`, `"id": 3`,
			`"geometry": {` + strings.Join(rapid.Permutation(fields).Draw(t, "geometry"), ",") + "}"}
		f := "{" + strings.Join(rapid.Permutation(feature).Draw(t, "feature"), ",") + "}"
		text := `{"features": [` + "\n" + f + `], "type": "FeatureCollection"}`
		r := newReading(files(map[string]string{OutlinesFile: text}), DefaultOptions())
		require.NoError(t, r.listFiles())
		r.found = &findings{}
		r.readOutlines()
		if len(r.found.list) > 0 {
			t.Fatalf("%+v", r.found.list)
		}
		got := r.f.Outlines["A"]
		require.Equal(t, parts, got.Polygons)
		require.Equal(t, 2, got.Line)
	})
}

// Values, their places, and what is wrong with a text.
func TestParseJSON(t *testing.T) {
	deep := func(n int) string { return strings.Repeat("[", n) + strings.Repeat("]", n) }
	_, err := parseJSON(deep(maxNesting))
	assert.NoError(t, err)
	_, err = parseJSON(deep(maxNesting + 1))
	assert.EqualError(t, err, "has more than 64 lists or objects in one another")
	_, err = parseJSON(strings.Repeat("[", 1e6))
	assert.Error(t, err)
	n, err := parseJSON(" {\"a\\u00e9\\\"\" : [ -1.5e3,true , null,[ ] ,\"x\" ] , \"b\":1e999}\n")
	require.NoError(t, err)
	a := n.find("aé\"")
	assert.Equal(t, []float64{-1500}, a.nums())
	assert.Equal(t, []jsonNode{{at: 25, kind: jsonBool}, {at: 32}, {at: 37, kind: jsonArray}, {at: 42, kind: jsonString, value: "x"}}, a.items())
	assert.Equal(t, jsonNode{at: 54, kind: jsonNumber, value: "1e999"}, *n.find("b"))
	for text, want := range map[string]string{"": "ends before its brackets close", `{"a": [1, 2`: "ends before its brackets close",
		"[1] 2": "is not JSON text here: invalid character '2' after top-level value",
		"[1,2}": "is not JSON text here: invalid character '}' after array element",
		"[1, 2": "ends before its brackets close", `"a`: "ends before its brackets close"} {
		_, err := parseJSON(text)
		assert.EqualError(t, err, want, text)
	}
}

// Any text as beds.geojson: reading ends without a panic; every finding lies within the text; what is taken is JSON, and
// its outlines have an area, a box and a centre within their limits and rings that are closed.
func FuzzReadOutlines(f *testing.F) {
	f.Add(collection(square("Skarn", 7, 58, 0.0003), square("Anvik", 179.9999, -58, 0.0003)))
	f.Add(collection(square("Skarn", 7, 89.9999, 0.0001)))
	f.Add(`{"type": "FeatureCollection", "crs": null, "features": [{"type": "Feature", "properties": {"bed": "Anvik"}, "geometry":
		{"type": "MultiPolygon", "coordinates": [[[[0,0],[1,0],[1,1],[0,0]],[[0.5,0.1],[0.6,0.1],[0.6,0.2],[0.5,0.1]]],[[[-180,1],[180,1],[0,90],[-180,1]]]]}}]}`)
	f.Add(`{"features": [1, [2, {"type": 1e999}], null], "type": "FeatureCollection"}`)
	f.Fuzz(func(t *testing.T, text string) {
		texts := bareFolder()
		texts["beds.csv"] = "bed,shore,zone,area_m2,lat,lon\nSkarn,North,lower,1200,58,7\nAnvik,North,mid,,,\n"
		texts[OutlinesFile] = text
		var folder *Folder
		var err error
		thrifty(t, len(text), func() { folder, err = Read(files(texts), smallTable(), DefaultOptions()) })
		ps, ok := errors.AsType[Problems](err)
		if err == nil {
			ps = folder.Doubts
		} else if !ok || len(ps.Faults()) == 0 {
			t.Fatal(err)
		}
		blamed := false
		for _, p := range ps {
			blamed = blamed || p.Severity == Fault && p.File == OutlinesFile
			if p.File == OutlinesFile && (p.Line < 0 || p.Line > strings.Count(text, "\n")+1 || p.Column < 0 || p.Column > len(text)+1) {
				t.Fatalf("%+v", p)
			}
		}
		if !blamed && !json.Valid([]byte(strings.TrimPrefix(text, byteMark))) {
			t.Fatal("taken, and no JSON")
		}
		if folder == nil {
			return
		}
		for bed, o := range folder.Outlines {
			c := o.Centroid
			if !(o.Area > 0 && o.Area < 5.2e14) || !(math.Abs(o.West) <= 180 && math.Abs(o.East) <= 180 && o.South <= o.North) ||
				math.IsNaN(c.Lon) || math.IsNaN(c.Lat) {
				t.Fatalf("%s: %+v", bed, o)
			}
			for _, p := range o.Polygons {
				for _, r := range p {
					if len(r) < 4 || r[0].Lat != r[len(r)-1].Lat || eastward(r[0].Lon, r[len(r)-1].Lon) != 0 {
						t.Fatalf("%s: %v", bed, r)
					}
				}
			}
		}
	})
}

func BenchmarkReadOutlines(b *testing.B) {
	var features []string
	for i := range 2000 {
		features = append(features, square(fmt.Sprint("B", i), 7, 58, 0.0003))
	}
	text := collection(features...)
	fsys := files(map[string]string{OutlinesFile: text})
	for b.Loop() {
		r := newReading(fsys, DefaultOptions())
		if err := r.listFiles(); err != nil {
			b.Fatal(err)
		}
		r.readOutlines()
		if len(r.f.Outlines) != 2000 {
			b.Fatal("not read")
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/10000, "ns/position")
}
