package model

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/survey"
)

// looseLandings is a folder of so many beds on two shores, of which the first moved to the other, with so many landings
// without a bed or species: of no place, of a shore, of a bed, by permits that have a part in some beds, in seasons and not.
func looseLandings(t testing.TB, beds, landings int) *Assessment {
	var bed, harvest, permits strings.Builder
	bed.WriteString("bed,shore,area_m2,from\n")
	harvest.WriteString("bed,date,species,wet_kg,permit,origin\n")
	permits.WriteString("permit,bed,species,share\n")
	for i := range beds {
		fmt.Fprintf(&bed, "bed%02d,%s,4000,\n", i, []string{"North", "South"}[i%2])
		fmt.Fprintf(&harvest, "bed%02d,2030-04-01,%s,%d,P%d,\n", i, dulse, 100+i, i%3)
		fmt.Fprintf(&permits, "P%d,bed%02d,,0.5\n", i%3, i)
	}
	bed.WriteString("bed00,South,4000,2031-01-01\n")
	for i := range landings {
		at := []string{"", "North", "South", "bed01", ""}[i%5]
		species := []string{"", "", "mixed", "", egg}[i%5]
		fmt.Fprintf(&harvest, "%s,%d-%02d-%02d,%s,%d,%s,%s\n", at, 2030+i%2, 1+i%12, 1+i/12%28, species, i%7, []string{"P1", "", "P9"}[i%3], []string{"", "cast"}[i%8/7])
	}
	files := fstest.MapFS{"rules.toml": {Data: []byte("as_of = 2031-12-31\n" + ownSeasons[len("as_of = 2026-09-20\n"):])}}
	for name, text := range map[string]string{"beds.csv": bed.String(), "harvest.csv": harvest.String(), "permits.csv": permits.String(),
		"quadrats.csv": "bed,date,quadrat,quadrat_m2,species,cover_pct\nbed00,2030-07-15,1,0.25," + dulse + ",20\nbed00,2030-07-15,2,0.25," + dulse + ",30\n"} {
		files[name] = &fstest.MapFile{Data: []byte(text)}
	}
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems)
	folder, rules, err := Load(files, table, LoadOptions{})
	require.NoError(t, err)
	require.Len(t, folder.Unallocated, landings)
	return &Assessment{Config: Config{Rules: rules}, Folder: folder}
}

// Landings of a kind are looked up together: the rows are those that each gives by itself.
func TestKindsOfLandingsAreNoMoreThanAShortcut(t *testing.T) {
	a := looseLandings(t, 7, 400)
	rows, outside := a.Unallocated()
	some := a.mayBeOfAny()
	require.Greater(t, len(rows), 8)
	require.NotEmpty(t, outside)
	for i := range a.Folder.Unallocated {
		a.Folder.Unallocated[i].Kind = 0
	}
	assert.Equal(t, some, a.mayBeOfAny())
	apart, outsideApart := a.Unallocated()
	for _, list := range [][]LedgerUnallocated{rows, apart} {
		for i := range list {
			for j := range list[i].Rows {
				list[i].Rows[j].Kind = 0
			}
		}
	}
	for i := range outside {
		outside[i].Kind = 0
	}
	assert.Equal(t, apart, rows)
	assert.Equal(t, outsideApart, outside)
}

// However many landings there are, the stands are gone through once for each kind, and the rest is a step a landing.
func TestUnallocatedGrowsWithTheLandings(t *testing.T) {
	work := func(landings int) (kinds int, allocs float64) {
		a := looseLandings(t, 6, landings)
		b := newBook(a)
		b.unallocated(b.pairs())
		return b.kindsMade, testing.AllocsPerRun(1, func() { a.Unallocated() })
	}
	few, one := work(1000)
	_, two := work(2000)
	many, four := work(4000)
	assert.Equal(t, few, many)
	assert.Less(t, few, 40)
	assert.LessOrEqual(t, (four-two)/(two-one), 2.1, "2 is linear, 4 quadratic")
}

func BenchmarkUnallocated(b *testing.B) {
	for _, landings := range []int{2000, 8000} {
		b.Run(fmt.Sprint(landings), func(b *testing.B) {
			a := looseLandings(b, 200, landings)
			for b.Loop() {
				a.Unallocated()
			}
		})
	}
}
