package report

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedstock/model"
)

var (
	product  = regexp.MustCompile(`(?:^|: )([0-9.e+-]+) x ([0-9.e+-]+)(?: - ([0-9.e+-]+), rounded down)?`)
	medians  = regexp.MustCompile(`with r = ([0-9.]+), K = ([0-9.]+), s = ([0-9.]+)$`)
	slowBest = regexp.MustCompile(`r10 = ([0-9.]+)$`)
	storms   = regexp.MustCompile(`= ([0-9.]+)\^\(([0-9.]+) x ([0-9.]+)\)`)
)

// numbersOf the groups of a pattern in a text; nil where it does not match.
func numbersOf(t *testing.T, p *regexp.Regexp, text string) []float64 {
	t.Helper()
	m := p.FindStringSubmatch(text)
	if m == nil {
		return nil
	}
	var out []float64
	for _, g := range m[1:] {
		v := 0.0
		if g != "" {
			var err error
			v, err = strconv.ParseFloat(g, 64)
			assert.NoError(t, err, text)
		}
		out = append(out, v)
	}
	return out
}

// Every offtake of the demo can be worked out again from what is printed, five digits a number: products to a thousandth
// of their value (two numbers of five digits), those that are rounded down to the step of the digits that are told.
func TestOfftakeFromPrintedDigits(t *testing.T) {
	a := demoOnce()
	units, products := 0, 0
	for i := range a.Units {
		u := &a.Units[i]
		steps, reason := StepsOf(a, u)
		if steps == nil {
			assert.NotEmpty(t, reason, u.Pair)
			continue
		}
		units++
		printed := map[string]float64{}
		for _, s := range steps {
			name := fmt.Sprintf("%s %s: %s, %s: %s", u.Bed, u.Species, s.Step, s.Item, s.How)
			v, err := strconv.ParseFloat(shownStep(s.Value), 64)
			assert.NoError(t, err, name)
			printed[s.Step+" "+s.Item] = v
			if n := numbersOf(t, product, s.How); n != nil && s.Item != "cap as it opens" {
				products++
				want, allowed := n[0]*n[1]-n[2], 1e-3*n[0]*n[1]
				if n[2] > 0 || s.Item == "advised" {
					step := 0.01
					if strings.Contains(s.How, "year's 2 digits") {
						step = 0.1
					}
					want, allowed = math.Max(want, 0), step*n[0]*n[1]+1e-3*n[2]
					if s.Value > want*(1+1e-3)+1e-3*n[0]*n[1] {
						t.Errorf("%s: %g is above %g", name, s.Value, want)
					}
				}
				approx(t, name, v, want, 0, allowed+1e-9)
			}
			if n := numbersOf(t, medians, s.How); n != nil {
				g := n[2] * math.Exp(n[0])
				approx(t, name, v, n[1]*(math.Sqrt(g)-1)/(math.Exp(n[0])-1)*math.Sqrt(g), 1e-3, 0)
			}
			if n := numbersOf(t, slowBest, s.How); n != nil {
				approx(t, name, v, 1-math.Exp(-n[0]/2), 1e-3, 0)
			}
			if n := numbersOf(t, storms, s.How); n != nil {
				approx(t, name, v, math.Pow(n[0], n[1]*n[2]), 1e-3, 0)
			}
		}
		least := math.Inf(1)
		for _, limit := range []string{"cap cap", "replacement replacement", "risk risk limit"} {
			if v, ok := printed[limit]; ok {
				least = math.Min(least, v)
			}
		}
		approx(t, u.Bed+" "+u.Species+" smallest", printed["year smallest limit"], least, 1e-12, 0)
		got, most := printed["year advised"], printed["year reduced"]
		assert.LessOrEqual(t, got, most*(1+1e-3), u.Pair)
		assert.GreaterOrEqual(t, got, most*0.9, u.Pair) // two digits at least
		if u.Status == model.Assessed && u.Basis.Year.AdvisedKg > 0 {
			assert.Positive(t, got, u.Pair)
		}
	}
	assert.Greater(t, units, 15)
	assert.Greater(t, products, 60)
}
