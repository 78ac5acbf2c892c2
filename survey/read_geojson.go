package survey

import (
	"cmp"
	"errors"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"
)

// OutlinesFile draws the beds.
const OutlinesFile = "beds.geojson"

const (
	geoSaveHint = "export the outlines as GeoJSON: UTF-8 text, longitude and latitude on WGS 84 (EPSG:4326)"
	geoTopHint  = `write {"type": "FeatureCollection", "features": [...]} with one feature a bed`
)

// readOutlines reads beds.geojson, a FeatureCollection of RFC 7946 with one Polygon or MultiPolygon a bed, named by its
// property bed, and one a stratum where it has the property stratum as well. Rings may be wound either way. It needs the
// beds.
//
// References:
//   - Butler, H. et al.: The GeoJSON Format. RFC 7946, IETF (2016)
func (r *reading) readOutlines() {
	entry := r.files[OutlinesFile]
	if entry == nil || r.err != nil {
		return
	}
	g := &outlineReader{found: r.found, outlines: map[string]Outline{}, refused: map[string]bool{}, seen: map[shapeOf]int{},
		strata: map[string]map[string]Outline{}, names: map[shapeOf]int32{}}
	r.outlines = g
	if !entry.Type().IsRegular() {
		r.found.fault(OutlinesFile, 0, "", plainHint, "is not a plain file")
		return
	}
	text, from, err := readText(r.fsys, OutlinesFile, r.found)
	if err != nil {
		if !errors.Is(err, errRefused) {
			r.err = err
		}
		return
	}
	r.addSource(from)
	g.text = strings.TrimPrefix(text, byteMark)
	r.texts[OutlinesFile] = &tableText{text: g.text}
	for _, b := range r.f.Beds {
		g.listed, g.beds = append(g.listed, b), append(g.beds, b.ID)
	}
	g.whole = g.plain() && g.read()
	if len(g.outlines) > 0 {
		r.f.Outlines = g.outlines
	}
	if len(g.strata) > 0 {
		r.f.StratumOutlines = g.strata
	}
}

// meantOutlines says whether a file was perhaps meant to be beds.geojson: outlines in another format or under another
// name.
func meantOutlines(name string) bool {
	stem, ending, _ := strings.Cut(strings.ToLower(name), ".")
	if name == OutlinesFile {
		return false
	}
	return ending == "geojson" || stem == "beds" &&
		slices.Contains([]string{"json", "geojson.txt", "json.txt", "geojson.json", "topojson", "kml", "kmz", "gpx", "gpkg", "shp"}, ending)
}

// outlineReader is beds.geojson while it is being read.
type outlineReader struct {
	text     string
	found    *findings
	listed   []Bed    // of beds.csv
	beds     []string // names of all beds, sorted; empty where they could not be read
	starts   []int    // where each line begins
	outlines map[string]Outline
	strata   map[string]map[string]Outline // by bed and stratum
	refused  map[string]bool               // beds of which a feature has a fault
	seen     map[shapeOf]int               // line of the first feature of each
	names    map[shapeOf]int32             // where the stratum of a feature is named
	whole    bool                          // every feature could be told apart and has the name of a bed
}

// place is line and byte column of an offset.
func (g *outlineReader) place(at int32) (line, column int) {
	if g.starts == nil {
		g.starts = []int{0}
		for i := range len(g.text) {
			if g.text[i] == '\n' {
				g.starts = append(g.starts, i+1)
			}
		}
	}
	line = sort.SearchInts(g.starts, int(at)+1)
	return line, int(at) - g.starts[line-1] + 1
}

// fault notes a mistake at an offset.
func (g *outlineReader) fault(at int32, hint, format string, args ...any) {
	g.note(at, Fault, hint, format, args...)
}

// doubt notes a warning at an offset.
func (g *outlineReader) doubt(at int32, hint, format string, args ...any) {
	g.note(at, Doubt, hint, format, args...)
}

func (g *outlineReader) note(at int32, s Severity, hint, format string, args ...any) {
	line, column := g.place(at)
	g.found.note(finding{file: OutlinesFile, line: line, at: column, severity: s, hint: hint}, format, args...)
}

// plain says whether the file is UTF-8 text that is not empty.
func (g *outlineReader) plain() bool {
	t := g.text
	switch {
	case strings.HasPrefix(t, "\xff\xfe"), strings.HasPrefix(t, "\xfe\xff"):
		g.found.fault(OutlinesFile, 0, "", geoSaveHint, "is UTF-16 text, not UTF-8")
	case strings.HasPrefix(t, "PK\x03\x04"):
		g.found.fault(OutlinesFile, 0, "", geoSaveHint, "is a zip file, not GeoJSON text")
	case strings.TrimSpace(t) == "":
		g.found.fault(OutlinesFile, 0, "", "export the outlines again, or remove the file", "is empty")
	case !utf8.ValidString(t):
		i := invalidByte(t)
		g.fault(int32(i), geoSaveHint, "holds the byte %#x: not UTF-8 text", t[i])
	default:
		return true
	}
	return false
}

// read reads the text and says whether all of its features have a bed.
func (g *outlineReader) read() bool {
	root, err := parseJSON(g.text)
	if err != nil {
		g.fault(err.(*jsonError).at, geoSaveHint, "%s", err.Error())
		return false
	}
	kind, features := root.find("type"), root.find("features")
	switch {
	case root.kind != jsonObject:
		g.fault(root.at, geoTopHint, "holds %s and no FeatureCollection", root.kind)
		return false
	case !kind.is("FeatureCollection"):
		at, what := root.at, "has no type"
		if kind != nil {
			at, what = kind.at, "is of the type "+cmp.Or(quoted(kind.text()), kind.kind.String())
		}
		g.fault(at, geoTopHint, "%s: not a FeatureCollection", what)
		return false
	case features == nil || features.kind != jsonArray || len(features.nums()) > 0:
		g.fault(root.at, geoTopHint, "has no list of features")
		return false
	}
	if !g.system(root.find("crs")) {
		return false
	}
	if len(features.items()) == 0 {
		g.doubt(features.at, "", "has no feature: nothing is drawn")
	}
	all := true
	for i := range features.items() {
		all = g.feature(&features.items()[i]) && all
	}
	return all
}

// quoted is a text in quotes, empty where there is none.
func quoted(s string) string {
	if s == "" {
		return ""
	}
	return strconv.Quote(s)
}

// system looks at the member crs, which RFC 7946 has done away with, and says whether positions are longitude and
// latitude on WGS 84.
func (g *outlineReader) system(crs *jsonNode) bool {
	if crs == nil {
		return true
	}
	name := crs.find("properties").find("name")
	switch {
	case crs.kind == jsonNull:
		g.doubt(crs.at, "remove the member crs", "says that the reference system is not known: longitude and latitude on WGS 84 are taken")
	case name == nil || name.kind != jsonString:
		g.fault(crs.at, geoSaveHint, "has a member crs without a name: the reference system is not known")
		return false
	case strings.HasSuffix(strings.ToUpper(name.text()), "CRS84"):
	case slices.Contains([]string{"EPSG:4326", "URN:OGC:DEF:CRS:EPSG::4326"}, strings.ToUpper(name.text())):
		g.doubt(name.at, "remove the member crs: GeoJSON has no other order", "names the reference system %q, in which latitude may come first: "+
			"positions are read as longitude, latitude", name.text())
	default:
		g.fault(name.at, geoSaveHint, "is in the reference system %q, not in longitude and latitude on WGS 84", name.text())
		return false
	}
	return true
}
