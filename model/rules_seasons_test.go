package model

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/model/offtake"
	"bedstock/survey"
)

const ownSeasons = `as_of = 2026-09-20

[[season]]
name = "winter"
species = ["palmaria  palmata", "Fucus serratus"]
from = "11-01"
to = "02-29"
share = 0.6

[[season]]
name = "late"
species = "Palmaria palmata"
from = "08-01"
to = "08-20"
share = 0.4
`

// Species may have seasons of their own; the others keep the general ones, here those of the defaults.
func TestSeasonsOfASpecies(t *testing.T) {
	r, problems := ParseRules(RulesText{Name: RulesFile, Text: []byte(ownSeasons)})
	require.Empty(t, problems)
	assert.Equal(t, offtake.DefaultSeasons(), r.SeasonsOf(egg))
	require.Len(t, r.SeasonsOf("Palmaria palmata"), 2)
	require.Len(t, r.SeasonsOf("Fucus serratus"), 1)
	files := demoOf(t, "quernside")
	files["rules.toml"] = &fstest.MapFile{Data: []byte(ownSeasons)}
	a := assessFolder(t, files, nil)
	dulse := unit(t, a, "quernside", "Palmaria palmata")
	require.Len(t, dulse.Seasons, 2)
	assert.Equal(t, "winter", dulse.Seasons[0].Name)
	assert.Equal(t, "2026-11-01", dulse.Seasons[0].From.String())
	assert.Equal(t, "2027-02-28", dulse.Seasons[0].To.String(), "the last day of February")
	assert.Equal(t, "2027-08-01", dulse.Seasons[1].From.String())
	assert.Equal(t, "2026-08-01", dulse.Basis.Open.String(), "the stock is brought to the species' own season")
	assert.LessOrEqual(t, dulse.Seasons[0].AdvisedKg, 0.6*dulse.Basis.Year.AdvisedKg)
	assert.Greater(t, dulse.Seasons[0].AdvisedKg, 0.0)
	var names []string
	for _, u := range a.Uses() {
		names = append(names, u.Name)
	}
	assert.ElementsMatch(t, []string{"autumn", "spring", "winter", "late"}, names, "each season is summed once")
}

func TestSeasonsOfASpeciesAreChecked(t *testing.T) {
	season := func(name, from, to, share, species string) string {
		return "[[season]]\nname = \"" + name + "\"\nfrom = \"" + from + "\"\nto = \"" + to + "\"\nshare = " + share + "\nspecies = " + species + "\n"
	}
	for _, c := range []struct{ text, want string }{
		{season("a", "01-01", "02-01", "0.7", `"Ulva"`) + season("b", "03-01", "04-01", "0.7", `["ulva"]`), "rules.toml:6:1: Ulva: the shares of the seasons sum to 1.4, more than 1"},
		{season("a", "01-01", "02-01", "0.5", `"Ulva"`) + season("b", "01-20", "04-01", "0.5", `"Ulva"`), "rules.toml:6:1: Ulva: seasons \"a\" and \"b\" overlap"},
		{season("a", "01-01", "02-01", "0.5", `[]`), "rules.toml:6:1: season species: an empty list"},
		{season("a", "01-01", "02-01", "0.5", `3`), "rules.toml:6:1: season species: 3 is not a name"},
	} {
		_, problems := ParseRules(RulesText{Name: RulesFile, Text: []byte(c.text)})
		require.Len(t, problems, 1, c.text)
		assert.Contains(t, problems.Error(), c.want)
	}
	_, problems := ParseRules(RulesText{Name: RulesFile, Text: []byte(season("a", "01-01", "02-01", "1", `"Ulva"`) + season("a", "01-01", "02-01", "1", `"Fucus"`))})
	assert.Empty(t, problems, "seasons of different species may lie on the same days and have the same name")
}

// The folder's spelling stands in the settings; what it does not know is told with its place.
func TestNamesOfTheRulesAreChecked(t *testing.T) {
	table, problems := survey.ReadSpecies(fstest.MapFS{"species.csv": {Data: []byte("species,r_per_year,r_cv,k_kg_m2,k_cv,source\nPalmaria palmata,2,0.5,1.6,0.4,x\n")}}, "species.csv")
	require.Empty(t, problems.Faults())
	f := &survey.Folder{Species: table, Beds: []survey.Bed{{ID: "a"}}}
	r, problems := ParseRules(RulesText{Name: RulesFile, Text: []byte(ownSeasons + "[[rotation]]\nname = \"x\"\nbeds = [\"a\", \"b\"]\nperiod = 2\nspecies = \"palmaria palmata\"\n")})
	require.Empty(t, problems)
	found := r.settleNames(f)
	require.Len(t, found, 2)
	assert.Contains(t, found.Error(), "rules.toml:5:1: season species: no species is named \"Fucus serratus\"")
	assert.Contains(t, found.Error(), "rules.toml:16:3: rotation beds: no bed is labelled \"b\"")
	var names []string
	for _, s := range r.Settings {
		names = append(names, s.Name)
	}
	assert.Contains(t, names, "season.winter (Palmaria palmata)")
	assert.Equal(t, []string{"Palmaria palmata"}, r.Rotations[0].Species)
}

// A rule of 29 February is the last day of February in every year, as a first and as a last day.
func TestSeasonsOnTheLeapDay(t *testing.T) {
	leap := offtake.Season{Name: "x", From: offtake.MonthDay{Month: 2, Day: 29}, To: offtake.MonthDay{Month: 3, Day: 10}, Share: 1}
	for _, c := range []struct{ day, from string }{
		{"2027-02-27", "2027-02-28"}, {"2027-02-28", "2027-02-28"}, {"2028-02-28", "2028-02-29"}, {"2028-03-11", "2029-02-28"},
	} {
		d, err := survey.ParseDay(c.day)
		require.NoError(t, err)
		from, _ := current(leap, d)
		assert.Equal(t, c.from, from.String(), c.day)
	}
}

func TestADecisionIsForASeasonOfTheRules(t *testing.T) {
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems)
	said := func(rules, season string) []string {
		files := demoOf(t)
		files["rules.toml"].Data = append(files["rules.toml"].Data, rules...)
		decisions := string(files["decisions.csv"].Data)
		files["decisions.csv"].Data = []byte(strings.Replace(decisions, ",Ascophyllum nodosum,autumn,", ",Ascophyllum nodosum,"+season+",", 1))
		folder, _, err := Load(files, table, LoadOptions{})
		require.NoError(t, err)
		var out []string
		for _, d := range folder.Doubts {
			if d.File == "decisions.csv" {
				out = append(out, d.String()+" "+d.Hint)
			}
		}
		return out
	}
	assert.Empty(t, said("", "autumn"))
	assert.Equal(t, []string{`decisions.csv:2:31: warning: season: no season is called "autum" ` +
		"did you mean autumn? Written as it is, it replaces no earlier decision for that season"}, said("", "autum"))
	own := `
[[season]]
name = "late year"
species = ["ascophyllum  nodosum"]
from = "08-15"
to = "10-15"
share = 1
`
	assert.Empty(t, said(own, "Late year"))
	assert.Equal(t, []string{`decisions.csv:2:31: warning: season: no season is called "late yaer" ` +
		"did you mean late year? Written as it is, it replaces no earlier decision for that season"}, said(own, "late yaer"))
}
