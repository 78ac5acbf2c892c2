package survey

import (
	"slices"
	"strings"
)

// unit is a unit that a file may have: so many of the base unit of its kind. All factors are exact: powers of ten, and
// the international yard and pound (1959).
type unit struct {
	name   string
	kind   string
	factor string // in g, cm, m2 or percent
}

var units = []unit{
	{"mg", "weight", "0.001"}, {"g", "weight", "1"}, {"kg", "weight", "1000"}, {"t", "weight", "1000000"},
	{"oz", "weight", "28.349523125"}, {"lb", "weight", "453.59237"},
	{"mm", "length", "0.1"}, {"cm", "length", "1"}, {"dm", "length", "10"}, {"m", "length", "100"},
	{"in", "length", "2.54"}, {"ft", "length", "30.48"},
	{"mm2", "area", "0.000001"}, {"cm2", "area", "0.0001"}, {"dm2", "area", "0.01"}, {"m2", "area", "1"},
	{"are", "area", "100"}, {"ha", "area", "10000"}, {"km2", "area", "1000000"},
	{"ft2", "area", "0.09290304"}, {"acre", "area", "4046.8564224"},
	{"%", "share", "1"}, {"fraction", "share", "100"},
}

// columnUnits are our units, as the columns name them: what a number of the base unit is multiplied by.
var columnUnits = map[string]struct{ kind, factor string }{
	"g": {"weight", "1"}, "kg": {"weight", "0.001"}, "cm": {"length", "1"}, "m": {"length", "0.01"},
	"m2": {"area", "1"}, "percent": {"share", "1"},
}

// findUnit is the unit of that name, without regard to case and with ² for 2.
func findUnit(name string) *unit {
	name = strings.ReplaceAll(strings.ToLower(strings.TrimSpace(name)), "²", "2")
	switch name {
	case "percent", "pct":
		name = "%"
	case "sqm":
		name = "m2"
	}
	i := slices.IndexFunc(units, func(u unit) bool { return u.name == name })
	if i < 0 {
		return nil
	}
	return &units[i]
}

// unitsOf lists the units of a kind, as a hint does.
func unitsOf(kind string) string {
	var names []string
	for _, u := range units {
		if u.kind == kind {
			names = append(names, u.name)
		}
	}
	return strings.Join(names, ", ")
}

// unitFactor is what a number in the file's unit is multiplied by to be in ours. A flaw says why it cannot be.
func unitFactor(c *column, name string) (string, *flaw) {
	own, known := columnUnits[c.unit]
	if !known {
		return "", newFlaw("leave unit out", "%s has no unit to convert from %q", c.name, name)
	}
	u := findUnit(name)
	switch {
	case u == nil:
		return "", newFlaw("units of "+own.kind+": "+unitsOf(own.kind), "unit %q of %s is not known", name, c.name)
	case u.kind != own.kind:
		return "", newFlaw("units of "+own.kind+": "+unitsOf(own.kind), "unit %q is a unit of %s; %s is in %s, a unit of %s",
			name, u.kind, c.name, c.unit, own.kind)
	}
	return product(u.factor, own.factor), nil
}
