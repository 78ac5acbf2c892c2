package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

// Warnings that differ in their numbers alone become one, with the smallest and the largest; years, dates and labels
// tell warnings apart.
func TestNotesAlike(t *testing.T) {
	var n noter
	n.add("A", "only 3 fronds (of 5 %), weigh more")
	n.add("B", "only 12.5 fronds (of 5 %), weigh more")
	n.add("C", "only 4 fronds (of 5 %), weigh more", "no survey 2023", "quadrat T1Q2: odd")
	n.add("D", "no survey 2025", "quadrat T1Q3: odd", "cut of 2025-06-01", "only 9 fronds (of 6 %), weigh more")
	n.add("E", "cut of 2025-06-02")
	assert.Equal(t, []string{
		"only 3 to 12.5 fronds (of 5 to 6 %), weigh more (A and 3 more)",
		"no survey 2023 (C)",
		"quadrat T1Q2: odd (C)",
		"no survey 2025 (D)",
		"quadrat T1Q3: odd (D)",
		"cut of 2025-06-01 (D)",
		"cut of 2025-06-02 (E)",
	}, n.alike())
	assert.Empty(t, (&noter{}).alike())
}

// A reason of very many parts is shortened; one without words is left out.
func TestAddReason(t *testing.T) {
	var n noter
	n.addReason("A", "a; b; c; d; e; f; g; h", "weigh some")
	n.addReason("B", "", "")
	assert.Equal(t, []string{"a; b; c; d; e; f; 2 more reasons (--format csv). Next time: weigh some (A)"}, n.lines())
}

// Of a conversion from outside only what is the same for many rows is left.
func TestOutside(t *testing.T) {
	assert.Equal(t, []string{"leans on a conversion from outside: weight per cover from species", "other (3)"},
		outside([]string{"bed B: leans on a conversion from outside: weight per cover from species (9 quadrats weighed on 2 beds)", "other (3)"}))
}

// Names that hold a slash themselves are found; the longest species that fits is taken.
func TestAskedWithSlashes(t *testing.T) {
	f := &survey.Folder{Beds: []survey.Bed{{ID: "A"}, {ID: "A/B"}},
		Surveys: []survey.Declared{{Bed: "A/B", Sought: []string{"Fucus", "Fucus/hybrid", "B/Ulva"}}}}
	for what, want := range map[string][3]string{
		"A/Fucus":                {"A", "Fucus", ""},
		"a/b/fucus":              {"A/B", "Fucus", ""},
		"A/B/Fucus/hybrid":       {"A/B", "Fucus/hybrid", ""},
		"A/B/Fucus/2030":         {"A/B", "Fucus", "2030"},
		"A/Fucus/hybrid/spring/": {"A", "Fucus/hybrid", "spring/"},
		"A/B/Ulva":               {"A", "B/Ulva", ""},
		"A/Fucus/":               {"A", "Fucus", ""},
	} {
		bed, species, label, err := asked("--explain", what, f)
		require.NoError(t, err, what)
		assert.Equal(t, want, [3]string{bed, species, label}, what)
	}
	for _, what := range []string{"", "/", "A", "A/", "A/nothing", "C/Fucus", "/Fucus", "A//Fucus"} {
		_, _, _, err := asked("--explain", what, f)
		var usage usageError
		assert.ErrorAs(t, err, &usage, what)
	}
}

// Single quadrats without the species are joined where they are alike; transects never are.
func TestFolded(t *testing.T) {
	u := func(label, stratum string, y, z float64) survey.UnitPart {
		return survey.UnitPart{Label: label, Stratum: stratum, M2: 0.25, KgM2: y, Z: z}
	}
	units := []survey.UnitPart{u("1", "low", 2, 30), u("2", "low", 0, -15), u("3", "low", 0, -15), u("4", "high", 0, 0)}
	got := folded(units, "quadrat")
	require.Len(t, got, 3)
	assert.Equal(t, []string{"1", "2 without it, each", "4"}, []string{got[0].Label, got[1].Label, got[2].Label})
	assert.Len(t, folded(units, "transect"), 4)
}
