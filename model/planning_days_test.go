package model

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/model/plan"
	"bedstock/survey"
)

// A shore of three beds and a fortnight of low waters; what the plan of each takes is given.
func daysFolder(rules string) fstest.MapFS {
	return fstest.MapFS{
		"beds.csv": {Data: []byte("bed,shore,zone,area_m2\nledge,north,lower,900\npoint,north,upper,900\nrocks,north,,900\n")},
		"quadrats.csv": {Data: []byte("bed,date,transect,quadrat,quadrat_m2,species,cover_pct,biomass_g\n" +
			"ledge,2030-06-10,T1,q1,0.25,Fucus serratus,40,500\npoint,2030-06-20,T1,q1,0.25,Fucus serratus,40,500\n" +
			"point,2029-06-20,T1,q1,0.25,Fucus serratus,40,500\n")},
		"surveys.csv": {Data: []byte("bed,survey,from,to,low_water_m\npoint,2029,2029-06-19,2029-06-21,0.9\npoint,2030,2030-06-20,2030-06-20,0.6\n")},
		"tides.csv": {Data: []byte("time,height_m\n2031-05-01 10:00,0.2\n2031-05-20 05:30,0.1\n2031-05-20 18:00,0.4\n2031-05-21 18:40,0.3\n2031-05-22 19:01,0.2\n" +
			"2031-05-23 08:00,0.8\n2031-05-24 08:40,1.0\n2031-05-25 09:20,1.2\n2031-05-26 10:00,1.4\n2031-05-27 11:00,1.6\n2031-07-30 09:00,0.2\n")},
		"rules.toml": {Data: []byte(rules)},
	}
}

func laidOf(t *testing.T, rules string, from, to survey.Day) Laid {
	t.Helper()
	table, _ := survey.ReadSpecies(data.FS, "species.csv")
	f, r, err := Load(daysFolder(rules), table, LoadOptions{})
	require.NoError(t, err)
	p := plan.Plan{Beds: []plan.Bed{{Bed: "ledge", Status: plan.OK, Work: 200}, {Bed: "point", Status: plan.Guess, Work: 100},
		{Bed: "rocks", Status: plan.NotEstimable}}}
	l, ok := LayDays(f, r, p, from, to)
	require.True(t, ok)
	return l
}

func dayOf(t *testing.T, s string) survey.Day {
	t.Helper()
	d, err := survey.ParseDay(s)
	require.NoError(t, err)
	return d
}

func TestLayDays(t *testing.T) {
	l := laidOf(t, "", survey.NoDay, survey.NoDay)
	assert.True(t, l.BySeason)
	assert.Equal(t, "2031-05-13", l.From.String(), "four weeks before the first bed's turn")
	assert.Equal(t, "2031-07-18", l.To.String(), "and after the last one's")
	require.Len(t, l.Needs, 2, "a bed without a plan has no need")
	assert.InDelta(t, 0.2, l.Needs[0].At, 1e-12, "ten percent of eleven low waters, the lowest 0.1, 0.2")
	assert.Contains(t, l.Needs[0].Why, "the lowest 10 % of tides.csv serve lower beds: judgement, no published value")
	assert.Equal(t, 0.9, l.Needs[1].At)
	assert.InDelta(t, 7.0/11, l.Needs[1].Served, 1e-12)
	assert.Contains(t, l.Needs[1].Why, "it was surveyed at")
	assert.Equal(t, []plan.Without{{Bed: "ledge", Cause: plan.TooHigh, Takes: 2}}, l.Without, "0.1 m is before dawn, 0.2 m after dusk")
	require.Len(t, l.Outings, 1)
	assert.Equal(t, int(dayOf(t, "2031-05-20")), l.Outings[0].Day)
	start, leave, minutes := l.Hours(l.Outings[0])
	assert.Equal(t, 18*60-67, start)
	assert.Equal(t, 18*60+33, leave)
	assert.Equal(t, 145.0, minutes)
}

// Rules and dates have their way.
func TestLayDaysByRules(t *testing.T) {
	l := laidOf(t, "[plan]\nlower_at_m = 0.5\nupper_at_m = 0.7\nday_from = \"05:00\"\nday_to = \"20:00\"\n", survey.NoDay, survey.NoDay)
	assert.Equal(t, 0.5, l.Needs[0].At)
	assert.Equal(t, 0.7, l.Needs[1].At, "the rules before earlier surveys")
	assert.Empty(t, l.Without)
	require.Len(t, l.Outings, 3)
	assert.Equal(t, 5*60+30, l.Outings[0].Minute, "the lowest of the day")

	from, to := dayOf(t, "2031-05-01"), dayOf(t, "2031-05-02")
	l = laidOf(t, "", from, to)
	assert.False(t, l.BySeason)
	require.Len(t, l.Outings, 1)
	assert.Equal(t, "point", l.Outings[0].Parts[0].Bed, "the only day cannot hold the two low waters that the ledge takes")
	assert.Equal(t, plan.TooFew, l.Without[0].Cause)

	l = laidOf(t, "", survey.NoDay, to)
	assert.Equal(t, "2030-06-20", l.From.String(), "the day of the assessment")
	l = laidOf(t, "", from, survey.NoDay)
	assert.Equal(t, "2031-07-30", l.To.String(), "the end of the table")
}

// What the rules say of one zone holds the guesses of the others in order.
func TestZoneHeights(t *testing.T) {
	f := &survey.Folder{}
	for i := range 11 {
		f.LowWaters = append(f.LowWaters, survey.LowWater{Height: float64(i) / 10})
	}
	at := func(lower, mid, upper survey.Num) (out [3]float64) {
		r := DefaultRules()
		r.Plan.At = [3]survey.Num{lower, mid, upper}
		for i, z := range zoneHeights(f, r) {
			out[i] = z.at
		}
		return out
	}
	none := survey.Num{}
	assert.InDeltaSlice(t, []float64{0.1, 0.3, 0.6}, slice3(at(none, none, none)), 1e-12)
	assert.InDeltaSlice(t, []float64{0.5, 0.5, 0.6}, slice3(at(survey.Some(0.5), none, none)), 1e-12)
	assert.InDeltaSlice(t, []float64{0.05, 0.05, 0.05}, slice3(at(none, none, survey.Some(0.05))), 1e-12)
	assert.InDeltaSlice(t, []float64{0.1, 0.9, 0.9}, slice3(at(none, survey.Some(0.9), none)), 1e-12)
}

func slice3(a [3]float64) []float64 { return a[:] }

// The season is the first that is not over; the day of a leap year has a turn in every year.
func TestTurnAfter(t *testing.T) {
	for _, c := range []struct{ last, today, want string }{
		{"2030-06-10", "2030-09-01", "2031-06-10"}, {"2030-06-10", "2031-07-08", "2031-06-10"}, {"2030-06-10", "2031-07-09", "2032-06-10"},
		{"2028-02-29", "2028-03-01", "2029-03-01"},
	} {
		assert.Equal(t, c.want, turnAfter(dayOf(t, c.last), dayOf(t, c.today)).String())
	}
}

// Where not all beds fit, those open to cutting and surveyed longest ago have the days, and a closed one has one only if
// there is room; what is laid later than the quota asks for is told.
func TestDaysGoWhereTheyMatter(t *testing.T) {
	files := daysFolder("[plan]\nlower_at_m = 0.7\nupper_at_m = 0.7\nday_from = \"05:00\"\nday_to = \"20:00\"\n")
	files["beds.csv"] = &fstest.MapFile{Data: []byte("bed,shore,zone,area_m2\nledge,north,lower,900\npoint,south,upper,900\nrocks,west,lower,900\n")}
	add(files, "quadrats.csv", "ledge,2028-06-10,T2,q1,0.25,Fucus serratus,40,500\nrocks,2028-06-10,T1,q1,0.25,Fucus serratus,40,500\nrocks,2028-06-10,T2,q1,0.25,Fucus serratus,30,400\n")
	files["tides.csv"] = &fstest.MapFile{Data: []byte("time,height_m\n2031-05-20 18:00,0.4\n2031-05-21 18:40,0.3\n2031-05-23 08:00,0.8\n")}
	table, _ := survey.ReadSpecies(data.FS, "species.csv")
	lay := func() Laid {
		f, r, err := Load(files, table, LoadOptions{})
		require.NoError(t, err)
		p := plan.Plan{Beds: []plan.Bed{{Bed: "ledge", Status: plan.OK, Work: 100}, {Bed: "point", Status: plan.OK, Work: 100}, {Bed: "rocks", Status: plan.OK, Work: 200}}}
		l, ok := LayDays(f, r, p, dayOf(t, "2031-05-01"), dayOf(t, "2031-06-30"))
		require.True(t, ok)
		return l
	}
	without := func(l Laid) (out []string) {
		for _, w := range l.Without {
			out = append(out, w.Bed)
		}
		return out
	}
	l := lay()
	assert.True(t, l.Ranked)
	assert.Equal(t, []string{"ledge", "point"}, without(l), "the bed of 2028 takes both low waters, two others would fit")
	assert.Equal(t, 2, l.Most)
	require.NotEmpty(t, l.Late)
	assert.Equal(t, Due{"rocks", "Fucus serratus", "spring", dayOf(t, "2030-03-15"), true}, l.Late[0], "a season that runs is late already")
	assert.Contains(t, l.Late[0].Words(), "the spring season from 2030-03-15 is running and began over a year after")
	assert.Equal(t, Due{"rocks", "Fucus serratus", "autumn", dayOf(t, "2030-08-15"), false}, l.Late[1])
	assert.Contains(t, l.Late[1].Words(), "survey it before then (--to 2030-08-14)")
	files["closures.csv"] = &fstest.MapFile{Data: []byte("bed,species,from,to,reason\nrocks,,2030-01-01,,works\n")}
	l = lay()
	assert.Equal(t, []string{"rocks"}, without(l))
	assert.Equal(t, "works", l.ClosedOn("rocks", dayOf(t, "2031-05-20")))
	assert.Empty(t, l.ClosedOn("ledge", dayOf(t, "2031-05-20")))
	assert.Empty(t, l.Late, "a closed bed has no season to be surveyed for")
}
