package survey

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFindingsGetPlaces(t *testing.T) {
	text := "\n Bed ,Area m2,notes\n" + // header on line 2
		"A,1,\"two\nlines\",\n" + // line 3
		"\"B, upper\",2,\"x\"\n" + // line 5
		"C,3\n"
	var fs findings
	fs.fault("b.csv", 3, "notes", "", "last")
	fs.fault("b.csv", 5, "area_m2", "mend it", "%d is wrong", 2)
	fs.doubt("b.csv", 5, "bed", "", "odd")
	fs.fault("b.csv", 6, "notes", "", "no such cell")
	fs.fault("b.csv", 6, "depth", "", "no such column")
	fs.fault("b.csv", 99, "bed", "", "no such line")
	fs.fault("a.csv", 0, "", "", "whole file")
	fs.fault("a.csv", 2, "bed", "", "text not kept")
	ps := fs.problems(map[string]*tableText{"b.csv": {text: text}})
	assert.Equal(t, strings.Join([]string{
		"a.csv: whole file",
		"a.csv:2: bed: text not kept",
		"b.csv:3:5: notes: last",
		"b.csv:5:1: warning: bed: odd",
		"b.csv:5:12: area_m2: 2 is wrong",
		"b.csv:6: depth: no such column",
		"b.csv:6: notes: no such cell",
		"b.csv:99: bed: no such line",
	}, "\n"), ps.Error())
	assert.Equal(t, "mend it", ps[4].Hint)
	assert.Len(t, ps.Faults(), 7)
}

// Findings that differ only in what was read are alike; another column, file, severity or wording is another kind.
func TestFindingsFold(t *testing.T) {
	var fs findings
	for i := range 25 {
		fs.fault("a.csv", i+1, "x", "", "%d is wrong", i)
		fs.doubt("a.csv", i+1, "x", "", "%d is wrong", i)
	}
	fs.fault("a.csv", 30, "y", "", "%d is wrong", 3)
	fs.fault("b.csv", 30, "x", "", "%d is wrong", 3)
	fs.fault("a.csv", 30, "x", "", "is wrong")
	ps := fs.problems(nil)
	assert.Len(t, ps, 2*21+3)
	assert.Contains(t, ps.Error(), "a.csv:21: x: ... and 5 more like it")
	assert.Contains(t, ps.Error(), "a.csv:21: warning: x: ... and 5 more like it")
	assert.Len(t, ps.Faults(), 24)
}

func TestDidYouMean(t *testing.T) {
	names := []string{"area_m2", "area_se_m2", "bed", "biomass_g"}
	for name, want := range map[string]string{
		"area": "area_m2", "biomas_g": "biomass_g", "beds": "bed", "bid": "bed", "colour": "", "": "", "biomass": "biomass_g",
	} {
		hint := ""
		if want != "" {
			hint = "did you mean " + want + "?"
		}
		assert.Equal(t, hint, didYouMean(name, names), name)
	}
	assert.Equal(t, 3, editDistance("kitten", "sitting"))
	assert.Equal(t, 4, editDistance("", "four"))
}
