package survey

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// lengthTable reads a table of testdata/length without its header; blank cells are NaN.
func lengthTable(t testing.TB, name string) [][]string {
	t.Helper()
	return readTable(t, "length/"+name)[1:]
}

func numOf(t testing.TB, cell string) float64 {
	t.Helper()
	if cell == "" {
		return blank
	}
	return number(t, cell)
}

// lengthReference are the results of testdata/length/length.R (R 4.2.2, survey 4.1.1).
func lengthReference(t testing.TB) map[string]float64 {
	t.Helper()
	out := map[string]float64{}
	for _, rec := range lengthTable(t, "length_R.csv") {
		out[rec[0]] = numOf(t, rec[1])
	}
	return out
}

// lengthFolder is bed A of length.R with its fronds, and the length rules used there.
func lengthFolder(t testing.TB, name string) *Folder {
	t.Helper()
	var rows []quad
	for _, rec := range lengthTable(t, name+"_quadrats.csv") {
		m2, kg := numOf(t, rec[3]), numOf(t, rec[4])
		q := clipped("A", rec[1], rec[2], "Fucus", testDay, 50, kg*m2*1000)
		if kg == 0 {
			q.cover = 0
		}
		q.stratum, q.m2 = rec[0], m2
		rows = append(rows, q)
	}
	f := folderOf([]Bed{bedOf("A", 5000)}, rows)
	f.Strata = threeStrata()
	f.Species = []Species{{Name: "Fucus", MinLength: Some(40), Leave: Some(20), RecruitLen: Some(25)}}
	for _, rec := range lengthTable(t, name+"_fronds.csv") {
		frondAt(f, rec[0], rec[1], rec[2], "Fucus", numOf(t, rec[3]), numOf(t, rec[4]))
	}
	return f
}

// frondAt adds one frond of bed A.
func frondAt(f *Folder, stratum, transect, quadrat, species string, length, wet float64) {
	id := func(s string) uint32 {
		i, ok := slices.BinarySearch(f.Names, s)
		if !ok {
			panic("not interned: " + s)
		}
		return uint32(i)
	}
	fr := &f.Fronds
	fr.Bed, fr.Stratum, fr.Transect = append(fr.Bed, id("A")), append(fr.Stratum, id(stratum)), append(fr.Transect, id(transect))
	fr.Quadrat, fr.Species, fr.Stage = append(fr.Quadrat, id(quadrat)), append(fr.Species, id(species)), append(fr.Stage, 0)
	fr.Day, fr.Length, fr.Wet = append(fr.Day, testDay), append(fr.Length, length), append(fr.Wet, wet)
	fr.Line = append(fr.Line, int32(len(fr.Line)+2))
}

// theLengths is the one summary of a folder.
func theLengths(t testing.TB, f *Folder) LengthSummary {
	t.Helper()
	all := Lengths(f, DefaultOptions())
	require.Len(t, all, 1)
	return all[0]
}

// sampleOf is the sample of the only species and survey of a folder, with a power of 2 taken as known.
func sampleOf(t testing.TB, f *Folder) *lengthSample {
	t.Helper()
	all := rounds(f, 45)
	require.Len(t, all, 1)
	s := newFieldwork(f, all[0], "adjust")
	id, ok := slices.BinarySearch(f.Names, "Fucus")
	require.True(t, ok)
	r := s.readings(&f.Quadrats, s.species[uint32(id)])
	w := s.spread(r.kg)
	lengths := newLengths(f, frondRows(f))
	spread := lengths.spread("Fucus")
	spread.power, spread.powerSE = 2, 0
	return newLengthSample(s, r, w, lengths.of(f, s)[uint32(id)], spread)
}

// Against svymean, svyciprop, svyratio and svyquantile on a sample in which all quadrats of a stratum weigh alike.
func TestLengthsAsR(t *testing.T) {
	ref := lengthReference(t)
	l := sampleOf(t, lengthFolder(t, "even"))
	m := l.estimate(meanLength()).Interval(0.95)
	approx(t, "mean", m.Value, ref["even mean"], 1e-12, 0)
	approx(t, "mean se", m.SE, ref["even mean se"], 1e-11, 0)
	approx(t, "mean lo", m.Lo, ref["even mean lo"], 1e-11, 0)
	approx(t, "mean hi", m.Hi, ref["even mean hi"], 1e-11, 0)
	_, df := l.units()
	approx(t, "df", df, ref["even df"], 0, 0)
	p := l.shareOfFronds(shorter(25, false), 0.95)
	approx(t, "recruits", p.Value, ref["even recruits"], 1e-12, 0)
	approx(t, "recruits se", p.SE, ref["even recruits se"], 1e-10, 0)
	approx(t, "recruits lo", p.Lo, ref["even recruits lo"], 1e-8, 0) // svyglm iterates
	approx(t, "recruits hi", p.Hi, ref["even recruits hi"], 1e-8, 0)
	for name, q := range map[string]quantity{"long": taken(40, 0), "taken": taken(40, 20), "rest": taken(20, 20)} {
		e := l.share(q, 0.95)
		approx(t, name, e.Value, ref["even "+name], 1e-12, 0)
		approx(t, name+" se", e.SE, ref["even "+name+" se"], 1e-10, 0)
	}
	for _, q := range l.percentiles(percents, 0.95) {
		how := "mean"
		if q.P == 0.05 { // the plain interval of the share would reach below 0
			how = "xlogit"
		}
		name := fmt.Sprintf("even %v %s ", q.P, how)
		approx(t, name, q.Value, ref[name+"quantile"], 1e-12, 0)
		approx(t, name+"lo", q.Lo, ref[name+"ci.2.5"], 1e-10, 0)
		approx(t, name+"hi", q.Hi, ref[name+"ci.97.5"], 1e-10, 0)
		approx(t, name+"se", q.SE, ref[name+"se"], 1e-9, 0)
	}
	var out LengthSummary
	l.describe(&out)
	approx(t, "effective", out.Effective, ref["even effective"], 1e-12, 0)
}

// Against post-stratified ratios of a domain, with unequal quadrats and transects, the power fitted by lm.
func TestLengthsUnevenAsR(t *testing.T) {
	ref := lengthReference(t)
	f := lengthFolder(t, "uneven")
	s := theLengths(t, f)
	for name, e := range map[string]Estimate{"mean": s.Mean, "recruits": s.Recruits, "long": s.LongEnough, "taken": s.Exploitable,
		"rest": s.AboveLeave} {
		approx(t, name, e.Value, ref["uneven "+name], 1e-11, 0)
		approx(t, name+" se", e.SE, ref["uneven "+name+" se"], 1e-9, 0)
	}
	approx(t, "known", s.Known, ref["uneven known"], 1e-12, 0)
	assert.Equal(t, FromFronds, s.Source)
	assert.Equal(t, OK, s.Status)
	assert.Equal(t, 145, s.Fronds)

	st := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	approx(t, "stock", st.Exploitable, ref["uneven taken"], 1e-11, 0)
	approx(t, "stock se", st.ExploitableSE, ref["uneven taken se"], 1e-9, 0)
}

// By hand, w = L²: quadrat 1 (2 kg/m2) has fronds of 10 and 30, so it stands for 2/1000 of each; quadrat 2 (12 kg/m2)
// one of 40, which stands for 12/1600. Mean (0.002*40 + 0.0075*40)/(0.004 + 0.0075).
func TestLengthsByHand(t *testing.T) {
	rows := []quad{clipped("A", "", "1", "Fucus", testDay, 50, 500), clipped("A", "", "2", "Fucus", testDay, 50, 3000),
		seen("A", "", "3", "", testDay, 0)}
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	f.Species = []Species{{Name: "Fucus", MinLength: Some(25), Leave: Some(20), RecruitLen: Some(12)}}
	addFronds(f, "1", "Fucus", []float64{30, 10}, nil)
	addFronds(f, "2", "Fucus", []float64{40}, nil)
	s := theLengths(t, f)
	approx(t, "mean", s.Mean.Value, 0.0095*40/0.0115, 1e-14, 0)
	approx(t, "recruits", s.Recruits.Value, 0.002/0.0115, 1e-14, 0)
	approx(t, "long", s.LongEnough.Value, (2*0.9+12)/14, 1e-14, 0)
	approx(t, "exploitable", s.Exploitable.Value, (2*0.5+12*0.75)/14, 1e-14, 0)
	approx(t, "above leave", s.AboveLeave.Value, s.Exploitable.Value, 1e-14, 0)
	approx(t, "longest", s.Longest.V, 40, 0, 0)
	approx(t, "known", s.Known, 1, 1e-14, 0)
	approx(t, "median", s.Percentiles[2].Value, WeightedQuantile([]float64{10, 30, 40}, []float64{2, 2, 7.5}, 0.5), 1e-14, 0)
	assert.Equal(t, [4]int{3, 2, 0, 2}, [4]int{s.Fronds, s.Quadrats, s.Means, s.Units})
	for _, want := range []string{"only 3 fronds measured: measure 30 or more", "lengths from only 2 quadrats: measure in 3 or more",
		"one quadrat (2) stands for 65 % of all fronds", "0 fronds weighed, 10 needed: weight taken as length to the power 2"} {
		assert.True(t, slices.ContainsFunc(s.Warnings, func(w string) bool { return strings.Contains(w, want) }), "%q in %q", want, s.Warnings)
	}
}

// What is known of lengths as means alone, against R (mixture of lognormals, uniroot to 1e-13).
func TestLengthsFromMeans(t *testing.T) {
	ref := lengthReference(t)
	rows := []quad{clipped("A", "", "1", "Fucus", testDay, 50, 2000), clipped("A", "", "2", "Fucus", testDay, 50, 1000)}
	rows[0].frond, rows[1].frond = 40, 25
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	f.Species = []Species{{Name: "Fucus", MinLength: Some(35), RecruitLen: Some(25)}}
	s := theLengths(t, f)
	assert.Equal(t, FromMeans, s.Source)
	approx(t, "mean", s.Mean.Value, ref["means mean"], 1e-13, 0)
	approx(t, "recruits", s.Recruits.Value, ref["means below 25"], 1e-12, 0)
	for _, q := range s.Percentiles {
		approx(t, "percentile", q.Value, ref[fmt.Sprintf("means %v", q.P)], 1e-8, 0)
		assert.LessOrEqual(t, q.Lo, q.Value)
		assert.GreaterOrEqual(t, q.Hi, q.Value)
	}
	approx(t, "exploitable", s.Exploitable.Value, (2*exploitableShare(40, 0.4, 2, 35, 0)+exploitableShare(25, 0.4, 2, 35, 0))/3, 1e-13, 0)
	approx(t, "as in the stock", only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024").ExploitableSE, s.Exploitable.SE, 0, 0)
	assert.False(t, s.Longest.OK)
	assert.Contains(t, s.Warnings[0], "mean lengths only")

	addFronds(f, "2", "Fucus", []float64{20, 24, 31}, nil)
	s = theLengths(t, f)
	assert.Equal(t, FromBoth, s.Source)
	assert.Equal(t, [3]int{3, 1, 1}, [3]int{s.Fronds, s.Quadrats, s.Means})
	approx(t, "longest", s.Longest.V, 31, 0, 0)
}
