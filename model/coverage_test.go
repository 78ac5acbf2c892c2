package model

import (
	"encoding/csv"
	"fmt"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model/growth"
	"bedstock/survey"
)

// demoTruth is r, K and the last stock of each bed and species behind the demo.
func demoTruth(t *testing.T) map[Pair][3]float64 {
	t.Helper()
	f, err := os.Open("../data/demo-truth.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"bed", "species", "r_per_year", "k_kg", "occupied_fraction", "date", "stock_kg"}, rows[0])
	out := map[Pair][3]float64{}
	for _, row := range rows[1:] {
		var v [3]float64
		for i, at := range []int{2, 3, 6} {
			if row[at] != "" {
				x, err := strconv.ParseFloat(row[at], 64)
				require.NoError(t, err)
				v[i] = x
			}
		}
		out[Pair{row[0], row[1]}] = v // the last row of a bed and species is that of its last survey
	}
	return out
}

func holds(i growth.Interval, v float64) bool { return i.Lo <= v && v <= i.Hi }

// stockInterval is the interval of the stock at the last survey of a unit.
func stockInterval(u *Unit) growth.Interval {
	b := u.Growth.Draws.Col(fmt.Sprintf("B%d", len(u.Times)-1))
	return growth.Interval{Median: survey.Quantile(b, 0.5), Lo: survey.Quantile(b, 0.025), Hi: survey.Quantile(b, 0.975)}
}

// The r that the demo was made from lie in their 95 % intervals all, and so do the K but for as many as chance leaves out:
// of some 50 intervals two or three. The beds of a species share what is held of it, so that those left out come together.
// The demo is one region; TestCoverage measures the intervals.
func TestTruthOfTheDemo(t *testing.T) {
	truth := demoTruth(t)
	n, out := 0, 0
	a := assessFolder(t, demoOf(t), nil)
	for i := range a.Units {
		u := &a.Units[i]
		v, known := truth[u.Pair]
		require.True(t, known, u.Pair)
		if u.Growth.Status != "ok" || v[0] == 0 {
			continue // a visitor has no r and K
		}
		n++
		assert.True(t, holds(u.Growth.R, v[0]), "%v: r %v in %+v", u.Pair, v[0], u.Growth.R)
		if !holds(u.Growth.K, v[1]) {
			out++
			t.Logf("%v: K %v outside %+v", u.Pair, v[1], u.Growth.K)
		}
	}
	assert.LessOrEqual(t, out, 3)
	assert.Greater(t, n, 20)
}

// coverage counts how often the truth of simulated regions lies in the 95 % intervals.
type coverage struct {
	stands, refused int
	r, k, stock     int
}

// coverageYears is how long a region is surveyed, and a quarter of what is found cut each year.
const coverageYears = 6

// covered follows regions of the closed loop for some years of surveys and cuts and assesses them once.
func covered(t testing.TB, regions, draws int) map[string]*coverage {
	table, rows := loopRows(t)
	out := map[string]*coverage{}
	for _, s := range loopSpecies {
		out[s] = &coverage{}
	}
	cutting := byShare(table, 0.25)
	for region := range regions {
		seed := uint64(9000 + region)
		rules := DefaultRules()
		stands := loopRegion(seed, loopSpecies, rows, rules)
		f := newLoopFolder()
		stock := map[Pair]float64{}
		for y := range coverageYears {
			for i := range stands {
				s := &stands[i]
				if y == 0 {
					stock[s.Pair] = s.start
				}
				f.survey(loopStream(seed, fmt.Sprintf("survey|%s|%s|%d", s.Bed, s.Species, y)), s, stock[s.Pair], y)
			}
			if y == coverageYears-1 {
				break
			}
			take := cutting(t, f, seed, y)
			for i := range stands {
				s := &stands[i]
				var cut float64
				stock[s.Pair], cut = s.year(stock[s.Pair], take[s.Pair], y, rules.Offtake)
				f.cut(s, cut, y)
			}
		}
		folder, used := loopLoad(t, f, table, coverageYears-1)
		a := Assess(folder, Config{Rules: used, Seed: seed, Draws: draws})
		for _, s := range stands {
			u := unit(t, a, s.Bed, s.Species)
			out[s.Species].add(&u, s, stock[s.Pair])
		}
	}
	return out
}

func (c *coverage) add(u *Unit, s loopStand, stock float64) {
	c.stands++
	if u.Growth.Status != "ok" {
		c.refused++
		return
	}
	for _, x := range []struct {
		in bool
		n  *int
	}{{holds(u.Growth.R, s.r), &c.r}, {holds(u.Growth.K, s.k), &c.k}, {holds(stockInterval(u), stock), &c.stock}} {
		if x.in {
			*x.n++
		}
	}
}

func (c *coverage) share(n int) float64 { return float64(n) / float64(c.stands-c.refused) }

// In simulated regions whose truth is drawn from what is held beforehand the 95 % intervals of r, K and the last stock
// hold the truth about as often as they say, from the quadrats to the posterior. Few regions here; .ci/long/coverage
// follows 200. The bound is what 3 regions of 4 stands, which share their species’ truth, come to by chance.
func TestCoverage(t *testing.T) {
	regions := 3
	if testing.Short() {
		regions = 1
	}
	for species, c := range covered(t, regions, 800) {
		t.Logf("%s: %d stands, %d refused; in the 95 %% interval: r %.3f, K %.3f, stock %.3f", species, c.stands, c.refused,
			c.share(c.r), c.share(c.k), c.share(c.stock))
		assert.LessOrEqual(t, float64(c.refused), 0.1*float64(c.stands), species)
		for name, n := range map[string]int{"r": c.r, "K": c.k, "stock": c.stock} {
			assert.GreaterOrEqual(t, c.share(n), 0.65, "%s: %s", species, name)
		}
	}
}
