package survey

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// landingsOf reads harvest rows of a folder with two beds on one shore and one on another, of two permits.
func landingsOf(t *testing.T, rows ...string) *Folder {
	t.Helper()
	found := &findings{}
	f := readTexts(t, found, map[string]string{
		"beds.csv":      "bed,shore,area_m2\nskerry,West,100\nholm,West,100\nstack,East,100\n",
		"harvest.csv":   "bed,date,date_to,species,wet_kg,origin,permit\n" + strings.Join(rows, "\n") + "\n",
		"quadrats.csv":  "bed,date,quadrat,quadrat_m2,species,cover_pct\nskerry,2030-03-01,1,0.25,Fucus serratus,50\nskerry,2030-03-01,1,0.25,Palmaria palmata,50\n",
		"permits.csv":   "permit,bed,species,share\nA,skerry,Fucus serratus,1\nA,stack,,1\n",
		"decisions.csv": "bed,species,season,from,to,permit,kg,decided_on\nholm,Fucus serratus,spring,2030-03-01,2030-05-01,A,10,2030-02-01\n",
	})
	require.Empty(t, found.list)
	return f
}

// concerned are the stands that a landing may be from.
func concerned(u *Unallocated) string {
	var out []string
	for _, bed := range []string{"skerry", "holm", "stack"} {
		for _, species := range []string{"Fucus serratus", "Palmaria palmata"} {
			if u.Concerns(bed, species) {
				out = append(out, bed+" "+species[:1])
			}
		}
	}
	return strings.Join(out, ", ")
}

// Worked by hand: what the bed, the shore, the species and the permit of a row rule out.
func TestWhereALandingMayBeFrom(t *testing.T) {
	for row, want := range map[string]string{
		",2030-04-01,,,5,,":                        "skerry F, skerry P, holm F, holm P, stack F, stack P",
		"mixed,2030-04-01,,Fucus serratus,5,,":     "skerry F, holm F, stack F",
		"skerry,2030-04-01,,Mixed,5,,":             "skerry F, skerry P",
		"west,2030-04-01,,various,5,,":             "skerry F, skerry P, holm F, holm P",
		"East,2030-04-01,,Palmaria palmata,5,,":    "stack P",
		",2030-04-01,,,5,,A":                       "skerry F, holm F, stack F, stack P", // holm by the decision
		"West,2030-04-01,,?,5,,A":                  "skerry F, holm F",
		",2030-04-01,,Palmaria palmata,5,,A":       "stack P",
		"holm,2030-04-01,,mixed,5,,A":              "holm F",
		"skerry,2030-04-01,,-,5,,B":                "skerry F, skerry P", // permits.csv does not list it
		"West,2030-04-01,,Palmaria palmata,5,,A":   "skerry P, holm P",   // none of its stands: it limits nothing
		"unknown,2030-04-01,,fucus  SERRATUS,5,,B": "skerry F, holm F, stack F",
	} {
		f := landingsOf(t, row)
		require.Len(t, f.Unallocated, 1, row)
		assert.Equal(t, want, concerned(&f.Unallocated[0]), row)
		assert.True(t, f.CutsKnown)
		assert.Empty(t, f.Cuts)
	}
	f := landingsOf(t, ",2030-04-01,,Palmaria palmata,5,,A", "holm,2030-04-02,,Palmaria palmata,7,,A")
	assert.Equal(t, "holm P, stack P", concerned(&f.Unallocated[0]), "it cut there too")
	assert.Equal(t, "stack P", concerned(&f.Until(day("2030-04-01")).Unallocated[0]), "which was not known a day before")
	assert.Equal(t, "holm P, stack P", concerned(&f.Unallocated[0]), "and the folder is left as it is")
}

// Cast weed and nil returns are from nowhere that matters; times touch by a day.
func TestLandingsThatMayBeOfAStand(t *testing.T) {
	f := landingsOf(t, ",2030-04-01,2030-04-05,,5,,", "mixed,2030-05-01,,Fucus serratus,7.5,,", ",2030-05-02,,,90,cast,", ",2030-05-03,,,0,,A",
		"skerry,2030-06-01,,mixed,2,,")
	all := NewUnallocatedIndex(f).MayBeOf("skerry", "Fucus serratus")
	assert.Equal(t, "14.5 kg without a bed or species (harvest.csv:2, 3 and 6)", LandingWords(all))
	assert.Equal(t, "12.5 kg without a bed or species (harvest.csv:2 and 3)", LandingWords(NewUnallocatedIndex(f).MayBeOf("holm", "Fucus serratus")))
	assert.Equal(t, "7.5 kg without a bed (harvest.csv:3)", LandingWords(all[1:2]))
	assert.Equal(t, "2 kg without a species (harvest.csv:6)", LandingWords(all[2:]))
	kg := func(from, until string) float64 { return SumKg(Touching(all, day(from), day(until))) }
	assert.Equal(t, 5.0, kg("2030-04-05", "2030-05-01"), "its last day")
	assert.Equal(t, 0.0, kg("2030-03-01", "2030-04-01"), "until the day before")
	assert.Equal(t, 12.5, kg("2030-04-01", "2030-05-02"))
	assert.True(t, f.Unallocated[3].Nil())
	lines := []int{}
	for _, c := range f.Landings() {
		lines = append(lines, c.Line)
	}
	assert.Equal(t, []int{2, 3, 4, 5, 6}, lines)
	then := f.Until(day("2030-04-30"))
	assert.Len(t, then.Unallocated, 1)
	assert.True(t, then.CutsKnown)
	assert.Equal(t, f.Rows()-4, then.Rows())
}

// The change net of what was cut is not told where more than 1 % of the stock may have been cut besides.
func TestNoNetChangeWithUnallocatedLandings(t *testing.T) {
	rows := append(grid("A", "Fucus", day2023, steps, 12, 0.05), grid("A", "Fucus", testDay, steps, 12, 0.05)...)
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	f.CutsKnown = true
	stock := onlyChange(t, f).FromKg
	loose := Unallocated{Cut: Cut{From: day2023 + 9, To: day2023 + 9, Kg: 0.011 * stock, Line: 7}, Beds: []string{"A"}}
	f.Unallocated = []Unallocated{loose}
	c := onlyChange(t, f)
	assert.False(t, c.Net.OK)
	assert.Contains(t, c.ReasonNoNet, "kg without a bed or species (harvest.csv:7) may have been cut here: ask the cutter")
	assert.True(t, c.Kg.OK)
	f.Unallocated[0].Kg = 0.009 * stock
	c = onlyChange(t, f)
	assert.True(t, c.Net.OK)
	assert.True(t, remarked(c, "kg without a bed or species (harvest.csv:7) may have been cut here: no more than 1 % of the stock, passed over"), c.Warnings)
	f.Unallocated[0] = loose
	f.Unallocated[0].From, f.Unallocated[0].To = testDay, testDay
	assert.True(t, onlyChange(t, f).Net.OK, "after the later survey")
}
