package plots

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// obstacle is a drawn thing; weight says how bad it is to cover a square point of it.
type obstacle struct {
	box    vg.Rectangle
	weight float64
}

// obstacles are drawn things, found by where they are: each is entered in all squares of a grid that it touches, so that
// a place looks at what is near it alone, however much is drawn elsewhere.
type obstacles struct {
	all   []obstacle
	cells map[[2]int][]int // places in all
	large []int            // those that touch too many squares to be entered in each
	found []int
}

const (
	cellSide  = 12.0 // points: about the height of a label
	mostCells = 400  // that a thing is entered in
)

func (o *obstacles) add(x obstacle) {
	n := len(o.all)
	o.all = append(o.all, x)
	lo, hi, ok := cellsOf(x.box)
	if !ok {
		o.large = append(o.large, n)
		return
	}
	if o.cells == nil {
		o.cells = map[[2]int][]int{}
	}
	for i := lo[0]; i <= hi[0]; i++ {
		for j := lo[1]; j <= hi[1]; j++ {
			o.cells[[2]int{i, j}] = append(o.cells[[2]int{i, j}], n)
		}
	}
}

// near goes through the things that may lie over a box, in the order in which they were added.
func (o *obstacles) near(box vg.Rectangle) func(yield func(int, obstacle) bool) {
	return func(yield func(int, obstacle) bool) {
		lo, hi, ok := cellsOf(box)
		if !ok {
			slices.All(o.all)(yield)
			return
		}
		found := append(o.found[:0], o.large...)
		for i := lo[0]; i <= hi[0]; i++ {
			for j := lo[1]; j <= hi[1]; j++ {
				found = append(found, o.cells[[2]int{i, j}]...)
			}
		}
		slices.Sort(found)
		o.found = slices.Compact(found)
		for _, n := range o.found {
			if !yield(n, o.all[n]) {
				return
			}
		}
	}
}

// cellsOf are the first and last square that a box touches; false: they are too many, or the box is nowhere.
func cellsOf(box vg.Rectangle) (lo, hi [2]int, ok bool) {
	at := func(v vg.Length) float64 { return math.Floor(float64(v) / cellSide) }
	x0, y0, x1, y1 := at(box.Min.X), at(box.Min.Y), at(box.Max.X), at(box.Max.Y)
	if n := (x1 - x0 + 1) * (y1 - y0 + 1); !(x1 >= x0 && y1 >= y0 && n <= mostCells && math.Abs(x0)+math.Abs(y0) < 1e6) {
		return lo, hi, false
	}
	return [2]int{int(x0), int(y0)}, [2]int{int(x1), int(y1)}, true
}
