package report

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model"
	"bedstock/model/offtake"
	"bedstock/survey"
)

func TestFiguresOfTheDemo(t *testing.T) {
	a, figs := demoOnce(), demoFigures()
	for i, kind := range []string{KindPressure, KindLimits, KindMap} {
		assert.Equal(t, kind, figs[i].Kind)
	}
	n := 3
	for i := range a.Units {
		u := &a.Units[i]
		want := []string{KindHistory}
		if u.Basis != nil {
			want = []string{KindRecovery, KindYield, KindHistory}
		}
		if f := figs[min(n+len(want), len(figs)-1)]; f.Kind == KindLengths {
			want = append(want, KindLengths)
		}
		for _, kind := range want {
			assert.Equal(t, kind, figs[n].Kind)
			assert.Equal(t, [2]string{u.Bed, u.Species}, [2]string{figs[n].Bed, figs[n].Species})
			n++
		}
	}
	for _, p := range a.Plots {
		if p.Status != "not estimable" {
			assert.Equal(t, [2]string{KindRegrowth, p.Plot}, [2]string{figs[n].Kind, figs[n].Plot})
			n++
		}
	}
	assert.Len(t, figs, n)
	for _, f := range figs {
		assert.Contains(t, string(f.SVG), "INVENTED DATA")
		assert.Regexp(t, `^\d\d+-[a-z0-9-]+$`, f.Name)
	}
}

func TestManyStandsShowOnlyWhatNeedsAction(t *testing.T) {
	a := madeUp()
	one := a.Units
	for withStock(a) <= mostUnits {
		a.Units = append(a.Units, one...)
	}
	for _, i := range drawn(a) {
		assert.Contains(t, []state{stateAbove, stateLow}, stateOf(a, &a.Units[i]))
	}
	assert.Less(t, len(drawn(a)), len(a.Units)/2)
	a.Units = one
	assert.Equal(t, []int{0, 1, 3, 4, 5, 6}, drawn(a), "all but the one without a stock")
}

func TestCutStandsAtWhatItLeft(t *testing.T) {
	a := demoOnce()
	for i := range a.Units {
		u := &a.Units[i]
		if u.Basis == nil {
			continue
		}
		in := recoveryInput(a, u, invented)
		k := survey.Quantile(u.Basis.Stand.K, 0.5)
		assert.Equal(t, 0.2*k, in.Limit)
		assert.Equal(t, 0.4*k, in.Trigger)
		n := 0
		for _, p := range u.Pressure {
			if p.Reason != "" || !(p.CutKg > 0) {
				continue
			}
			years := float64(p.To-p.From) / 365.25
			approx(t, "kg a year", in.Cuts[n].Kg, p.CutKg/years, 1e-12, 0)
			approx(t, "left standing", in.Cuts[n].Stock, math.Max(p.StockStart-p.CutKg/years, 0), 1e-12, 0)
			n++
		}
		assert.Len(t, in.Cuts, n)
		assert.Equal(t, u.Status == model.Assessed, in.AdviceOK)
	}
}

func TestYearBarsKeepCastApart(t *testing.T) {
	day := survey.MakeDay
	a := madeUp()
	u := &a.Units[0]
	u.Stocks = []survey.Stock{{Date: day(2022, 7, 1)}}
	a.Folder = &survey.Folder{CutsKnown: true, AsOf: day(2025, 9, 1), Cuts: []survey.Cut{
		{Bed: "open", Species: "S", From: day(2023, 4, 1), To: day(2023, 4, 3), Kg: 100},
		{Bed: "open", Species: "S", From: day(2023, 12, 30), To: day(2024, 1, 9), Kg: 7},
		{Bed: "open", Species: "S", From: day(2023, 5, 1), To: day(2023, 5, 1), Kg: 40, Cast: true},
		{Bed: "open", Species: "T", From: day(2023, 5, 1), To: day(2023, 5, 1), Kg: 999},
		{Bed: "low", Species: "S", From: day(2023, 5, 1), To: day(2023, 5, 1), Kg: 999},
	}}
	a.Rules.ReturnsCompleteTo = day(2024, 12, 31)
	bars := newDrawing(a, Options{}).yearBars(u)
	require.Len(t, bars, 4)
	for i, want := range []struct{ cut, cast float64 }{{0, 0}, {100, 40}, {7, 0}, {math.NaN(), 0}} {
		assert.Equal(t, 2022+i, bars[i].Year)
		approx(t, "cut", bars[i].Cut, want.cut, 0, 0)
		approx(t, "cast", bars[i].Cast, want.cast, 0, 0)
	}
	a.Folder.CutsKnown = false
	assert.Nil(t, newDrawing(a, Options{}).yearBars(u))
}

func TestUncutStandsAreLeftOutOfThePressureFigure(t *testing.T) {
	a := madeUp()
	a.Units[0].Last = &model.Pressure{Verdict: offtake.NothingCut}
	var labels []string
	for _, r := range pressureRows(a) {
		labels = append(labels, r.Label)
	}
	assert.Equal(t, []string{"closed, S", "thick, S", "above, S"}, labels)
	assert.Equal(t, "1 stand is not shown: nothing was cut there between the last two surveys.", uncut(a))
}

func TestDecimalYear(t *testing.T) {
	assert.Equal(t, 2023.0, decimalYear(survey.MakeDay(2023, 1, 1)))
	approx(t, "2 July of a year of 365 days", decimalYear(survey.MakeDay(2023, 7, 2)), 2023+182.0/365, 1e-12, 0)
	assert.Equal(t, 2024.5, decimalYear(survey.MakeDay(2024, 7, 2)), "183 of 366 days")
}

func TestSlug(t *testing.T) {
	assert.Equal(t, "recovery-old-fennimer-fucus-serratus", slug("recovery", "Old  Fennimer/..", "Fucus serratus"))
	assert.LessOrEqual(t, len(slug("x", string(make([]byte, 200)), "ÅÄÖ")), 60)
}

func TestFilesHoldEveryPart(t *testing.T) {
	a := demoOnce()
	files, err := Files(a, invented)
	require.NoError(t, err)
	for _, name := range []string{"stock.csv", "growth.csv", "quota.csv", "pressure.csv", "plots.csv", "datapackage.json", "report.html", "figures/" + demoFigures()[0].Name + ".svg"} {
		assert.NotEmpty(t, files[name], name)
	}
	assert.Equal(t, 8+len(demoFigures()), len(files))
}

func TestEachRaisesAPanicAgain(t *testing.T) {
	assert.PanicsWithValue(t, "here", func() {
		each(50, func(i int) {
			if i == 7 {
				panic("here")
			}
		})
	})
}

// approx passes where got equals want, both are NaN, or they differ by no more than the larger of abs and rel |want|.
func approx(t *testing.T, name string, got, want, rel, abs float64) {
	t.Helper()
	if got == want || math.IsNaN(got) && math.IsNaN(want) || math.Abs(got-want) <= math.Max(abs, rel*math.Abs(want)) {
		return
	}
	t.Errorf("%s: got %.17g, want %.17g, difference %.3g", name, got, want, got-want)
}

func BenchmarkFigures(b *testing.B) {
	a := demoOnce()
	for b.Loop() {
		if _, err := Figures(a, invented); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHTML(b *testing.B) {
	a, figs := demoOnce(), demoFigures()
	a.GrowthChecks()
	a.EvidenceTable() // worked out once, and no page
	for b.Loop() {
		if _, err := HTML(a, figs, invented); err != nil {
			b.Fatal(err)
		}
	}
}
