package survey

import (
	"cmp"
	"slices"
	"strings"
)

// shapeOf is what a feature draws: a bed, or one of its strata.
type shapeOf struct{ bed, stratum string }

// String names it in a sentence.
func (d shapeOf) String() string {
	if d.stratum == "" {
		return "bed " + d.bed
	}
	return "stratum " + d.stratum + " of bed " + d.bed
}

// feature reads one feature and says whether it has the name of a bed.
func (g *outlineReader) feature(f *jsonNode) bool {
	if f.kind != jsonObject || !f.find("type").is("Feature") {
		g.fault(f.at, geoTopHint, "the list of features holds something that is not a feature")
		return false
	}
	bed, at, ok := g.bed(f)
	if !ok {
		return false
	}
	stratum, at, ok := g.stratum(f, at)
	if !ok {
		g.refused[bed] = true
		return true
	}
	what := shapeOf{bed, stratum}
	line, _ := g.place(f.at)
	if first, again := g.seen[what]; again {
		g.refused[bed] = true
		g.fault(at, "keep one feature a bed, or a stratum; several parts are one MultiPolygon", "%s is drawn again; first in line %d", what, first)
		return true
	}
	g.seen[what] = line
	polygons, ok := g.geometry(f, what)
	switch {
	case !ok:
		g.refused[bed] = true
	case stratum == "":
		g.outlines[bed] = newOutline(polygons, line)
	default:
		g.names[what] = at
		if g.strata[bed] == nil {
			g.strata[bed] = map[string]Outline{}
		}
		g.strata[bed][stratum] = newOutline(polygons, line)
	}
	return true
}

// bed is the name of a feature's bed and where it stands. The case of the property's name does not count, and a number
// is a name too.
func (g *outlineReader) bed(f *jsonNode) (string, int32, bool) {
	const hint = "give every feature the property bed, with the name that the bed has in beds.csv"
	p := f.find("properties")
	if p == nil || p.kind != jsonObject {
		g.fault(f.at, hint, "the feature has no properties: its bed is not known")
		return "", 0, false
	}
	v := p.property("bed")
	if v == nil {
		g.fault(p.at, hint, `the feature has no property "bed"`)
		return "", 0, false
	}
	name := strings.TrimSpace(v.text())
	switch {
	case v.kind != jsonString && v.kind != jsonNumber:
		g.fault(v.at, hint, "bed: is %s, not a name", v.kind)
	case name == "":
		g.fault(v.at, hint, "bed: is blank")
	case len(g.beds) > 0 && !slices.Contains(g.beds, name):
		g.fault(v.at, cmp.Or(calledBed(name, g.listed), meant(name, g.beds), nearlyCalledBed(name, g.listed), "add the bed to beds.csv, or take the feature out"), "bed: %q is not a bed of beds.csv", name)
	default:
		return name, v.at, true
	}
	return "", 0, false
}

// stratum is the name of the stratum that a feature draws and where it stands; "" and the place of its bed where it draws
// the bed. Its name is compared when strata.csv is read.
func (g *outlineReader) stratum(f *jsonNode, bed int32) (string, int32, bool) {
	v := f.find("properties").property("stratum")
	if v == nil || v.kind == jsonNull {
		return "", bed, true
	}
	name := strings.TrimSpace(v.text())
	if v.kind != jsonString && v.kind != jsonNumber {
		g.fault(v.at, "write the name that the stratum has in strata.csv; leave it out where the feature is the bed", "stratum: is %s, not a name", v.kind)
		return "", 0, false
	}
	if name == "" {
		return "", bed, true
	}
	return name, v.at, true
}

// property is a member whose name may be written in any case; nil where there is none.
func (n *jsonNode) property(name string) *jsonNode {
	for i := range n.fields() {
		if foldHeader(n.fields()[i].name) == name {
			return &n.fields()[i].value
		}
	}
	return nil
}
