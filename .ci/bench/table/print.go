package main

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"
)

// printCosts writes a row a stage and size: medians, and the median over paired runs of R's cost over ours.
func (m measured) printCosts() {
	fmt.Println("| stage | beds | rows | s | s of all cores | most memory by its end, MB | R, s | R, s of all cores | R, most memory by its end, MB | R over bedstock, s | the same, all cores |")
	fmt.Println("|---|---|---|---|---|---|---|---|---|---|---|")
	for _, stage := range stages {
		for _, beds := range m.sizes(ours, stage) {
			cs := m.costs[key{ours, stage, beds}]
			fmt.Printf("| %s | %d | %.0f | %.3g | %.3g | %.0f |", stage, beds, m.rows[beds], median(cs, wall), median(cs, cpu), median(cs, memory))
			if r := m.costs[key{theirs, stage, beds}]; len(r) > 0 {
				fmt.Printf(" %.3g | %.3g | %.0f |", median(r, wall), median(r, cpu), median(r, memory))
			} else {
				fmt.Print(" | | |")
			}
			for _, of := range []func(cost) float64{wall, cpu} {
				if ratio, ok := m.ratio(beds, of, []string{stage}, []string{stage}); ok {
					fmt.Printf(" %.3g |", ratio)
				} else {
					fmt.Print(" |")
				}
			}
			fmt.Println()
		}
	}
	fmt.Println()
}

// printSlopes writes how cost and memory grow with rows, which grow as the beds do.
func (m measured) printSlopes() {
	for _, stage := range stages {
		if sizes := m.sizes(ours, stage); len(sizes) > 1 {
			fmt.Printf("Slope on log rows, %s: of log cost (all cores) %.2f, of log memory %.2f\n", stage, m.slope(stage, cpu), m.slope(stage, memory))
		}
	}
	fmt.Println()
}

func (m measured) slope(stage string, of func(cost) float64) float64 {
	var x, y []float64
	for _, beds := range m.sizes(ours, stage) {
		x, y = append(x, math.Log(m.rows[beds])), append(y, math.Log(median(m.costs[key{ours, stage, beds}], of)))
	}
	_, slope := stat.LinearRegression(x, y, nil, false)
	return slope
}

// asked are the ratios that the work is to keep, each R's time over ours. What is prepared for growth holds stocks and
// plots once more, so that it is in no sum. The report samples the posterior, so that R's stages hold it too for the same
// work; what R takes without it stands beside, as one may do without.
var asked = []struct {
	words     string
	inR, here []string
	least     float64
}{
	{"stock, plot fits and offtake", []string{"stock", "plots", "offtake"}, []string{"stock", "plots", "offtake"}, 20},
	{"the whole report with all figures, R with the posterior (growth and evidence)",
		[]string{"read", "stock", "plots", "growth", "offtake", "evidence", "tables", "figures"}, []string{wholeAll}, 3},
	{"the whole report with all figures, R without any posterior",
		[]string{"read", "stock", "plots", "offtake", "tables", "figures"}, []string{wholeAll}, 3},
	{"the whole report without figures, R with the posterior (growth and evidence)",
		[]string{"read", "stock", "plots", "growth", "offtake", "evidence", "tables"}, []string{wholeNone}, 3},
	{"the whole report without figures, R without any posterior", []string{"read", "stock", "plots", "offtake", "tables"}, []string{wholeNone}, 3},
}

// printReached writes how good what was sampled is, that it be known what the time has bought.
func (m measured) printReached() {
	for _, stage := range stages {
		for _, program := range []string{ours, theirs} {
			for _, beds := range m.sizes(program, stage) {
				if r, ok := m.reached[key{program, stage, beds}]; ok {
					fmt.Printf("%s, %d beds, %s: effective draws %.0f at least, R-hat %.3f at most\n", stage, beds, program, r.ess, r.rhat)
				}
			}
		}
	}
	fmt.Println()
}

func (m measured) printAsked() {
	for _, a := range asked {
		for _, beds := range m.sizes(theirs, a.inR[0]) {
			if ratio, ok := m.ratio(beds, wall, a.inR, a.here); ok {
				fmt.Printf("%s, %d beds: R takes %.2g times as long; at least %g is asked for\n", a.words, beds, ratio, a.least)
			}
		}
	}
	if sizes := m.sizes(ours, "stock"); len(sizes) > 0 {
		beds := sizes[len(sizes)-1]
		s, _ := m.sums(ours, beds, wall, []string{"read", "stock"})
		fmt.Printf("read to stock, %.0f rows: %.3g s, %.0f MB at most\n", m.rows[beds], middle(s), median(m.costs[key{ours, "stock", beds}], memory))
	}
}
