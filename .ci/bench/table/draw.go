package main

import (
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
)

// The plot spans decades of rows and of seconds, so many pixels each.
const (
	rowsFrom, rowsTo = 4, 8
	secFrom, secTo   = -2, 2
	decade           = 90
	left, top        = 70, 20
)

// draw writes the costs over rows, both on logarithmic axes, as SVG.
func draw(file string, by map[string][]point) error {
	var b strings.Builder
	w, h := left+decade*(rowsTo-rowsFrom)+90, top+decade*(secTo-secFrom)+50
	at := func(p point) (float64, float64) {
		return left + decade*(math.Log10(p.X)-rowsFrom), top + decade*(secTo-math.Log10(p.Y))
	}
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" font-family="sans-serif" font-size="12">`+"\n", w, h)
	fmt.Fprintf(&b, `<rect width="%d" height="%d" fill="#ffffff"/>`+"\n", w, h)
	for d := rowsFrom; d <= rowsTo; d++ {
		x := left + decade*(d-rowsFrom)
		fmt.Fprintf(&b, `<path d="M%d %dV%d" stroke="#cccccc"/><text x="%d" y="%d" text-anchor="middle">1e%d</text>`+"\n",
			x, top, h-50, x, h-32, d)
	}
	for d := secFrom; d <= secTo; d++ {
		y := top + decade*(secTo-d)
		fmt.Fprintf(&b, `<path d="M%d %dH%d" stroke="#cccccc"/><text x="%d" y="%d" text-anchor="end">%g s</text>`+"\n",
			left, y, w-90, left-8, y+4, math.Pow10(d))
	}
	fmt.Fprintf(&b, `<text x="%d" y="%d" text-anchor="middle">rows of quadrats.csv</text>`+"\n", left+decade*(rowsTo-rowsFrom)/2, h-10)
	for i, stage := range slices.Sorted(maps.Keys(by)) {
		path := "M"
		for _, p := range by[stage] {
			x, y := at(p)
			path += fmt.Sprintf("%.1f %.1f ", x, y)
			fmt.Fprintf(&b, `<circle cx="%.1f" cy="%.1f" r="3"/>`+"\n", x, y)
		}
		fmt.Fprintf(&b, `<path d="%s" fill="none" stroke="#000000" stroke-dasharray="%d %d"/>`+"\n", strings.TrimSpace(path), 6, 4*i)
		x, y := at(by[stage][len(by[stage])-1])
		fmt.Fprintf(&b, `<text x="%.1f" y="%.1f">%s</text>`+"\n", x+8, y+4+float64(8*i), stage)
	}
	b.WriteString("</svg>\n")
	return os.WriteFile(file, []byte(b.String()), 0o644)
}
