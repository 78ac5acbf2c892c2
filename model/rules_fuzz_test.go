package model

import (
	"testing"

	"bedstock/model/offtake"
	"bedstock/survey"
)

// Whatever a rules file says, reading it ends, and rules without a mistake can be worked with.
func FuzzParseRules(f *testing.F) {
	for _, text := range []string{ownSeasons, threeInTurn, "risk = 0.1\nrest_years = 3\n", "[[season]]\n[[season.x]]\n[[season]]\n", "season = [{name = \"a\"}]",
		"[rotation]\nname = \"a\"", "rotation = [[], []]", "[[rotation]]\nbeds = [[\"a\"]]\n", "\"\" = 1", "[a.b]\nc.d = 1"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var r Rules
		var problems survey.Problems
		thrifty(t, len(text), func() { r, problems = ParseRules(RulesText{Name: RulesFile, Text: []byte(text)}) })
		if len(problems) > 0 {
			for _, p := range problems {
				if p.File != RulesFile || p.Text == "" {
					t.Errorf("a mistake without place or text: %#v", p)
				}
			}
			return
		}
		if err := r.Offtake.Validate(); err != nil {
			t.Errorf("rules that cannot be worked with: %v", err)
		}
		for _, own := range append(r.OwnSeasons, SpeciesSeasons{Seasons: r.Seasons}) {
			if err := offtake.ValidateSeasons(own.Seasons); err != nil {
				t.Errorf("seasons of %s: %v", own.Species, err)
			}
		}
		for _, x := range r.Rotations {
			if x.Period < 2 || x.Period > r.Offtake.Horizon || len(x.Beds) == 0 || x.Name == "" {
				t.Errorf("rotation %#v", x)
			}
		}
	})
}
