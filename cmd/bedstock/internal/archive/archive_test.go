package archive

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

// Surveys, strata, transects and quadrats lie in one another.
func TestEventsAreNested(t *testing.T) {
	a, _ := pack(t, folderOf(small()), plainOptions())
	var got []string
	for _, e := range a.Events {
		got = append(got, strings.Join([]string{e.Type, short(e.ID), short(e.Parent), interval(e.From, e.To), e.Label, e.Effort, number(e.M2)}, " | "))
	}
	assert.Equal(t, []string{
		"Survey | survey:b+1:2024 |  | 2024-07-01/2024-07-02 | 2024 | 3 quadrats | 0",
		"Stratum | survey:b+1:2024:stratum:low | survey:b+1:2024 | 2024-07-01/2024-07-02 | low | 2 quadrats | 0",
		"Stratum | survey:b+1:2024:stratum:high | survey:b+1:2024 | 2024-07-01/2024-07-02 | high | 1 quadrat | 0",
		"Transect | survey:b+1:2024:transect:high:T1 | survey:b+1:2024:stratum:high | 2024-07-02 | T1 | 1 quadrat | 0",
		"Quadrat | quadrat:b+1:2024-07-02:high:T1:Q3 | survey:b+1:2024:transect:high:T1 | 2024-07-02 | Q3 | 1 quadrat | 0.25",
		"Transect | survey:b+1:2024:transect:high:T2 | survey:b+1:2024:stratum:high | 2024-07-02 | T2 | 0 quadrats | 0",
		"Quadrat | quadrat:b+1:2024-07-02:high:T2:Q1 | survey:b+1:2024:transect:high:T2 | 2024-07-02 | Q1 | none: not reached | 0",
		"Transect | survey:b+1:2024:transect:low:T1 | survey:b+1:2024:stratum:low | 2024-07-01 | T1 | 2 quadrats | 0",
		"Quadrat | quadrat:b+1:2024-07-01:low:T1:Q1 | survey:b+1:2024:transect:low:T1 | 2024-07-01 | Q1 | 1 quadrat | 0.25",
		"Quadrat | quadrat:b+1:2024-07-01:low:T1:Q2 | survey:b+1:2024:transect:low:T1 | 2024-07-01 | Q2 | 1 quadrat | 0.25",
		"Survey | run:b2:2024-08-01 |  | 2024-08-01/2024-08-03 | 2024 | 2 quadrats | 0",
		"Quadrat | quadrat:b2:2024-08-01:::1 | run:b2:2024-08-01 | 2024-08-01 | 1 | 1 quadrat | 1",
		"Quadrat | quadrat:b2:2024-08-03:::2 | run:b2:2024-08-01 | 2024-08-03 | 2 | 1 quadrat | 1",
		"Survey | day:b2:2024-09-30 |  | 2024-09-30 | 2024-09-30 | 0 quadrats | 0",
		"Fronds | quadrat:b2:2024-09-30:::9 | day:b2:2024-09-30 | 2024-09-30 | 9 |  | 0",
		"Survey | day:b2:2024-12-01 |  | 2024-12-01 | 2024-12-01 | 0 quadrats | 0",
		"Quadrat | quadrat:b2:2024-12-01:::1 | day:b2:2024-12-01 | 2024-12-01 | 1 | none: could not be sampled | 0",
	}, got)
}

// short drops the data set's name.
func short(id string) string { return strings.TrimPrefix(id, "short-name:") }

// What was looked for and not found is an absence, what was written down as 0 has a measurement besides, and a quadrat
// that was not visited says nothing.
func TestAbsences(t *testing.T) {
	a, _ := pack(t, folderOf(small()), plainOptions())
	got := map[string]string{}
	for _, o := range a.Occurrences {
		var facts []string
		for _, m := range a.Measurements {
			if m.Occurrence == o.ID {
				facts = append(facts, m.Key+" "+m.Value+" "+m.Of.unit)
			}
		}
		status := map[bool]string{true: "present", false: "absent"}[o.Present]
		got[short(o.ID)] = strings.TrimSpace(status + " " + o.Stage + ": " + strings.Join(facts, ", "))
	}
	q := "quadrat:b+1:2024-07-01:low:T1:"
	assert.Equal(t, map[string]string{
		q + "Q1:Fucus+serratus":                              "present : cover 40 percent, weight 0.8125 kg, weight_m2 13000 g/m2, weighed 0.0625 m2, length 35.5 cm",
		q + "Q1:Fucus+serratus:1":                            "present adult: length 31 cm, weight 0.0205 kg",
		q + "Q1:Fucus+serratus:2":                            "present recruit: length 12 cm",
		q + "Q1:Palmaria+palmata":                            "absent : cover 0 percent",
		q + "Q1:Palmaria+palmata:1":                          "present : length 9 cm",
		q + "Q2:Fucus+serratus":                              "absent :",
		q + "Q2:Palmaria+palmata":                            "absent :",
		"quadrat:b+1:2024-07-02:high:T1:Q3:Fucus+serratus":   "present : cover 0 percent, weight 0.003 kg, weight_m2 12 g/m2",
		"quadrat:b+1:2024-07-02:high:T1:Q3:Palmaria+palmata": "absent :",
		"quadrat:b2:2024-08-01:::1:Fucus+serratus":           "absent :",
		"quadrat:b2:2024-08-01:::1:Laminaria+digitata":       "present : cover 60 percent, weight 4.1 kg, weight_m2 4100 g/m2",
		"quadrat:b2:2024-08-01:::1:Palmaria+palmata":         "absent :",
		"quadrat:b2:2024-08-03:::2:Fucus+serratus":           "absent :",
		"quadrat:b2:2024-08-03:::2:Laminaria+digitata":       "present : cover 55 percent",
		"quadrat:b2:2024-08-03:::2:Palmaria+palmata":         "absent :",
		"quadrat:b2:2024-09-30:::9:Laminaria+digitata:1":     "present : length 101 cm, weight 0.35 kg",
	}, got)
	assert.Contains(t, a.Notes, "left out: 1 row of quadrats.csv that are only planned")
}

// Ids are unique, and rows of a later year, a survey that goes on and a survey that is declared in between change none.
func TestIDsAreUniqueAndStable(t *testing.T) {
	before, _ := pack(t, folderOf(small()), plainOptions())
	later := small()
	later["quadrats.csv"] += "b2,2024-08-20,,,3,1,done,Alaria esculenta,20,,,,,\nb 1,2025-07-01,low,T1,Q1,0.25,done,Fucus serratus,30,,,,,\n"
	later["fronds.csv"] += "b 1,2025-07-01,low,T1,Q1,Fucus serratus,22,,\n"
	later["surveys.csv"] += "b 1,2025,2025-07-01,2025-07-02,,,,,\n"
	later["rules.toml"] = strings.Replace(later["rules.toml"], "2025-01-01", "2025-12-01", 1)
	after, _ := pack(t, folderOf(later), plainOptions())
	events, occurrences, measurements := idsOf(t, before)
	moreEvents, moreOccurrences, moreMeasurements := idsOf(t, after)
	assert.Subset(t, moreEvents, events)
	assert.Subset(t, moreOccurrences, occurrences)
	assert.Subset(t, moreMeasurements, measurements)
	assert.Greater(t, len(moreEvents), len(events))
}

// idsOf lists the ids of an archive, all different and each parent there.
func idsOf(t *testing.T, a *Archive) (events, occurrences, measurements []string) {
	s := a.sheets()
	parents := []string{""}
	for _, r := range s[0].all() {
		events, parents = append(events, r[0]), append(parents, r[2])
	}
	for _, r := range s[1].all() {
		occurrences = append(occurrences, r[2])
		assert.Contains(t, events, r[0])
	}
	for _, r := range s[2].all() {
		measurements = append(measurements, r[1])
		assert.Contains(t, append(occurrences, ""), r[2])
	}
	for _, list := range [][]string{events, occurrences, measurements} {
		l := slices.Sorted(slices.Values(list))
		require.Equal(t, slices.Compact(slices.Clone(l)), l, "ids are unique")
	}
	assert.Subset(t, append(events, ""), parents)
	return
}

// Labels with any characters make different ids.
func TestIDsOfOddLabels(t *testing.T) {
	n := ids{"d"}
	seen := map[string]bool{}
	labels := []string{"a", "a:b", "a b", "a+b", "a%3Ab", "", "é", "a/b", "A"}
	for _, x := range labels {
		for _, y := range labels {
			id := n.quadrat(place{bed: x, stratum: y, quadrat: "q", day: survey.MakeDay(2024, 1, 2)})
			assert.NotContains(t, id, " ")
			assert.False(t, seen[id], id)
			seen[id] = true
		}
	}
}

// Nothing that tells who did what is in an archive unless it is asked for.
func TestPeople(t *testing.T) {
	texts := with(small(), "harvest.csv", "bed,date,species,wet_kg,permit\nb2,2024-09-01,Laminaria digitata,20,P-1\n")
	texts["permits.csv"] = "permit,bed,species,share\nP-1,b2,,1\n"
	texts["events.csv"] = "bed,date,kind,fraction_left,notes\nb2,2024-11-01,storm,0.9,seen by A. Nobody\n"
	a, _ := pack(t, folderOf(texts), plainOptions())
	all := everything(t, a)
	for _, word := range []string{"Nobody", "AN", "BN", "P-1", "swell"} {
		assert.NotContains(t, all, "\t"+word+"\t")
		assert.NotRegexp(t, `\b`+word+`\b`, all)
	}
	assert.Equal(t, 3, strings.Count(all, "PERMANENT TRANSECTS"), "in the event, the table and the methods, through the scrubber")
	assert.NotContains(t, all, "permanent transects")
	assert.Contains(t, strings.Join(a.Notes, "\n"), "left out without --people: harvest.csv, permits.csv (who took")
	assert.Contains(t, strings.Join(a.Notes, "\n"), "left out without --people: people of surveys.csv, notes of surveys.csv, observer of quadrats.csv")

	opt := plainOptions()
	opt.People = true
	a, _ = pack(t, folderOf(texts), opt)
	all = everything(t, a)
	for _, word := range []string{"A. Nobody", "\tAN\t", "P-1", "swell", "permanent transects"} {
		assert.Contains(t, all, word)
	}
	assert.NotContains(t, all, "# who")
}

func everything(t *testing.T, a *Archive) string {
	var b strings.Builder
	for _, s := range a.sheets() {
		b.Write(s.text(t))
	}
	for _, c := range a.Carried {
		fmt.Fprintf(&b, "%s\n%s\n", c.File(), c.Bytes())
	}
	b.Write(a.emlXML())
	return b.String()
}

// An invented survey says so in title, abstract and every row; one that says so already does not twice.
func TestInvented(t *testing.T) {
	opt := plainOptions()
	opt.Invented = true
	a, _ := pack(t, folderOf(small()), opt)
	assert.Equal(t, "INVENTED DATA: Seaweed beds of ..., surveyed since ...", a.Dataset.Title)
	assert.True(t, strings.HasPrefix(a.Dataset.Abstract, "INVENTED DATA: "))
	assert.Equal(t, a.Dataset, markInvented(a.Dataset))
	for _, e := range a.Events {
		assert.True(t, strings.HasPrefix(e.Remarks, invented), e.ID)
	}
	for _, o := range a.Occurrences {
		assert.True(t, strings.HasPrefix(o.Remarks, invented), o.ID)
	}
	for _, c := range a.Carried {
		if c.Name == "surveys" {
			assert.Contains(t, string(c.Bytes()), invented)
		}
	}
}

func TestMovedPoint(t *testing.T) {
	for grams, kg := range map[string]string{"0": "0", "1": "0.001", "812.5": "0.8125", "1000": "1", "12345": "12.345", "0.5": "0.0005", "1200": "1.2"} {
		assert.Equal(t, kg, thousandth(grams))
		assert.Equal(t, grams, thousandfold(kg))
	}
}

// A coarse archive rounds every position, leaves outlines out, says so, and gives the same stocks.
func TestCoarse(t *testing.T) {
	texts := with(small(), "beds.geojson", outline)
	texts["beds.csv"] = strings.NewReplacer("b2,,West,,500", "b2,,West,,", "50.1,-30.2", "50.14,-0.04").Replace(texts["beds.csv"])
	opt := plainOptions()
	opt.Coarse = true
	a, zipped := pack(t, folderOf(texts), opt)
	for _, row := range a.sheets()[0].all() {
		at := row[12:18]
		// half the diagonal of 11.132 km by 7.141 km
		assert.Equal(t, []string{"50.1", map[string]string{"b 1": "0", "b2": "-30.2"}[row[8]], "EPSG:4326"}, at[:3])
		assert.Equal(t, "6613", at[3])
		assert.Equal(t, []string{"", ""}, at[4:])
		assert.Equal(t, generalised, row[23])
	}
	assert.NotContains(t, everything(t, a), "50.14")
	assert.NotContains(t, everything(t, a), "50.101")
	assert.Contains(t, a.Notes, "coarse: "+generalised)
	r := open(t, zipped)
	assert.NotContains(t, r.Files, "beds.geojson")
	f, rules := load(t, folderOf(texts))
	g, _ := load(t, asFS(r))
	assert.Equal(t, fmt.Sprintf("%#v", survey.Stocks(f, rules.Survey)), fmt.Sprintf("%#v", survey.Stocks(g, rules.Survey)))
}

// What registers will ask for is said beforehand, and that absences were not declared.
func TestLacking(t *testing.T) {
	texts := small()
	texts["quadrats.csv"] += "b2,2024-08-03,,,3,1,done,Odd weed,5,,,,,\n"
	a, _ := pack(t, folderOf(texts), plainOptions())
	all := strings.Join(a.Notes, "\n")
	assert.Contains(t, all, "no number in the World Register of Marine Species for Odd weed: registers ask for it; aphia_id of species.csv")
	assert.Contains(t, all, "no position of bed b2: registers ask for it; lat and lon of beds.csv")
	assert.Contains(t, all, "1 survey of which is not said what was looked for")
}
