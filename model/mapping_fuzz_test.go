package model

import (
	"testing"
	"testing/fstest"

	"bedstock/survey"
)

// Whatever a mapping and the file it is for hold, reading ends with a folder or with what is wrong.
func FuzzMapping(f *testing.F) {
	f.Add("[files]\nquadrats = \"a.csv\"\n[columns.quadrats]\nbed = \"Site\"\ndate = {from = \"Day\", form = \"DD.MM.YYYY\"}\n"+
		"quadrat = \"{Site}-{Plot}\"\nquadrat_m2 = {value = 2500, unit = \"cm2\"}\nspecies = \"Kind\"\n"+
		"cover_pct = {from = \"C\", classes = \"sacfor massive\"}\nbiomass_g = {sum = [\"A\", \"B\"], unit = \"kg\", per = \"m2\"}\n"+
		"[read.quadrats]\nmissing = \"NA\"\nrepeats = \"add\"\nonly_listed_species = true\n[species]\nLd = \"Laminaria digitata\"\n",
		"Site,Day,Plot,Kind,C,A,B\nlantry,1.2.2026,1,Ld,S,1,2.5\nlantry,1.2.2026,2,x,,NA,1e3\n")
	f.Add("[files]\nquadrats = \"a.csv\"\n[read.quadrats]\nlayout = \"wide\"\nblank = \"absent\"\n[columns.quadrats]\ncover_pct = {cells = true, classes = \"daubenmire\"}\n",
		"bed,date,quadrat,quadrat_m2,Laminaria digitata,Fucus serratus\nlantry,2026-02-01,1,0.25,3,\n")
	f.Add("[files]\nquadrats = \"a.csv\"\n[read.quadrats]\nlayout = \"wide\"\nacross = \"quadrat\"\nheading = \"{transect}-{quadrat}\"\nrows = {date = \"Date\"}\n"+
		"[columns.quadrats]\nbed = {value = \"lantry\"}\nquadrat_m2 = {value = 1}\nbiomass_g = {cells = true, unit = \"lb\"}\n",
		"species,1-1,1-2\nDate,2026-02-01,2026-02-01\nLaminaria digitata,1,0\n")
	f.Add("[read.quadrats]\njoin = {file = \"a.csv\", on = \"bed\"}\nwhere = {x = 1}\nexcept = {y = \"\"}\n", "bed,x,y\nlantry,1,2\n")
	table := []survey.Species{{Name: "Laminaria digitata", InTable: true}, {Name: "Fucus serratus", InTable: true}}
	f.Fuzz(func(t *testing.T, rules, text string) {
		if len(rules) > 4000 || len(text) > 4000 {
			return
		}
		folder := fstest.MapFS{"beds.csv": {Data: []byte("bed,area_m2\nlantry,800\n")}, "rules.toml": {Data: []byte(rules)},
			"a.csv": {Data: []byte(text)}, "quadrats.csv": {Data: []byte("bed,date,quadrat,quadrat_m2,species,cover_pct\nlantry,2026-02-01,1,1,x,1\n")}}
		thrifty(t, len(rules)+len(text), func() { _, _, _ = Load(folder, table, LoadOptions{}) })
	})
}
