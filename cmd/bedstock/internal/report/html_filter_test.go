package report

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every entry to pick leaves as many rows of the first table as it says, and every row belongs to one bed and one species.
func TestFinderKnowsEveryRow(t *testing.T) {
	html, err := HTML(demoOnce(), demoFigures(), invented)
	require.NoError(t, err)
	all := elements(t, html)
	rows := map[string]int{}
	n := 0
	for _, e := range named(all, "tr") {
		if c := strings.Fields(e.attr["class"]); len(c) == 2 && regexp.MustCompile(`^b\d+$`).MatchString(c[0]) {
			n++
			rows[c[0]]++
			rows[c[1]]++
		}
	}
	require.Positive(t, n)
	picks := 0
	for _, e := range named(all, "option") {
		class := e.attr["value"]
		if class == "" {
			assert.Equal(t, "all: "+strconv.Itoa(n)+" stands", e.text)
			continue
		}
		picks++
		assert.Contains(t, e.text, "("+strconv.Itoa(rows[class])+")")
		id := map[byte]string{'b': "pick-bed", 's': "pick-species"}[class[0]]
		assert.Contains(t, string(html), ".finds:has(#"+id+" option[value="+class+"]:checked) .first tbody tr:not(."+class+") { display: none; }")
	}
	assert.Equal(t, len(rows), picks)
}

func TestNothingToPickFromOneStand(t *testing.T) {
	html, _ := pageOf(t, nothingWeighed(1))
	assert.NotContains(t, string(html), "<select")
}

// Names with markup in them stay text, also in the lists to pick from.
func TestFinderOfHostileNames(t *testing.T) {
	rows := []firstRow{{Bed: `"><option value=x>`, Species: "a", Badges: []badge{{}}}, {Bed: "b", Species: "a", Badges: []badge{{}}}}
	f := finderOf(rows)
	require.NotNil(t, f)
	assert.NotContains(t, string(f.Style), "<")
	assert.Equal(t, "b1 s1", rows[0].Class)
	assert.Equal(t, "b2 s1", rows[1].Class)
}
