package makedemo

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The shipped demo tells what it is there to tell.
func TestDemoTellsItsStories(t *testing.T) {
	files, truth := Generate(Seed)
	share := func(key Key, year int) float64 {
		for _, at := range truth.Stock[key] {
			if strings.HasPrefix(at.Date, num(float64(year), 0)) {
				return at.Kg / truth.K[key]
			}
		}
		t.Fatal("no stock", key, year)
		return 0
	}
	overcut := Key{"tarrowick", egg}
	for y := 2023; y <= 2026; y++ {
		assert.Less(t, share(overcut, y), share(overcut, y-1), "the overcut bed falls every year")
	}
	assert.Less(t, share(overcut, 2026), 0.4)
	hit := Key{stormBed, oarweed}
	assert.Less(t, share(hit, 2024), 0.4, "the storm shows")
	assert.Greater(t, share(hit, 2026), 0.6, "and the bed comes back")

	found := map[string]bool{}
	missed, rows := 0, readRows(t, files["quadrats.csv"])
	weighed := map[string]int{}
	for _, q := range rows {
		if q["bed"] == "quernside" && q["species"] == thong {
			found[q["date"][:4]] = true
		}
		if q["bed"] == "quernside" && q["species"] == serrate {
			assert.Empty(t, q["biomass_g"], "never weighed in its bed")
		}
		if q["visit"] == "not_reached" {
			missed++
			assert.Equal(t, []string{missedBed, "lower"}, []string{q["bed"], q["stratum"]})
		}
		if q["biomass_g"] != "" && number(t, q["cover_pct"]) > 0 {
			weighed[q["bed"]+"|"+q["species"]+"|"+q["date"][:4]]++
			assert.Less(t, number(t, q["biomass_g"]), 30*quadratM2*1000, "over 30 kg/m2")
		}
	}
	assert.Equal(t, map[string]bool{"2024": true}, found, "found in one year only")
	assert.Positive(t, missed)
	assert.Greater(t, len(rows), 3000)
	assert.Less(t, len(rows), 5000)
	for _, y := range surveyYears {
		for _, key := range []Key{overcut, hit, {controlBed, egg}, {closedBed, egg}, {"quernside", dulse}} {
			assert.GreaterOrEqual(t, weighed[key.Bed+"|"+key.Species+"|"+num(float64(y), 0)], 10, "%v %d", key, y)
		}
	}
}

// No cut on a closed bed, none after the day of the assessment, none larger than what stood, all within a season.
func TestCutsKeepTheRules(t *testing.T) {
	for seed := uint64(1); seed <= 10; seed++ {
		files, _ := Generate(seed)
		running := 0
		for _, c := range readRows(t, files["harvest.csv"]) {
			require.LessOrEqual(t, day(c["date"]), day(AsOf))
			if c["origin"] == "cast" || c["wet_kg"] == "0" {
				continue
			}
			require.NotEqual(t, controlBed, c["bed"])
			require.False(t, c["bed"] == closedBed && day(c["date"]) >= day(closedOn))
			to := c["date"]
			if c["date_to"] != "" {
				to = c["date_to"]
			}
			inside := false
			for _, s := range seasons {
				inside = inside || s.from <= day(c["date"]) && day(to) <= s.to
			}
			require.True(t, inside, "%v", c)
			if day(c["date"]) >= seasons[len(seasons)-1].from {
				running++
			}
		}
		require.Positive(t, running, "the running season has cuts")
		for key, h := range makeWorld(seed).lives {
			for i, kg := range h.stocks {
				require.GreaterOrEqual(t, kg, 0.0, "%v survey %d", key, i)
			}
		}
	}
}

// Everything that a reader meets says that it is invented.
func TestDemoSaysItIsInvented(t *testing.T) {
	files, _ := Generate(Seed)
	for _, s := range readRows(t, files["surveys.csv"]) {
		assert.Contains(t, s["notes"], "INVENTED DATA")
	}
	assert.Contains(t, string(files["rules.toml"]), "INVENTED DATA")
}
