package archive

import (
	"encoding/xml"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// element is any XML element; it knows nothing of the structs that wrote it.
type element struct {
	XMLName  xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Children []element  `xml:",any"`
	Text     string     `xml:",chardata"`
}

func parseXML(t *testing.T, text []byte) element {
	var e element
	require.NoError(t, xml.Unmarshal(text, &e))
	return e
}

func (e element) attr(name string) string {
	i := slices.IndexFunc(e.Attrs, func(a xml.Attr) bool { return a.Name.Local == name })
	if i < 0 {
		return ""
	}
	return e.Attrs[i].Value
}

func (e element) all(name string) (out []element) {
	for _, c := range e.Children {
		if c.XMLName.Local == name {
			out = append(out, c)
		}
	}
	return out
}

// at follows a path of single elements.
func (e element) at(t *testing.T, path string) element {
	for name := range strings.SplitSeq(path, "/") {
		in := e.all(name)
		require.Len(t, in, 1, "%s in %s", name, path)
		e = in[0]
	}
	return e
}

// metaRules checks meta.xml against the rules of the Darwin Core text guide (TDWG 2009, revised 2023,
// http://rs.tdwg.org/dwc/terms/guides/text/, sections 2 and 3; from memory, the schema tdwg_dwc_text.xsd was not at hand):
// the root is archive in the namespace of the guide; one core, then extensions; each names its row type by a URI, its
// files first, then id (core) or coreid (extension), then fields; an index is a whole number from 0, none mapped twice; a
// term is a URI and stands once; a field has an index or a default; ignoreHeaderLines is a whole number.
func metaRules(t *testing.T, text []byte, files map[string][]byte) {
	root := parseXML(t, text)
	assert.Equal(t, xml.Name{Space: "http://rs.tdwg.org/dwc/text/", Local: "archive"}, root.XMLName)
	assert.Contains(t, files, root.attr("metadata"))
	for i, table := range root.Children {
		want, key := "extension", "coreid"
		if i == 0 {
			want, key = "core", "id"
		}
		assert.Equal(t, want, table.XMLName.Local)
		assert.Regexp(t, `^https?://`, table.attr("rowType"))
		assert.Equal(t, "UTF-8", table.attr("encoding"))
		assert.Equal(t, "files", table.Children[0].XMLName.Local)
		assert.Equal(t, key, table.Children[1].XMLName.Local)
		file := table.at(t, "files/location").Text
		require.Contains(t, files, file)
		columns := strings.Count(strings.SplitN(string(files[file]), "\n", 2)[0], "\t") + 1
		used := map[int]bool{index(t, table.Children[1]): true}
		terms := map[string]bool{}
		for _, f := range table.Children[2:] {
			assert.Equal(t, "field", f.XMLName.Local)
			assert.Regexp(t, `^https?://[^ ]+$`, f.attr("term"))
			assert.False(t, terms[f.attr("term")], f.attr("term"))
			terms[f.attr("term")] = true
			at := index(t, f)
			assert.False(t, used[at], "index %d", at)
			used[at] = true
			assert.Less(t, at, columns)
		}
		skip, err := strconv.Atoi(table.attr("ignoreHeaderLines"))
		assert.NoError(t, err)
		assert.Equal(t, 1, skip)
		for n, line := range strings.Split(strings.TrimSuffix(string(files[file]), "\n"), "\n") {
			assert.Equal(t, columns-1, strings.Count(line, "\t"), "%s:%d", file, n+1)
		}
	}
}

func index(t *testing.T, e element) int {
	n, err := strconv.Atoi(e.attr("index"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, n, 0)
	return n
}

// emlOrder is the order of the elements of dataset in EML 2.2.0 (Jones et al. 2019, eml-resource.xsd and eml-dataset.xsd;
// from memory, the schema was not at hand), as far as they are used here; those with true must be there.
var emlOrder = []struct {
	name string
	must bool
}{
	{"alternateIdentifier", false}, {"title", true}, {"creator", true}, {"pubDate", false}, {"language", false}, {"abstract", false},
	{"keywordSet", false}, {"intellectualRights", false}, {"coverage", false}, {"contact", true}, {"methods", false},
}

// emlRules checks eml.xml against the rules of EML 2.2.0, from the same source: packageId and system on the root, in its
// namespace, dataset not; title, creator and contact there; elements in their order; a party with a name; a date
// YYYY-MM-DD; bounds within the globe, the description first; a method step with a description.
func emlRules(t *testing.T, text []byte) {
	root := parseXML(t, text)
	assert.Equal(t, xml.Name{Space: "https://eml.ecoinformatics.org/eml-2.2.0", Local: "eml"}, root.XMLName)
	assert.NotEmpty(t, root.attr("packageId"))
	assert.NotEmpty(t, root.attr("system"))
	set := root.at(t, "dataset")
	assert.Empty(t, set.XMLName.Space)
	place := -1
	for _, c := range set.Children {
		i := slices.IndexFunc(emlOrder, func(o struct {
			name string
			must bool
		}) bool {
			return o.name == c.XMLName.Local
		})
		require.GreaterOrEqual(t, i, 0, c.XMLName.Local)
		assert.GreaterOrEqual(t, i, place, "%s stands too late", c.XMLName.Local)
		place = i
	}
	for _, o := range emlOrder {
		assert.False(t, o.must && len(set.all(o.name)) == 0, o.name)
	}
	for _, p := range append(set.all("creator"), set.all("contact")...) {
		assert.NotEmpty(t, strings.TrimSpace(p.at(t, "organizationName").Text))
	}
	assert.Regexp(t, `^\d{4}-\d{2}-\d{2}$`, set.at(t, "pubDate").Text)
	if cover := set.all("coverage"); len(cover) == 1 {
		coverageRules(t, cover[0])
	}
	for _, step := range set.at(t, "methods").all("methodStep") {
		assert.NotEmpty(t, step.at(t, "description").all("para"))
	}
}

func coverageRules(t *testing.T, cover element) {
	var names []string
	for _, c := range cover.Children {
		names = append(names, c.XMLName.Local)
	}
	assert.Subset(t, []string{"geographicCoverage", "temporalCoverage", "taxonomicCoverage"}, names)
	for _, g := range cover.all("geographicCoverage") {
		assert.Equal(t, "geographicDescription", g.Children[0].XMLName.Local)
		var bounds []float64
		for _, side := range []string{"west", "east", "north", "south"} {
			x, err := strconv.ParseFloat(g.at(t, "boundingCoordinates/"+side+"BoundingCoordinate").Text, 64)
			assert.NoError(t, err)
			bounds = append(bounds, x)
		}
		assert.LessOrEqual(t, bounds[0], bounds[1])
		assert.GreaterOrEqual(t, bounds[2], bounds[3])
		assert.LessOrEqual(t, bounds[2], 90.0)
	}
	for _, c := range cover.at(t, "taxonomicCoverage").all("taxonomicClassification") {
		assert.NotEmpty(t, c.at(t, "taxonRankValue").Text)
	}
}

// Both descriptions keep the rules, of surveys with and without positions, outlines and texts that must be escaped.
func TestDescriptionsKeepTheRules(t *testing.T) {
	nowhere := with(small(), "beds.csv", "bed,name,area_m2\nb 1,\"A <b> & \"\"c\"\"\",1000\nb2,,500\n")
	drawn := with(small(), "beds.geojson", outline)
	named := with(small(), "rules.toml", "as_of = 2025-01-01\n"+strings.Replace(namedRules, `"Which shore,`, `"<Which> & \"shore\",`, 1))
	for i, texts := range []map[string]string{small(), nowhere, drawn, named} {
		a, _ := pack(t, folderOf(texts), plainOptions())
		sheets := a.sheets()
		files := map[string][]byte{"eml.xml": a.emlXML()}
		for _, s := range sheets {
			files[s.file] = s.text(t)
		}
		metaRules(t, metaXML(sheets), files)
		emlRules(t, a.emlXML())
		assert.Equal(t, i == 1, len(parseXML(t, a.emlXML()).at(t, "dataset/coverage").all("geographicCoverage")) == 0, fmt.Sprint(i))
	}
}

const outline = `{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {"bed": "b2", "owner": "A. Nobody"},
"geometry": {"type": "Polygon", "coordinates": [[[-30.2, 50.1], [-30.2, 50.101], [-30.199, 50.101], [-30.199, 50.1], [-30.2, 50.1]]]}}]}`

// An outline goes out as well-known text and comes back as it was; its bed without a point gets the centre.
func TestOutlines(t *testing.T) {
	texts := with(small(), "beds.geojson", outline)
	a, zipped := pack(t, folderOf(texts), plainOptions())
	var row []string
	for _, r := range a.sheets()[0].all() {
		if strings.HasSuffix(r[0], "run:b2:2024-08-01") {
			row = r
		}
	}
	assert.Equal(t, "POLYGON ((-30.2 50.1, -30.199 50.1, -30.199 50.101, -30.2 50.101, -30.2 50.1))", row[16])
	assert.Equal(t, []string{"50.1005", "-30.1995", "EPSG:4326"}, row[12:15])
	// half the diagonal of 111.2 m by 71.3 m, on the sphere of the earth's mean radius
	assert.Equal(t, "67", row[15])
	for _, z := range [][]byte{zipped, strip(t, zipped)} {
		r := open(t, z)
		assert.NotContains(t, string(r.Files["beds.geojson"]), "Nobody")
		f, _ := load(t, folderOf(texts))
		g, _ := load(t, asFS(r))
		assert.Equal(t, f.Outlines["b2"].Polygons, g.Outlines["b2"].Polygons)
	}
}

// What is measured is named by concepts of one form, and no species by its name in them.
func TestConcepts(t *testing.T) {
	for _, q := range []*quantity{cover, wetWeight, wetPerM2, length, area, weighedM2, bedArea, stratumArea, suitable, lowWater} {
		for _, id := range []string{q.what, q.unitID} {
			assert.Regexp(t, regexp.MustCompile(`^$|^http://vocab\.nerc\.ac\.uk/collection/P0[16]/current/[A-Z0-9]{4,8}/$`), id)
		}
		assert.Equal(t, q.unit == "", q.unitID == "", q.name)
	}
}
