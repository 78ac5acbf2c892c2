package report

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedstock/model"
	"bedstock/model/growth"
	"bedstock/survey"
)

var (
	threeFactors = regexp.MustCompile(`^([0-9.e+]+) x ([0-9.e+]+) x ([0-9.e+]+)$`)
	fromCV       = regexp.MustCompile(`^sqrt\(log\(1 \+ ([0-9.]+)\^2\)\)`)
	heldShare    = regexp.MustCompile(`^\(0\.5 \+ ([0-9.]+)\)/\(1 \+ ([0-9.]+)\)`)
	overShare    = regexp.MustCompile(`^([0-9.e+]+) kg reported over reported_share ([0-9.]+)`)
	ofMedians    = regexp.MustCompile(`^of the medians: ([0-9.e+]+) - ([0-9.e+]+)$`)
	byTheMap     = regexp.MustCompile(`^where the logistic map leads from ([0-9.e+]+) kg with the medians r = ([0-9.]+), K = ([0-9.e+]+)`)
)

// What is printed of a stand's growth can be worked out again from five digits a number. The map between two surveys
// without a cut is the closed form B e^(rt)/(1 + B (e^(rt) - 1)/K) of the growing time.
func TestGrowthFromPrintedDigits(t *testing.T) {
	a := demoOnce()
	again := map[string]int{}
	for i := range a.Units {
		u := &a.Units[i]
		steps, reason := GrowthStepsOf(a, u)
		if steps == nil {
			assert.NotEmpty(t, reason, u.Pair)
			continue
		}
		growing, cut, storm := 0.0, 0.0, false
		for _, s := range steps {
			v, err := strconv.ParseFloat(shownStep(s.Value), 64)
			name := fmt.Sprintf("%v: %s, %s: %s", u.Pair, s.Step, s.Item, s.How)
			assert.NoError(t, err, name)
			switch s.Item {
			case "growing time":
				growing, storm = v, false
			case "cut":
				cut = v
			case "storm":
				storm = true
			}
			check := func(kind string, want, abs float64) {
				again[kind]++
				assert.InDelta(t, want, v, 1e-3*math.Abs(want)+abs, name)
			}
			if n := numbersOf(t, threeFactors, s.How); n != nil {
				check("product", n[0]*n[1]*n[2], 0)
			}
			if n := numbersOf(t, fromCV, s.How); n != nil {
				check("cv", math.Sqrt(math.Log(1+n[0]*n[0])), 0)
			}
			if n := numbersOf(t, heldShare, s.How); n != nil {
				check("share", (0.5+n[0])/(1+n[1]), 0)
			}
			if n := numbersOf(t, overShare, s.How); n != nil {
				check("cut", n[0]/n[1], 0)
			}
			if n := numbersOf(t, ofMedians, s.How); n != nil {
				check("change", n[0]-n[1], 1e-4*n[0])
			}
			if n := numbersOf(t, byTheMap, s.How); n != nil && cut == 0 && !storm {
				e := math.Exp(n[1] * growing)
				check("map", n[0]*e/(1+n[0]*(e-1)/n[2]), 0)
			}
		}
		assert.InDelta(t, survey.Quantile(u.Growth.Draws.Col("r"), 0.5), valueOf(steps, "all together", "r"), 1e-12, u.Pair)
	}
	for _, kind := range []string{"product", "cv", "share", "cut", "change", "map"} {
		assert.Greater(t, again[kind], 15, kind)
	}
}

func valueOf(steps []Step, step, item string) float64 {
	for _, s := range steps {
		if s.Step == step && s.Item == item {
			return s.Value
		}
	}
	return math.NaN()
}

// A stand that the growth model cannot speak of has a reason and no step.
func TestGrowthStepsOfNothing(t *testing.T) {
	a := demoOnce()
	for _, g := range []growth.Posterior{{Status: "not estimable", Reason: "no survey found it"}, {Status: "not assessed"}} {
		steps, reason := GrowthStepsOf(a, &model.Unit{Growth: g})
		assert.Nil(t, steps)
		assert.Equal(t, cmp.Or(g.Reason, g.Status), reason)
	}
}
