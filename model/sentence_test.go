package model

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// story is a bed of one species whose stock follows from what the surveys found, kg/m2 by year, on 12 transects of three
// quadrats, all weighed. The transects differ by 30 % in a fixed way.
type story struct {
	species string
	found   map[int]float64
	cuts    string // rows of harvest.csv
	extra   map[string]string
	asOf    string
}

func (s story) files() fstest.MapFS {
	var q strings.Builder
	q.WriteString("bed,date,transect,quadrat,quadrat_m2,species,cover_pct,biomass_g\n")
	for year := 2010; year < 2030; year++ {
		kg, ok := s.found[year]
		if !ok {
			continue
		}
		for t := range 12 {
			for i := range 3 {
				vary := 1 + 0.3*float64((5*t+3*i)%12-6)/6
				fmt.Fprintf(&q, "cove,%d-07-15,%d,%d,0.25,%s,%g,%g\n", year, t+1, i+1, s.species, 40*vary, 250*kg*vary)
			}
		}
	}
	out := fstest.MapFS{"quadrats.csv": {Data: []byte(q.String())},
		"beds.csv":    {Data: []byte("bed,area_m2,suitable_fraction\ncove,5000,1\nfar,3000,1\n")},
		"harvest.csv": {Data: []byte("bed,date,species,wet_kg\n" + s.cuts)}}
	if s.cuts == "" {
		delete(out, "harvest.csv")
	}
	for name, text := range s.extra {
		out[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return out
}

// Each state of a bed gives the right limit and the right words: what may be taken, what holds it, what to do next.
func TestAdviceInWords(t *testing.T) {
	const dulse = "Palmaria palmata" // r 2 a year, K 1.6 kg/m2
	full := map[int]float64{2025: 1.3, 2026: 1.3}
	nil2026 := "cove,2026-01-01," + dulse + ",0\n"
	for _, c := range []struct {
		name  string
		story story
		by    offtake.Limit
		says  []string
		next  string
	}{
		{"a full bed", story{dulse, full, nil2026, nil, "2026-08-20"}, offtake.ByCap,
			[]string{"At most ", " kg in the autumn season (2026-08-15 to 2026-10-15) and ", "the cap on the share of the stock sets the limit."},
			"Survey again in 2027"},
		{"a grant above the advice", story{dulse, full, nil2026, map[string]string{"decisions.csv": "bed,species,season,from,to,kg,decided_on\ncove," + dulse +
			",autumn,2026-08-15,2026-10-15,9000,2026-08-16\n"}, "2026-08-20"}, offtake.ByCap, []string{"At most "},
			"More is granted for autumn 2026 than is advised: ask those who decide to lower it before it is cut. Survey again in 2027"},
		{"an overfished bed", story{egg, map[int]float64{2020: 8, 2022: 3, 2024: 0.8, 2026: 0.2},
			"cove,2020-09-01," + egg + ",12000\ncove,2021-09-01," + egg + ",12000\ncove,2022-09-01," + egg + ",7000\ncove,2023-09-01," + egg + ",4000\ncove,2024-09-01," + egg +
				",2000\ncove,2025-09-01," + egg + ",1000\n", nil, "2026-08-20"}, offtake.ByReplacement,
			[]string{"Nothing should be cut: even uncut it is not expected to grow back as it should."}, "Rest it, and survey again next year"},
		{"a bed under the trigger", story{dulse, map[int]float64{2024: 1.5, 2025: 1.5, 2026: 0.5},
			"cove,2025-09-01," + dulse + ",6000\n", map[string]string{"rules.toml": "risk = 0.3\n"}, "2026-08-20"}, offtake.ByLowStock,
			[]string{"At most ", "the low stock sets the limit."}, "Survey again in 2027"},
		{"a closed bed", story{dulse, full, nil2026, map[string]string{"closures.csv": "bed,species,from,to,reason\ncove,,2026-08-01,,nesting birds\n"}, "2026-08-20"}, offtake.ByClosed,
			[]string{"Closed (nesting birds): nothing may be cut."}, "It stays closed until that is lifted; survey again before then."},
		{"a bed closed for a time", story{dulse, full, nil2026, map[string]string{"closures.csv": "bed,species,from,to,reason\ncove,,2026-08-01,2027-07-31,works\n"}, "2026-08-20"}, offtake.ByClosed,
			[]string{"Closed (works): nothing may be cut."}, "It is closed until 2027-07-31; survey again before it opens."},
		{"a spill", story{dulse, full, "cove,2026-08-16," + dulse + ",100\n", map[string]string{"closures.csv": "bed,species,from,to,reason\ncove,,2026-08-18,,oil spill\n"}, "2026-08-20"}, offtake.ByClosed,
			[]string{"Closed (oil spill): nothing may be cut."}, "It stays closed until that is lifted"},
		{"a resting bed", story{dulse, full, "cove,2026-05-01," + dulse + ",100\n", map[string]string{"rules.toml": "rest_years = 2\n"}, "2026-08-20"}, offtake.ByRest,
			[]string{"Resting (cut on 2026-05-01, rests until 2028-05-01): nothing may be cut."}, "Leave it until then, and survey it before it is cut again."},
		{"a bed out of turn", story{dulse, full, "cove,2026-05-01," + dulse + ",100\n", map[string]string{"rules.toml": "[[rotation]]\nname = \"all\"\nbeds = [\"cove\", \"far\"]\nperiod = 2\n"}, "2026-10-20"}, offtake.ByRest,
			[]string{"Resting (its turn in the rotation all is 2028): nothing may be cut."}, "Leave it until then, and survey it in 2028 before it is cut."},
		{"a survey three years old", story{dulse, full, nil2026, nil, "2030-03-20"}, offtake.ByNotAssessed,
			[]string{"Not assessed: the last whole survey, 2026-07-15, is over three years older than the season: survey again."}, ""},
		{"a survey over a year old", story{dulse, full, nil2026, nil, "2028-03-20"}, offtake.ByCap,
			[]string{"At most "}, "Survey again before the autumn season from 2028-08-15"},
		{"a season already over", story{dulse, full, nil2026, nil, "2026-10-16"}, offtake.ByCap,
			[]string{"At most ", " kg in the spring season (2027-03-15 to 2027-06-30) and ", " kg in the autumn season (2027-08-15 to 2027-10-15)"}, "Survey again before the autumn season from 2027-08-15"},
		{"a species without parameters", story{"Inventa marina", full, nil2026, nil, "2026-08-20"}, offtake.ByNotAssessed,
			[]string{"Not assessed: no row in the species table: add one to species.csv with r_per_year, r_cv, k_kg_m2, k_cv."}, ""},
		{"a storm that left nobody knows what", story{dulse, full, nil2026, map[string]string{"events.csv": "bed,date,kind,fraction_left\ncove,2026-08-16,storm,\n"}, "2026-08-20"}, offtake.ByNotAssessed,
			[]string{"Not assessed: the storm of 2026-08-16 came after the survey of 2026-07-15 and what it left is not known: survey again, or give fraction_left in events.csv."}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			table, problems := survey.ReadSpecies(data.FS, "species.csv")
			require.Empty(t, problems.Faults())
			folder, rules, err := Load(c.story.files(), table, LoadOptions{Change: func(r *Rules) error { return r.Override("as_of", "test", c.story.asOf) }})
			require.NoError(t, err)
			a := Assess(folder, Config{Rules: rules, Seed: 1, Draws: 1000})
			u := unit(t, a, "cove", c.story.species)
			for _, s := range u.Seasons {
				assert.Equal(t, c.by, s.LimitedBy, "%s: %s", s.Name, s.Reason)
			}
			said := u.Sentence(Kg)
			for _, want := range c.says {
				assert.Contains(t, said, want)
			}
			assert.True(t, strings.HasPrefix(u.Next(), c.next) && (c.next != "" || u.Next() == ""), "next: %s", u.Next())
			assert.Equal(t, []string{"far"}, a.Unsurveyed())
		})
	}
	assert.Equal(t, "Not assessed: never surveyed. Survey it before anything is cut.", UnsurveyedSentence())
}
