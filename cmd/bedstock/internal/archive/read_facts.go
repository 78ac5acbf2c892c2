package archive

import (
	"cmp"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// measure is a kind of measurement that a survey folder has a column for.
type measure uint8

const (
	unknownFact  measure = iota
	coverFact            // percent
	weightFact           // kg
	weightM2Fact         // g/m2
	lengthFact           // cm
	areaFact             // m2
	otherFact            // of bedstock: known, and read elsewhere
)

// plain is a decimal number without sign or power.
var plain = regexp.MustCompile(`^[0-9]+(\.[0-9]+)?$`)

// tell says what a fact is: by its concept in the vocabulary, else by its words, as people write them.
func (f fact) tell() measure {
	switch lastOf(f.concept) {
	case "SDBIOL10":
		return coverFact
	case "OWETBM01":
		return weightFact
	case "SDBIOL05":
		return weightM2Fact
	case "OBSINDLX":
		return lengthFact
	case "AREABEDS":
		return areaFact
	}
	switch f.kind {
	case bedArea.name, stratumArea.name, suitable.name, lowWater.name, soughtFact.name:
		return otherFact
	}
	if f.concept != "" {
		return unknownFact // it is something else
	}
	return f.tellByWords()
}

func (f fact) tellByWords() measure {
	kind := strings.ToLower(f.kind)
	has := func(words ...string) bool {
		for _, w := range words {
			if !strings.Contains(kind, w) {
				return false
			}
		}
		return true
	}
	_, perArea := perM2[unitOf(f.unit)]
	_, mass := grams[unitOf(f.unit)]
	switch {
	case has("dry"), has("ash"):
		return unknownFact
	case has("cover") && percents[unitOf(f.unit)] == 1:
		return coverFact
	case (has("wet") || has("fresh")) && perArea:
		return weightM2Fact
	case (has("wet") || has("fresh")) && mass:
		return weightFact
	case has("length") && (has("frond") || has("plant") || has("thall") || has("blade")):
		return lengthFact
	case has("quadrat", "area"), has("quadrat", "size"), has("area sampled"), has("sample", "area"):
		return areaFact
	}
	return unknownFact
}

// unitOf brings the ways to write a unit to one.
func unitOf(unit string) string {
	u := strings.ToLower(strings.Join(strings.Fields(unit), " "))
	for _, r := range unitWords {
		u = strings.ReplaceAll(u, r[0], r[1])
	}
	return u
}

// unitWords are replaced one after the other.
var unitWords = [][2]string{{"²", "2"}, {"^2", "2"}, {"**2", "2"}, {"square metres", "m2"}, {"square meters", "m2"}, {"square metre", "m2"},
	{"square meter", "m2"}, {"sq m", "m2"}, {"square centimetres", "cm2"}, {"square centimeters", "cm2"}, {"kilograms", "kg"}, {"kilogram", "kg"},
	{"milligrams", "mg"}, {"milligram", "mg"}, {"grams", "g"}, {"gram", "g"}, {"millimetres", "mm"}, {"millimeters", "mm"}, {"centimetres", "cm"},
	{"centimeters", "cm"}, {"metres", "m"}, {"meters", "m"}, {"hectares", "ha"}, {"hectare", "ha"}, {"percentage", "percent"}, {" per ", "/"},
	{"m-2", "/m2"}, {" /", "/"}, {"/ ", "/"}}

// Units as factors of those that are kept.
var (
	grams    = map[string]float64{"kg": 1000, "g": 1, "mg": 0.001}
	perM2    = map[string]float64{"g/m2": 1, "kg/m2": 1000}
	lengths  = map[string]float64{"cm": 1, "mm": 0.1, "m": 100}
	areas    = map[string]float64{"m2": 1, "cm2": 1e-4, "ha": 1e4}
	percents = map[string]float64{"percent": 1, "%": 1}
)

// in is the value in the unit that is kept; not ok where it is no number or the unit is not known.
func (f fact) in(units map[string]float64) (string, bool) {
	return converted(f.value, cmp.Or(f.unit, unitConcepts[lastOf(f.unitConcept)]), units)
}

// unitConcepts are the units of the vocabulary P06.
var unitConcepts = map[string]string{"UPCT": "percent", "KGXX": "kg", "UGRM": "g", "UGMS": "g/m2", "ULCM": "cm", "UXMM": "mm", "ULAA": "m", "UMSQ": "m2"}

// lastOf is the last part of the address of a concept.
func lastOf(concept string) string {
	concept = strings.TrimSuffix(concept, "/")
	return concept[strings.LastIndexByte(concept, '/')+1:]
}

func converted(value, unit string, units map[string]float64) (string, bool) {
	factor, ok := units[unitOf(unit)]
	x, err := strconv.ParseFloat(value, 64)
	if !ok || err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return "", false
	}
	switch {
	case factor == 1 && plain.MatchString(value):
		return value, true
	case factor == 1000 && plain.MatchString(value):
		return thousandfold(value), true
	}
	return number(digits12(x * factor)), true
}

// digits12 drops the rounding error of a product.
func digits12(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 12, 64), 64)
	if err != nil {
		return x
	}
	return y
}

// m2 is the area of a quadrat, empty where it is not given.
func (n *node) m2() string {
	if v, ok := converted(n.size, n.unit, areas); ok {
		return v
	}
	for _, f := range n.facts {
		if f.tell() == areaFact {
			if v, ok := f.in(areas); ok {
				return v
			}
		}
	}
	return ""
}

// valueOf is the value of the fact of that name, and its standard error.
func (n *node) valueOf(q *quantity) (value, se string) {
	for _, f := range n.facts {
		if f.kind == q.name {
			return f.value, f.accuracy
		}
	}
	return "", ""
}
