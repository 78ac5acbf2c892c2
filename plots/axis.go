package plots

import (
	"math"
	"strconv"
)

// tick is one mark on an axis; a blank label makes a mark alone.
type tick struct {
	at    float64
	label string
}

// axis is the range of one direction of a panel, with its marks.
type axis struct {
	lo, hi float64
	ticks  []tick
}

// fromZero makes an axis from 0 to somewhat above a largest value, with about n steps of 1, 2 or 5 times a power of
// ten. Lengths are compared on it, so it never begins elsewhere. A largest value below a millionth gives 0 to 1.
func fromZero(largest float64, n int) axis {
	if !finite(largest) || largest < 1e-6 {
		largest = 1
	}
	a := axis{lo: 0, hi: largest * 1.06}
	step, decimals := niceStep(a.hi / float64(n))
	for i := 0; float64(i)*step <= a.hi; i++ {
		v := float64(i) * step
		if i == 0 {
			a.ticks = append(a.ticks, tick{label: "0"})
			continue
		}
		a.ticks = append(a.ticks, tick{at: v, label: plain(v, decimals)})
	}
	return a
}

// niceStep is the smallest of 1, 2, 5 times a power of ten that is at least three quarters of s, and the decimals that
// it needs.
func niceStep(s float64) (step float64, decimals int) {
	e := math.Floor(math.Log10(s))
	p := math.Pow(10, e)
	m := 10.0
	for _, k := range []float64{1, 2, 5} {
		if k*p >= 0.75*s {
			m = k
			break
		}
	}
	if m == 10 {
		e++
	}
	if e < 0 {
		return m * p, int(-e)
	}
	return m * p, 0
}

// isYear says whether t is a decimal year with four digits; others are not drawn.
func isYear(t float64) bool { return t >= 1000 && t < 9999 }

// years makes an axis of whole calendar years that covers lo to hi (decimal years, see [isYear]). Marks stand at New
// Year, labels in the middle of the years; at most room labels are written, every 2nd, 5th, 10th.
func years(lo, hi float64, room int) axis {
	a := axis{lo: math.Floor(lo), hi: math.Ceil(hi)}
	if a.hi <= a.lo {
		a.hi = a.lo + 1
	}
	n := a.hi - a.lo
	every := 1.0
	for _, e := range []float64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000} {
		every = e
		if math.Ceil(n/e) <= float64(room) {
			break
		}
	}
	mark := 1.0
	if n > 120 {
		mark = every
	}
	for y := a.lo; y <= a.hi; y += mark {
		a.ticks = append(a.ticks, tick{at: y})
	}
	for y := math.Ceil(a.lo/every) * every; y < a.hi; y += every {
		a.ticks = append(a.ticks, tick{at: y + 0.5, label: yearText(y)})
	}
	return a
}

// yearText writes a year, which has no blank between the thousands.
func yearText(y float64) string { return strconv.Itoa(int(y)) }
