package report

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// For symmetric intervals the change has the interval of two independent normal estimates: 10 ± 3 to 20 ± 4 is
// 10 ± sqrt(3² + 4²) = 10 ± 5.
func TestDifferenceOfTwoIntervals(t *testing.T) {
	d, finding := difference(span3{10, 7, 13}, span3{20, 16, 24})
	approx(t, "change", d.Value, 10, 0, 1e-12)
	approx(t, "lower", d.Lo, 5, 0, 1e-12)
	approx(t, "upper", d.Hi, 15, 0, 1e-12)
	assert.Equal(t, beyondIntervals, finding)

	// Not symmetric: the lower end takes the lower arm of the later and the upper arm of the earlier estimate.
	d, finding = difference(span3{10, 9, 18}, span3{20, 14, 21})
	approx(t, "lower", d.Lo, 10-math.Hypot(6, 8), 0, 1e-12)
	approx(t, "upper", d.Hi, 10+math.Hypot(1, 1), 0, 1e-12)
	assert.Equal(t, withinIntervals, finding, "0 is just held")
	_, finding = difference(span3{20, 16, 24}, span3{10, 7, 13})
	assert.Equal(t, beyondIntervals, finding, "less is a change too")
	_, finding = difference(span3{20, math.NaN(), math.NaN()}, span3{10, 7, 13})
	assert.Equal(t, cannotCompare, finding)
}

const (
	stockHead    = "bed,species,survey,date,stock_kg,lo_kg,hi_kg,status\n"
	growthHead   = "bed,species,r_per_year,r_lo,r_hi,k_kg,k_lo,k_hi\n"
	quotaHead    = "bed,species,season,from,advised_kg,limited_by\n"
	pressureHead = "bed,species,from,to,verdict\n"
)

// tablesWith makes the tables of a report from their rows.
func tablesWith(stock, growth, quota, pressure string) map[string][]byte {
	return map[string][]byte{"stock.csv": []byte(stockHead + stock), "growth.csv": []byte(growthHead + growth),
		"quota.csv": []byte(quotaHead + quota), "pressure.csv": []byte(pressureHead + pressure)}
}

// changesOf compares the records of two sets of tables.
func changesOf(t *testing.T, before, after map[string][]byte) (words []string) {
	t.Helper()
	b, err := recordsOf(before)
	require.NoError(t, err)
	a, err := recordsOf(after)
	require.NoError(t, err)
	for _, c := range goneAndNew(b, a) {
		words = append(words, strings.TrimPrefix(c.Bed+"/"+c.Species+": "+c.Words, "/"))
	}
	for _, key := range a.keys() {
		if old := b.stands[key]; old != nil {
			for _, c := range old.against(a.stands[key], true) {
				words = append(words, c.Words)
			}
		}
	}
	return words
}

func TestChangesInWords(t *testing.T) {
	before := tablesWith("a,Alga,2024,2024-08-01,50000,45000,55000,ok\na,Alga,2025,2025-08-01,43200,40000,46400,ok\ngone,Alga,2025,2025-08-01,1,1,1,ok\n",
		"a,Alga,0.5,0.4,0.6,60000,50000,70000\n", "a,Alga,autumn,2025-08-15,2000,cap\na,Alga,spring,2026-03-15,1100,cap\n",
		"a,Alga,2024-08-01,2025-08-01,below recovery\n")
	after := tablesWith("a,Alga,2025,2025-08-01,43200,40000,46400,ok\na,Alga,2026,2026-08-01,29900,27000,32800,ok\n'=new,Alga,2026,2026-08-01,1,1,1,ok\na,Other,2026,2026-08-01,1,1,1,ok\n",
		"a,Alga,0.3,0.2,0.4,60000,50000,70000\n", "a,Alga,autumn,2026-08-15,0,low stock\na,Alga,spring,2027-03-15,0,low stock\n",
		"a,Alga,2024-08-01,2025-08-01,below recovery\na,Alga,2025-08-01,2026-08-01,\"above recovery, still above the best level\"\n")
	assert.Equal(t, []string{
		"=new/: a new bed",
		"a/Other: this species was not recorded on the bed before",
		"gone/: this bed is no longer in the survey folder",
		"stock from 43 200 kg to 29 900 kg, more than the two intervals allow",
		"advised from 3100 kg to 0 kg, now held by low stock, before by the cap",
		"cut against recovery: above recovery, before below recovery",
		"r 0.300 a year (0.200 to 0.400), before 0.500 a year (0.400 to 0.600)",
	}, plainBlanks(changesOf(t, before, after)))
	assert.Empty(t, changesOf(t, after, after))
}

// A stock of a part of a bed is not set against one of the whole, and a survey that gives another figure than before is no
// new survey.
func TestChangesOfStocksThatCannotBeCompared(t *testing.T) {
	whole := tablesWith("a,Alga,2025,2025-08-01,43200,40000,46400,ok\n", "", "", "")
	later := tablesWith("a,Alga,2025,2025-08-01,43200,40000,46400,ok\na,Alga,2026,2026-08-01,2000,1000,3000,surveyed part only\n", "", "", "")
	assert.Empty(t, changesOf(t, whole, later))
	part := tablesWith("a,Alga,2026,2026-08-01,2000,1000,3000,surveyed part only\n", "", "", "")
	assert.Equal(t, []string{"stock from 43 200 kg to 2000 kg on a part of the bed, the intervals cannot tell whether it changed"}, plainBlanks(changesOf(t, whole, part)))
	mended := tablesWith("a,Alga,2025,2025-08-01,41000,38000,44000,ok\n", "", "", "")
	assert.Equal(t, []string{"the stock of survey 2025 is now put at 41 000 kg, before at 43 200 kg"}, plainBlanks(changesOf(t, whole, mended)))
	lost := tablesWith("a,Alga,2025,2025-08-01,,,,not estimable\n", "", "", "")
	assert.Equal(t, []string{"stock not estimable, before 43 200 kg"}, plainBlanks(changesOf(t, whole, lost)))
}

func TestChangesNeedTheTables(t *testing.T) {
	_, err := recordsOf(map[string][]byte{})
	assert.EqualError(t, err, "no stock.csv in it")
	_, err = recordsOf(map[string][]byte{"stock.csv": []byte("bed,kg\na,1\n")})
	assert.EqualError(t, err, "stock.csv: no columns bed and species")
}

// The report against itself: nothing changed, and everything says so.
func TestNothingChanged(t *testing.T) {
	a := demoOnce()
	tables, _, err := tablesOf(a, invented)
	require.NoError(t, err)
	opt := invented
	opt.Against = &Earlier{AsOf: a.Folder.AsOf.String(), Version: invented.Version, Seed: a.Seed, Invented: true, Rules: map[string]string{},
		Inputs: map[string]string{}, Tables: tables}
	for _, s := range a.Rules.Settings {
		opt.Against.Rules[s.Name] = s.Value
	}
	for _, in := range a.Folder.Inputs {
		opt.Against.Inputs[in.Path] = in.SHA256
	}
	files, changes, err := tablesOf(a, opt)
	require.NoError(t, err)
	assert.Empty(t, changes)
	assert.Contains(t, string(files["datapackage.json"]), `"path": "changes.csv"`)
	opt.Against.Rules["risk"], opt.Against.Seed = "0.2", 9
	_, changes, err = tablesOf(a, opt)
	require.NoError(t, err)
	require.Len(t, changes, 2)
	assert.Equal(t, "rule risk: 0.05, before 0.2 (default)", changes[0].Words)
	assert.Equal(t, "seed: 1, before 9", changes[1].Words)
}

// plainBlanks puts blanks where thousands are parted.
func plainBlanks(list []string) []string {
	for i := range list {
		list[i] = strings.NewReplacer("\u00a0", " ", "\u202f", " ").Replace(list[i])
	}
	return list
}
