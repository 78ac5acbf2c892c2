package report

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"bedstock/model"
)

// coastSpecies stand on every bed of [coast].
var coastSpecies = []string{"Ascophyllum nodosum", "Fucus serratus", "Laminaria digitata", "Palmaria palmata", "Saccharina latissima"}

// coast is an invented shore of so many beds, surveyed so many years, five species on each: 45 quadrats a survey on nine
// transects, every fifth quadrat weighed and its fronds measured, cuts each autumn of at most half of what stands. Cover grows
// back along the logistic curve with lognormal noise, so that the growth model has something to find and is soon done.
func coast(beds, years int) map[string]string {
	rnd := rand.New(rand.NewPCG(7, 7))
	var b, q, f, h strings.Builder
	b.WriteString("bed,name,shore,zone,area_m2,lat,lon\n")
	q.WriteString("bed,date,transect,quadrat,quadrat_m2,species,cover_pct,biomass_g\n")
	f.WriteString("bed,date,transect,quadrat,species,frond_cm\n")
	h.WriteString("bed,date,species,wet_kg\n")
	for bed := range beds {
		id := fmt.Sprintf("bed%02d", bed+1)
		area := 2000 + 300*float64(bed)
		fmt.Fprintf(&b, "%s,Bed Number %d,Long Shore,mid,%.0f,%.4f,-30.%02d\n", id, bed+1, area, 50+0.01*float64(bed), bed)
		most, level := make([]float64, len(coastSpecies)), make([]float64, len(coastSpecies))
		for s := range level {
			most[s] = 20 + 30*rnd.Float64()
			level[s] = most[s] * (0.3 + 0.6*rnd.Float64())
		}
		for year := range years {
			date := fmt.Sprintf("%d-08-05", 2021+year)
			for n := range 45 {
				where := fmt.Sprintf("%s,%s,T%d,Q%d", id, date, n/5+1, n)
				for s, name := range coastSpecies {
					cover := min(level[s]*2*rnd.Float64(), 100)
					weight := ""
					if n%5 == 0 {
						weight = fmt.Sprintf("%.0f", 25*cover*(0.8+0.4*rnd.Float64()))
						for range 3 {
							fmt.Fprintf(&f, "%s,%s,%.0f\n", where, name, 20+60*rnd.Float64())
						}
					}
					fmt.Fprintf(&q, "%s,0.25,%s,%.0f,%s\n", where, name, cover, weight)
				}
			}
			for s, name := range coastSpecies {
				part := 0.5 * rnd.Float64()
				fmt.Fprintf(&h, "%s,%d-08-20,%s,%.0f\n", id, 2021+year, name, part*level[s]*0.1*area) // 0.1 kg/m2 a percent
				left := (1 - part) * level[s] / most[s]
				level[s] = most[s] * math.Exp(0.15*rnd.NormFloat64()) / (1 + (1/left-1)*math.Exp(-0.6))
			}
		}
	}
	return map[string]string{"beds.csv": b.String(), "quadrats.csv": q.String(), "fronds.csv": f.String(), "harvest.csv": h.String()}
}

var largeOnce = sync.OnceValue(func() *model.Assessment {
	var tb testing.T
	return assess(&tb, folderOf(coast(12, 6)))
})

// BenchmarkReport draws the figures and report.html of 12 beds, 6 years and 5 species: at most 3 MB and 1 s are asked for.
func BenchmarkReport(b *testing.B) {
	a := largeOnce()
	require.Len(b, a.Units, 60)
	a.GrowthChecks()
	a.EvidenceTable() // worked out once, and no drawing
	size, figures := 0, 0
	for b.Loop() {
		figs, err := Figures(a, Options{})
		require.NoError(b, err)
		html, err := HTML(a, figs, Options{})
		require.NoError(b, err)
		size, figures = len(html), len(figs)
	}
	b.ReportMetric(float64(size), "bytes/report")
	b.ReportMetric(float64(figures), "figures/report")
}
