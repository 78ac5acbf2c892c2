package model

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

// The same survey as a long table, with species across and with quadrats across gives the same quadrats.
func TestWideIsLong(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	species := []string{"Laminaria digitata", "Fucus serratus", "Ascophyllum nodosum"}
	var long, across, down strings.Builder
	long.WriteString("bed,date,transect,quadrat,quadrat_m2,species,cover_pct,biomass_g\n")
	across.WriteString("bed,date,transect,quadrat,quadrat_m2," + strings.Join(species, ",") + "\n")
	heads, cells := []string{"species"}, map[string][]string{}
	for i := range 40 {
		at := fmt.Sprintf("lantry,2026-06-14,%d,%d,0.25", i/8, i%8)
		fmt.Fprint(&across, at)
		heads = append(heads, fmt.Sprintf("T%d-%d", i/8, i%8))
		for _, s := range species {
			cell := ""
			if v := rng.IntN(900); v > 300 {
				cell = fmt.Sprintf("%d.%03d", v/100, v%100)
				fmt.Fprintf(&long, "%s,%s,,%d\n", at, s, (v/100)*1000+v%100)
			} else {
				fmt.Fprintf(&long, "%s,%s,,0\n", at, s)
			}
			fmt.Fprint(&across, ","+cell)
			cells[s] = append(cells[s], cell)
		}
		fmt.Fprintln(&across)
	}
	fmt.Fprintln(&down, strings.Join(heads, ","))
	for _, s := range species {
		fmt.Fprintln(&down, s+","+strings.Join(cells[s], ","))
	}
	want := wideRows(t, long.String(), "")
	require.Len(t, want, 120)
	wide := "[read.quadrats]\nlayout = \"wide\"\nblank = \"absent\"\n"
	measure := "[columns.quadrats]\nbiomass_g = {cells = true, unit = \"kg\"}\n"
	assert.Equal(t, want, wideRows(t, across.String(), wide+measure))
	commas := strings.NewReplacer(",", ";", ".", ",")
	assert.Equal(t, want, wideRows(t, commas.Replace(across.String()), wide+measure), "decimal commas")
	assert.Equal(t, want, wideRows(t, down.String(), wide+"across = \"quadrat\"\nheading = \"T{transect}-{quadrat}\"\n"+measure+
		"bed = {value = \"lantry\"}\ndate = {value = 2026-06-14}\nquadrat_m2 = {value = 0.25}\n"))
}

// wideRows are the rows of quadrats of a folder, in order.
func wideRows(t *testing.T, quadrats, rules string) []string {
	t.Helper()
	fsys := fstest.MapFS{"beds.csv": {Data: []byte("bed,area_m2\nlantry,800\n")}, "quadrats.csv": {Data: []byte(quadrats)},
		"rules.toml": {Data: []byte(rules)}}
	f, _, err := Load(fsys, []survey.Species{{Name: "Laminaria digitata", InTable: true}, {Name: "Fucus serratus", InTable: true},
		{Name: "Ascophyllum nodosum", InTable: true}}, LoadOptions{})
	require.NoError(t, err)
	var out []string
	q := &f.Quadrats
	for i := range q.Len() {
		out = append(out, fmt.Sprint(f.Names[q.Bed[i]], q.Day[i], f.Names[q.Transect[i]], f.Names[q.Quadrat[i]], f.Names[q.Species[i]],
			q.M2[i], q.Cover[i], q.Biomass[i], q.Weighed[i]))
	}
	slices.Sort(out)
	return out
}
