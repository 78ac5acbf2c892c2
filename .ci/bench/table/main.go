// Command table reads what .ci/bench/run measured and prints medians, slopes and the ratios asked for; -svg draws the
// costs.
package main

import (
	"bufio"
	"flag"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
)

// stages in the order of the work; the last two are the built program, by the figures it draws.
var stages = []string{"read", "stock", "plots", "prepare", "growth", "offtake", "evidence", "tables", "figures", wholeAll, wholeNone}

const (
	wholeAll  = "report:all"
	wholeNone = "report:none"
	ours      = "bedstock"
	theirs    = "R"
)

// key is a stage of a program on a coast of so many beds.
type key struct {
	program, stage string
	beds           int
}

// cost is what one run of it took: seconds, seconds of all cores, and kB held at most by its end.
type cost struct{ wall, cpu, memory float64 }

// reached is what a stage that samples came to at worst: the smallest effective size and the largest R-hat of any run.
type reached struct{ ess, rhat float64 }

// measured is all that was measured, the runs of each in turn.
type measured struct {
	costs   map[key][]cost
	reached map[key]reached
	rows    map[int]float64 // by beds
}

func main() {
	svg := flag.String("svg", "", "the plot to write")
	flag.Parse()
	m := read()
	m.printCosts()
	m.printSlopes()
	m.printReached()
	m.printAsked()
	if *svg == "" {
		return
	}
	if err := os.WriteFile(*svg, []byte(m.draw()), 0o644); err != nil {
		fmt.Fprintln(os.Stderr, "table:", err)
		os.Exit(1)
	}
}

func number(s string) float64 {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(err)
	}
	return x
}

// read takes in the runs: "run PROGRAM BEDS", "rows N", "stage NAME WALL CPU [MEMORY]", "reached NAME ESS RHAT".
func read() measured {
	m := measured{map[key][]cost{}, map[key]reached{}, map[int]float64{}}
	var k key
	for lines := bufio.NewScanner(os.Stdin); lines.Scan(); {
		switch w := strings.Fields(lines.Text()); {
		case len(w) == 3 && w[0] == "run":
			k.program, k.beds = w[1], int(number(w[2]))
		case len(w) == 2 && w[0] == "rows":
			m.rows[k.beds] = number(w[1])
		case len(w) >= 4 && w[0] == "stage":
			k.stage = w[1]
			c := cost{wall: number(w[2]), cpu: number(w[3])}
			if len(w) > 4 {
				c.memory = number(w[4])
			}
			m.costs[k] = append(m.costs[k], c)
		case len(w) == 4 && w[0] == "reached":
			k.stage = w[1]
			r := reached{number(w[2]), number(w[3])}
			if was, ok := m.reached[k]; ok {
				r = reached{min(r.ess, was.ess), max(r.rhat, was.rhat)}
			}
			m.reached[k] = r
		}
	}
	return m
}

func wall(c cost) float64   { return c.wall }
func cpu(c cost) float64    { return c.cpu }
func memory(c cost) float64 { return c.memory / 1000 } // MB

func middle(x []float64) float64 {
	x = slices.Sorted(slices.Values(x))
	return (x[len(x)/2] + x[(len(x)-1)/2]) / 2
}

func median(cs []cost, of func(cost) float64) float64 {
	var x []float64
	for _, c := range cs {
		x = append(x, of(c))
	}
	return middle(x)
}

// sizes are the numbers of beds on which a program ran a stage.
func (m measured) sizes(program, stage string) (out []int) {
	for k := range m.costs {
		if k.program == program && k.stage == stage {
			out = append(out, k.beds)
		}
	}
	slices.Sort(out)
	return out
}

// ratio is the median over paired runs of the cost of some stages in R over that of others here; false where one of them
// was not run on so many beds.
func (m measured) ratio(beds int, of func(cost) float64, inR, here []string) (float64, bool) {
	a, okA := m.sums(theirs, beds, of, inR)
	b, okB := m.sums(ours, beds, of, here)
	n := min(len(a), len(b))
	if !okA || !okB || n == 0 {
		return 0, false
	}
	var x []float64
	for i := range n {
		x = append(x, a[i]/b[i])
	}
	return middle(x), true
}

// sums adds up stages run by run.
func (m measured) sums(program string, beds int, of func(cost) float64, stages []string) (out []float64, ok bool) {
	for _, stage := range stages {
		cs := m.costs[key{program, stage, beds}]
		if len(cs) == 0 {
			return nil, false
		}
		if out == nil {
			out = make([]float64, len(cs))
		}
		out = out[:min(len(out), len(cs))]
		for i := range out {
			out[i] += of(cs[i])
		}
	}
	return out, true
}
