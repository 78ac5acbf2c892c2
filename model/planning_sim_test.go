package model

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model/plan"
	"bedstock/survey"
)

// population is an invented bed of two strata of 400 transects with 40 quadrats each: cover (percent) and kg/m2, of which
// cover tells a part.
type population struct {
	area      [2]float64
	cover, kg [2][400][40]float64
}

func newPopulation(rng *rand.Rand) *population {
	p := &population{area: [2]float64{3000, 1500}}
	for h, level := range []float64{22, 45} {
		for t := range p.kg[h] {
			of := level * math.Exp(0.35*rng.NormFloat64())
			for q := range p.kg[h][t] {
				x := math.Round(min(100, of*math.Exp(0.5*rng.NormFloat64()-0.125)))
				p.cover[h][t][q], p.kg[h][t][q] = x, 0.06*x*math.Exp(0.35*rng.NormFloat64()-0.06)
			}
		}
	}
	return p
}

// subject is the population's own variances.
func (p *population) subject() (plan.Subject, []plan.Layer) {
	s := plan.Subject{Species: "Fucus serratus"}
	x := 0.0
	var layers []plan.Layer
	for h, a := range p.area {
		sum, sumX := 0.0, 0.0
		for t := range p.kg[h] {
			for q, y := range p.kg[h][t] {
				sum, sumX = sum+y/16000, sumX+p.cover[h][t][q]/16000
			}
		}
		s.Total, x = s.Total+a*sum, x+a*sumX
		layers = append(layers, plan.Layer{Label: fmt.Sprint("s", h), Area: a})
	}
	k := s.Total / x
	for h := range p.area {
		var sp plan.Spread
		var means []float64
		for t := range p.kg[h] {
			m, e, me, squares := 0.0, 0.0, 0.0, 0.0
			for q, y := range p.kg[h][t] {
				m += y / 40
				me += (y - k*p.cover[h][t][q]) / 40
			}
			for q, y := range p.kg[h][t] {
				d := y - k*p.cover[h][t][q] - me
				squares, e = squares+(y-m)*(y-m)/39, e+d*d/39
			}
			sp.Within, sp.Rest = sp.Within+squares/400, sp.Rest+e/400
			means = append(means, m)
		}
		mean, v := 0.0, 0.0
		for _, m := range means {
			mean += m / 400
		}
		for _, m := range means {
			v += (m - mean) * (m - mean) / 399
		}
		sp.Between = v - sp.Within/40
		s.Spreads = append(s.Spreads, sp)
	}
	return s, layers
}

// survey draws one survey of an effort as the files of a folder.
func (p *population) survey(rng *rand.Rand, e plan.Effort) fstest.MapFS {
	var rows strings.Builder
	rows.WriteString("bed,date,stratum,transect,quadrat,quadrat_m2,species,cover_pct,biomass_g\n")
	for h, n := range e.Transects {
		for i, t := range rng.Perm(400)[:n] {
			for j, q := range rng.Perm(40)[:e.Quadrats] {
				weighed := ""
				if j < e.Weigh {
					weighed = fmt.Sprintf("%.3f", 250*p.kg[h][t][q])
				}
				fmt.Fprintf(&rows, "a,2025-06-01,s%d,T%d_%d,q%d,0.25,Fucus serratus,%g,%s\n", h, h, i, j, p.cover[h][t][q], weighed)
			}
		}
	}
	return fstest.MapFS{
		"beds.csv":     {Data: []byte("bed,area_m2\na,4500\n")},
		"strata.csv":   {Data: []byte("bed,stratum,area_m2\na,s0,3000\na,s1,1500\n")},
		"quadrats.csv": {Data: []byte(rows.String())},
	}
}

// With the population's variances the CV that a plan foresees is that of 800 surveys estimated with the tool's own
// estimators, within 10 %: for all weighed, and for a part (Monte Carlo error of an SD from 800: 2.5 %). The plans made
// from single surveys foresee it too on average, and of their 95 % intervals most hold it.
func TestForeseenCV(t *testing.T) {
	pop := newPopulation(rand.New(rand.NewPCG(9, 1)))
	s, layers := pop.subject()
	for _, e := range []plan.Effort{{Quadrats: 4, Weigh: 4, Transects: []int{4, 3}}, {Quadrats: 6, Weigh: 2, Transects: []int{7, 6}}} {
		rng := rand.New(rand.NewPCG(9, 2))
		const surveys = 800
		sum, squares, held, told, middle := 0.0, 0.0, 0, 0, 0.0
		for i := range surveys {
			f, err := survey.Read(pop.survey(rng, e), nil, survey.DefaultOptions())
			require.NoError(t, err)
			kg := survey.Stocks(f, survey.DefaultOptions())[0].Kg
			require.True(t, kg.OK)
			sum, squares = sum+kg.Value, squares+kg.Value*kg.Value
			if i < 100 {
				p := planner{f: f, rules: new(DefaultRules()), all: survey.VarianceComponents(f, survey.DefaultOptions())}
				w := p.bed(f.Beds[0])
				one := w.subject["Fucus serratus"]
				lo, hi := one.Interval(layers, e, 0.95, rng)
				told++
				middle += one.SampleCV(layers, e) / 100
				if want := s.SampleCV(layers, e); lo <= want && want <= hi {
					held++
				}
			}
		}
		mean := sum / surveys
		empirical := math.Sqrt(squares/surveys-mean*mean) / s.Total
		foreseen := s.SampleCV(layers, e)
		t.Logf("%v: foreseen %.4f, found %.4f; from single surveys %.4f on average, %d of %d intervals hold it", e, foreseen, empirical, middle, held, told)
		assert.InEpsilon(t, empirical, foreseen, 0.10)
		assert.InEpsilon(t, foreseen, middle, 0.15)
		assert.GreaterOrEqual(t, held, 85*told/100)
	}
}
