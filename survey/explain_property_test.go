package survey

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// drawnFolder is a folder of three beds with strata, transects that may cross them, single units, quadrats of differing
// size, some weighed, some without a reading, and uncertain areas.
func drawnFolder(t *rapid.T) *Folder {
	var rows []quad
	beds := []Bed{bedOf("A", 500), bedOf("B", 300), bedOf("C", 200)}
	f := &Folder{}
	strata := []string{"high", "low", "mid"}[:rapid.IntRange(1, 3).Draw(t, "strata")]
	transects := rapid.Bool().Draw(t, "transects")
	weighed := rapid.IntRange(0, 10).Draw(t, "weighed of 10")
	cross := rapid.Bool().Draw(t, "crossing")
	for b, bed := range beds {
		if rapid.IntRange(0, 3).Draw(t, "area error") == 0 {
			beds[b].Periods[0].AreaSE = Some(20)
		}
		for h, stratum := range strata {
			f.Strata = append(f.Strata, Stratum{Bed: bed.ID, Stratum: stratum, Area: beds[b].Periods[0].Area / float64(len(strata))})
			for i := range rapid.IntRange(1, 8).Draw(t, "quadrats") {
				q := seen(bed.ID, "", fmt.Sprint("q", h, "-", i), "Fucus", testDay, float64(rapid.IntRange(0, 100).Draw(t, "cover")))
				q.stratum, q.m2 = stratum, []float64{0.25, 0.25, 1}[rapid.IntRange(0, 2).Draw(t, "size")]
				if transects {
					q.transect = fmt.Sprint("t", i/2)
					if !cross {
						q.transect += stratum
					}
				}
				if rapid.IntRange(1, 10).Draw(t, "pick") <= weighed {
					q.grams = math.Round(q.cover * q.m2 * (30 + float64(rapid.IntRange(0, 40).Draw(t, "heavy"))))
				}
				rows = append(rows, q)
			}
		}
	}
	strataOf := f.Strata
	f = folderOf(beds, rows)
	f.Strata = strataOf
	return f
}

// Whatever the design and the options, the pieces of an explanation make its stock.
func TestExplainAnyDesign(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawnFolder(t)
		opt := DefaultOptions()
		opt.Conversion = rapid.SampledFrom(Conversions()).Draw(t, "conversion")
		opt.Lonely = rapid.SampledFrom([]string{"adjust", "average", "certainty", "fail"}).Draw(t, "lonely")
		opt.Interval = rapid.SampledFrom([]string{"t", "log-t"}).Draw(t, "interval")
		opt.DF = rapid.SampledFrom([]string{"units", "satterthwaite"}).Draw(t, "df")
		opt.FPC = rapid.Bool().Draw(t, "fpc")
		for _, x := range explainAll(f, opt, anything, anything) {
			followed(t, x)
		}
	})
}
