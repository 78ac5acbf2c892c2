package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/model/plan"
	"bedstock/survey"
)

func planOf(t *testing.T, files fstest.MapFS, opt PlanOptions) (plan.Plan, *survey.Folder) {
	t.Helper()
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems.Faults())
	f, rules, err := Load(files, table, LoadOptions{})
	require.NoError(t, err)
	p, err := PlanSurvey(f, rules, opt)
	require.NoError(t, err)
	return p, f
}

// Each bed of the demo gets a plan whose CVs meet the target where they rest on surveys, with at least two transects a
// stratum and as many quadrats and weighings as it says.
func TestPlanDemo(t *testing.T) {
	p, f := planOf(t, demoOf(t), PlanOptions{Seed: 1})
	require.Len(t, p.Beds, len(f.Beds))
	for _, b := range p.Beds {
		require.NotEqual(t, plan.NotEstimable, b.Status, b.Bed)
		assert.Positive(t, b.Weigh)
		for _, s := range b.Strata {
			assert.GreaterOrEqual(t, len(s.Transects), 2)
			for _, tr := range s.Transects {
				weighed := 0
				for _, q := range tr.Quadrats {
					if q.Weigh {
						weighed++
					}
				}
				assert.Len(t, tr.Quadrats, b.Quadrats)
				assert.Equal(t, b.Weigh, weighed)
			}
		}
		for _, x := range b.Species {
			if x.Planned {
				assert.LessOrEqual(t, x.CV, 0.2+1e-9, "%s %s", b.Bed, x.Species)
				assert.LessOrEqual(t, x.HourCV, x.CV)
				assert.Equal(t, x.CV < x.LastCV, x.CapThen > x.CapKg, "%s: a surer stock has a higher cap", b.Bed)
			}
		}
	}
	i := slices.IndexFunc(p.Beds, func(b plan.Bed) bool { return b.Bed == "mubblestone" })
	assert.Equal(t, plan.Guess, p.Beds[i].Status, "a stratum was not visited")
	assert.Contains(t, p.Beds[i].Reason, "stratum lower was not visited")

	again, _ := planOf(t, demoOf(t), PlanOptions{Seed: 1, Beds: func(b string) bool { return b == "quernside" }})
	require.Len(t, again.Beds, 1)
	j := slices.IndexFunc(p.Beds, func(b plan.Bed) bool { return b.Bed == "quernside" })
	assert.Equal(t, p.Beds[j].Strata[0].Transects[0].Quadrats[1].At.UpShare, again.Beds[0].Strata[0].Transects[0].Quadrats[1].At.UpShare)
}

// A budget is kept, more of it gives smaller CVs, and one that is too small says what is needed.
func TestPlanBudget(t *testing.T) {
	worst := func(tides int) float64 {
		p, _ := planOf(t, demoOf(t, "quernside", "tarrowick"), PlanOptions{Seed: 1, Budget: plan.Budget{Tides: tides}})
		assert.LessOrEqual(t, p.Tides, tides)
		cv := 0.0
		for _, b := range p.Beds {
			for _, x := range b.Species {
				if x.Planned {
					cv = max(cv, x.SampleCV)
				}
			}
		}
		return cv
	}
	assert.Less(t, worst(20), worst(8))

	table, _ := survey.ReadSpecies(data.FS, "species.csv")
	f, rules, err := Load(demoOf(t, "quernside", "tarrowick"), table, LoadOptions{})
	require.NoError(t, err)
	_, err = PlanSurvey(f, rules, PlanOptions{Budget: plan.Budget{Minutes: 60}})
	var short BudgetError
	require.ErrorAs(t, err, &short)
	assert.Greater(t, short.Need.Minutes, 60.0)
}

const drawnBed = `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"bed":"a"},"geometry":{"type":"Polygon","coordinates":[
[[-30,50],[-29.998,50],[-29.997,50.001],[-29.9975,50.0012],[-29.9985,50.0004],[-30,50.0004],[-30,50]],
[[-29.9995,50.0001],[-29.9993,50.0001],[-29.9993,50.0002],[-29.9995,50.0002],[-29.9995,50.0001]]]}}]}`

// A bed that was never surveyed is planned from table values and says so; its places lie inside its outline. A bed whose
// area is not known gets a reason.
func TestPlanWithoutSurvey(t *testing.T) {
	files := fstest.MapFS{
		"beds.csv":     {Data: []byte("bed,area_m2\na,\nb,900\n")},
		"beds.geojson": {Data: []byte(drawnBed)},
		"quadrats.csv": {Data: []byte("bed,date,transect,quadrat,quadrat_m2,visit,species,cover_pct,biomass_g\n" +
			"b,2025-06-01,T1,q1,0.25,done,Fucus serratus,40,\nb,2025-06-01,T2,q1,0.25,done,Fucus serratus,30,\n")},
		"rules.toml": {Data: []byte("[[baseline]]\nbed = \"b\"\nlength_m = 60\nup_m = 15\n")},
	}
	p, f := planOf(t, files, PlanOptions{Seed: 3})
	require.Len(t, p.Beds, 2)
	a, b := p.Beds[0], p.Beds[1]
	assert.Equal(t, plan.Guess, a.Status)
	assert.Contains(t, a.Reason, "no earlier survey of the bed")
	require.Len(t, a.Species, 1)
	assert.LessOrEqual(t, a.Species[0].CV, 0.2+1e-9)
	assert.True(t, math.IsNaN(a.Species[0].Lo), "a guess has no interval")
	for _, tr := range a.Strata[0].Transects {
		for _, q := range tr.Quadrats {
			require.True(t, q.At.Located())
			assert.True(t, f.Outlines["a"].Contains(survey.LonLat{Lon: q.At.Lon, Lat: q.At.Lat}))
		}
	}
	assert.Equal(t, plan.Guess, b.Status)
	assert.Contains(t, b.Reason, "nothing weighed")
	q := b.Strata[0].Transects[0].Quadrats[0].At
	assert.False(t, q.Located())
	assert.InDelta(t, 60*q.AlongShare, q.Along, 1e-9)
	assert.InDelta(t, 15*q.UpShare, q.Up, 1e-9)
}

// A bed where nothing grew is not called one that nobody has seen.
func TestPlanWhereNothingWasFound(t *testing.T) {
	p, _ := planOf(t, fstest.MapFS{
		"beds.csv": {Data: []byte("bed,area_m2\nb,900\n")},
		"quadrats.csv": {Data: []byte("bed,date,transect,quadrat,quadrat_m2,visit,species,cover_pct,biomass_g\n" +
			"b,2025-06-01,T1,q1,0.25,done,,0,\nb,2025-06-01,T2,q1,0.25,done,,0,\n")},
	}, PlanOptions{})
	assert.Equal(t, plan.Guess, p.Beds[0].Status)
	assert.Contains(t, p.Beds[0].Reason, "no species was found at earlier surveys")
}

// Places along a baseline lie on the side it names.
func TestPlanBesideBaseline(t *testing.T) {
	for _, side := range []string{"left", "right"} {
		files := fstest.MapFS{
			"beds.csv": {Data: []byte("bed,area_m2\nb,900\n")},
			"quadrats.csv": {Data: []byte("bed,date,transect,quadrat,quadrat_m2,visit,species,cover_pct,biomass_g\n" +
				"b,2025-06-01,T1,q1,0.25,done,Fucus serratus,40,500\n")},
			"rules.toml": {Data: []byte("[[baseline]]\nbed = \"b\"\nstart = [-30, 50]\nend = [-30, 50.001]\nup_m = 20\nside = \"" + side + "\"\n")},
		}
		p, _ := planOf(t, files, PlanOptions{})
		for _, tr := range p.Beds[0].Strata[0].Transects {
			for _, q := range tr.Quadrats {
				assert.Equal(t, side == "left", q.At.Lon < -30, "walking north, the left is west")
				assert.True(t, q.At.Lat > 50 && q.At.Lat < 50.001)
			}
		}
	}
}

// Of any outline, however bent, every place lies inside.
func TestPlacesInsideAnyOutline(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	for range 60 {
		var ring []string
		n := 5 + rng.IntN(9)
		var first string
		for i := range n { // a star, so that lines do not cross
			a, r := 2*math.Pi*(float64(i)+0.8*rng.Float64())/float64(n), (0.1+rng.Float64())*0.002
			at := planeAt(survey.LonLat{Lon: 12, Lat: -40}).position(r*6e4*math.Cos(a), r*6e4*math.Sin(a))
			ring = append(ring, strings.TrimSpace("["+number(at.Lon)+","+number(at.Lat)+"]"))
			if i == 0 {
				first = ring[0]
			}
		}
		ring = append(ring, first)
		files := fstest.MapFS{
			"beds.csv":     {Data: []byte("bed,area_m2\na,\n")},
			"beds.geojson": {Data: []byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"bed":"a"},"geometry":{"type":"Polygon","coordinates":[[` + strings.Join(ring, ",") + `]]}}]}`)},
			"quadrats.csv": {Data: []byte("bed,date,transect,quadrat,quadrat_m2,visit,species,cover_pct,biomass_g\na,2025-06-01,T1,q1,0.25,planned,,,\n")},
		}
		p, f := planOf(t, files, PlanOptions{Seed: rng.Uint64()})
		for _, tr := range p.Beds[0].Strata[0].Transects {
			for _, q := range tr.Quadrats {
				require.True(t, q.At.Located() && f.Outlines["a"].Contains(survey.LonLat{Lon: q.At.Lon, Lat: q.At.Lat}))
			}
		}
	}
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
