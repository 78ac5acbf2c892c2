package survey

import (
	"slices"
	"strings"
)

// mistaken returns the column that an unknown one was perhaps meant to be: one that the header lacks and that bears on
// the results, with another unit, under another usual name, or off by a letter or two. It is nil where there is none.
func (r *rowReader) mistaken(name string) *column {
	stem := columnStem(name)
	for i := range r.spec.columns {
		c := &r.spec.columns[i]
		if slices.Contains(r.header, c.name) || !r.spec.matters(c) {
			continue
		}
		if own := columnStem(c.name); stem == own || slices.Contains(otherStems[own], stem) || slip(name, c.name) {
			return c
		}
	}
	return nil
}

// matters says whether a column bears on the results; remarks do not.
func (t *tableSpec) matters(c *column) bool {
	return c.kind != textKind || c.required || slices.Contains(t.key, c.name) ||
		slices.Contains([]string{"shore", "stratum", "transect", "permit", "protocol", "group"}, c.name)
}

// otherStems are other usual names of columns, without their units.
var otherStems = map[string][]string{
	"biomass": {"weight", "wet_weight", "wet", "wetweight", "wet_biomass", "mass"},
	"wet":     {"weight", "wet_weight", "wetweight", "biomass", "harvest"},
	"cover":   {"percent_cover", "pct_cover", "coverage", "%_cover", "percentage_cover"},
	"frond":   {"length", "frond_length", "mean_length"},
	"quadrat": {"quadrat_area", "quadrat_size"},
	"area":    {"bed_area", "stratum_area", "surface"},
	"plot":    {"plot_area", "plot_size"},
	"lat":     {"latitude"},
	"lon":     {"longitude", "long", "lng"},
}

// columnStem is the name of a column without the unit at its end.
func columnStem(name string) string {
	units := []string{"g", "kg", "t", "grams", "m2", "cm2", "ha", "m", "cm", "mm", "pct", "percent", "%", "(g)", "(kg)",
		"(m2)", "(cm)", "(%)", "sqm"}
	for {
		stem, unit, ok := cutLast(name, "_")
		if !ok || !slices.Contains(units, unit) {
			return name
		}
		name = stem
	}
}

func cutLast(s, sep string) (before, after string, ok bool) {
	i := strings.LastIndex(s, sep)
	if i < 0 {
		return s, "", false
	}
	return s[:i], s[i+len(sep):], true
}

// slip says whether a name is another but for a slip of the keyboard. Short names are too near one another.
func slip(name, other string) bool {
	if len(other) < 5 {
		return swapped(name, other)
	}
	return swapped(name, other) || editDistance(name, other) <= min(2, len(other)/5)
}
