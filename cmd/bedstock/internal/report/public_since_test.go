package report

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model"
)

// sinceSurvey is a shore of one bed surveyed last on 2025-07-01, assessed with the given rows of harvest.csv and closures.csv.
// Cuts after the last survey do not change the growth model, so that two such shores differ by what is cut alone.
func sinceSurvey(t *testing.T, asOf, cuts, closures string) *model.Assessment {
	var q strings.Builder
	q.WriteString("bed,date,transect,quadrat,quadrat_m2,species,cover_pct,biomass_g\n")
	for _, year := range []string{"2023", "2024", "2025"} {
		for n := range 6 {
			fmt.Fprintf(&q, "a,%s-07-01,T%d,Q%d,0.25,Laminaria digitata,%d,%d\n", year, n, n, 40+n, 900+10*n)
		}
	}
	files := map[string]string{"beds.csv": "bed,area_m2\na,10000\n", "quadrats.csv": q.String(), "harvest.csv": "bed,date,species,wet_kg,permit\n" + cuts,
		"rules.toml": "as_of = " + asOf + "\n[[season]]\nname = \"spring\"\nfrom = \"03-15\"\nto = \"06-15\"\nshare = 0.5\n[[season]]\nname = \"autumn\"\nfrom = \"08-15\"\nto = \"11-30\"\nshare = 0.5\n"}
	if closures != "" {
		files["closures.csv"] = "bed,species,from,to,reason\n" + closures
	}
	return assessWith(t, folderOf(files), 400)
}

// What was cut since the survey, outside the seasons, beyond their advice or without a bed, changes what may be cut later: an
// advice that would tell it is withheld in every file.
func TestPublicAdviceTellsNoCutSinceTheSurvey(t *testing.T) {
	sums := regexp.MustCompile(`[0-9a-f]{64}`) // harvest.csv is another file
	told := "a,2025-09-02,Laminaria digitata,21,P1\na,2025-09-03,Laminaria digitata,23,P2\na,2025-09-20,Laminaria digitata,17,P3\n"
	for name, c := range map[string]struct{ asOf, cut string }{
		"outside the seasons":          {"2025-11-30", "a,2025-07-20,Laminaria digitata,%d,P1\n"},
		"beyond the advice":            {"2026-02-01", "a,2025-09-01,Laminaria digitata,90%d,P1\n"},
		"without a bed":                {"2025-11-30", told + ",2025-07-20,Laminaria digitata,%d,\n"},
		"without a bed, in the season": {"2026-02-01", told + ",2025-09-01,Laminaria digitata,90%d,\n"},
		"without a species":            {"2025-11-30", told + "a,2025-07-05,mixed,%d,\n"},
	} {
		t.Run(name, func(t *testing.T) {
			var editions []map[string][]byte
			for _, kg := range []int{50, 99} {
				_, _, files := publicFiles(t, sinceSurvey(t, c.asOf, fmt.Sprintf(c.cut, kg), ""))
				editions = append(editions, files)
			}
			require.Equal(t, len(editions[0]), len(editions[1]))
			for file := range editions[0] {
				assert.True(t, bytes.Equal(sums.ReplaceAll(editions[0][file], nil), sums.ReplaceAll(editions[1][file], nil)), file)
			}
			rows := csvRows(t, editions[0]["quota.csv"])
			assert.Equal(t, withheldAdvice, rows[len(rows)-1]["reason"])
		})
	}
}

// Holders are counted between surveys and bounds of seasons. What was cut after a closure began may be of one of them.
func TestPublicTellsNoWeightOfAClosure(t *testing.T) {
	cuts := "a,2025-09-02,Laminaria digitata,21,P1\na,2025-09-03,Laminaria digitata,23,P2\na,2025-09-20,Laminaria digitata,17,P3\n"
	a := sinceSurvey(t, "2025-11-30", cuts, "a,,2025-09-10,,outfall\n")
	require.Equal(t, 17.0, a.Units[0].Seasons[0].ShutKg)
	shown, _, files := publicFiles(t, a)
	assert.False(t, withheldStand(&shown.Units[0]))
	assert.True(t, math.IsInf(shown.Units[0].Seasons[0].ShutKg, 1))
	for name, data := range files {
		assert.NotContains(t, string(data), "17 kg", name)
	}
}
