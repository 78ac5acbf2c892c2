// Command table reads what .ci/bench/run measured and prints medians and slopes as a table; -svg draws them.
package main

import (
	"bufio"
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/stat"
)

// key is a stage of a program on a coast of so many beds.
type key struct {
	program, stage string
	beds           int
}

// cost is what one run of it took: seconds, seconds of all cores, and kB held at most by its end.
type cost struct{ wall, cpu, memory float64 }

func main() {
	svg := flag.String("svg", "", "the plot to write")
	flag.Parse()
	costs, rows := read()
	keys := print(costs, rows)
	if *svg == "" {
		return
	}
	if err := draw(*svg, lines(costs, rows, keys)); err != nil {
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

// read takes in the runs: "run PROGRAM BEDS", "rows N", "stage NAME WALL CPU [MEMORY]".
func read() (costs map[key][]cost, rows map[int]float64) {
	costs, rows = map[key][]cost{}, map[int]float64{}
	var k key
	for lines := bufio.NewScanner(os.Stdin); lines.Scan(); {
		switch w := strings.Fields(lines.Text()); {
		case len(w) == 3 && w[0] == "run":
			k.program, k.beds = w[1], int(number(w[2]))
		case len(w) == 2 && w[0] == "rows":
			rows[k.beds] = number(w[1])
		case len(w) >= 4 && w[0] == "stage":
			k.stage = w[1]
			c := cost{wall: number(w[2]), cpu: number(w[3])}
			if len(w) > 4 {
				c.memory = number(w[4])
			}
			costs[k] = append(costs[k], c)
		}
	}
	return costs, rows
}

func median(cs []cost, of func(cost) float64) float64 {
	var x []float64
	for _, c := range cs {
		x = append(x, of(c))
	}
	slices.Sort(x)
	return (x[len(x)/2] + x[(len(x)-1)/2]) / 2
}

// print writes a row a stage and size: medians, and the ratio of R's to ours.
func print(costs map[key][]cost, rows map[int]float64) []key {
	var keys []key
	for k := range costs {
		if k.program == "bedstock" {
			keys = append(keys, k)
		}
	}
	slices.SortFunc(keys, func(x, y key) int {
		if x.stage != y.stage {
			return strings.Compare(x.stage, y.stage)
		}
		return x.beds - y.beds
	})
	fmt.Println("| stage | beds | rows | s | s of all cores | most memory so far, MB | R, s | R, s of all cores | R over bedstock, all cores |")
	fmt.Println("|---|---|---|---|---|---|---|---|---|")
	for _, k := range keys {
		cpu := median(costs[k], func(c cost) float64 { return c.cpu })
		fmt.Printf("| %s | %d | %.0f | %.3g | %.3g | %.0f |", k.stage, k.beds, rows[k.beds], median(costs[k], func(c cost) float64 { return c.wall }),
			cpu, median(costs[k], func(c cost) float64 { return c.memory })/1000)
		if r := costs[key{"R", k.stage, k.beds}]; len(r) > 0 {
			other := median(r, func(c cost) float64 { return c.cpu })
			fmt.Printf(" %.3g | %.3g | %.3g |\n", median(r, func(c cost) float64 { return c.wall }), other, other/cpu)
		} else {
			fmt.Println(" | | |")
		}
	}
	fmt.Println()
	by := lines(costs, rows, keys)
	for _, stage := range slices.Sorted(maps.Keys(by)) {
		if xy := by[stage]; len(xy) > 1 {
			var x, y []float64
			for _, p := range xy {
				x, y = append(x, math.Log(p.X)), append(y, math.Log(p.Y))
			}
			_, slope := stat.LinearRegression(x, y, nil, false)
			fmt.Printf("Slope of log cost (all cores) on log rows, %s: %.2f\n", stage, slope)
		}
	}
	return keys
}

// point is a cost over rows.
type point struct{ X, Y float64 }

// lines are the costs of all cores over rows, by stage.
func lines(costs map[key][]cost, rows map[int]float64, keys []key) map[string][]point {
	out := map[string][]point{}
	for _, k := range keys {
		out[k.stage] = append(out[k.stage], point{X: rows[k.beds], Y: median(costs[k], func(c cost) float64 { return c.cpu })})
	}
	return out
}
