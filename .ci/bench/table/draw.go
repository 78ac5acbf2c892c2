package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Both panels span decades of rows, and decades of seconds or MB, so many pixels each.
const (
	rowsFrom, rowsTo = 4, 8
	decade           = 90
	left, top        = 80, 30
	panelWidth       = left + decade*(rowsTo-rowsFrom) + 110
)

// panel is one plot on logarithmic axes.
type panel struct {
	at       int // pixels from the left
	title    string
	unit     string
	from, to int // decades
	of       func(cost) float64
}

// draw writes the costs and the memory over rows, side by side, as SVG.
func (m measured) draw() string {
	panels := []panel{{0, "time of all cores", "s", -3, 3, cpu}, {panelWidth, "most memory by the end of the stage", "MB", 1, 4, memory}}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" font-family="sans-serif" font-size="12">`+"\n",
		len(panels)*panelWidth, panels[0].bottom()+50)
	fmt.Fprintf(&b, `<rect width="100%%" height="100%%" fill="#ffffff"/>`+"\n")
	for _, p := range panels {
		p.frame(&b)
		var names []name
		for i, stage := range stages {
			if len(m.sizes(ours, stage)) > 0 {
				names = append(names, m.line(&b, p, i, stage))
			}
		}
		write(&b, names)
	}
	b.WriteString("</svg>\n")
	return b.String()
}

func (p panel) bottom() int         { return top + decade*(p.to-p.from) }
func (p panel) x(v float64) float64 { return float64(p.at+left) + decade*(math.Log10(v)-rowsFrom) }
func (p panel) y(v float64) float64 { return top + decade*(float64(p.to)-math.Log10(v)) }

func (p panel) frame(b *strings.Builder) {
	right := p.at + left + decade*(rowsTo-rowsFrom)
	fmt.Fprintf(b, `<text x="%d" y="%d">%s</text>`+"\n", p.at+left, top-12, p.title)
	for d := rowsFrom; d <= rowsTo; d++ {
		x := p.at + left + decade*(d-rowsFrom)
		fmt.Fprintf(b, `<path d="M%d %dV%d" stroke="#cccccc"/><text x="%d" y="%d" text-anchor="middle">1e%d</text>`+"\n",
			x, top, p.bottom(), x, p.bottom()+18, d)
	}
	for d := p.from; d <= p.to; d++ {
		y := top + decade*(p.to-d)
		fmt.Fprintf(b, `<path d="M%d %dH%d" stroke="#cccccc"/><text x="%d" y="%d" text-anchor="end">%g %s</text>`+"\n",
			p.at+left, y, right, p.at+left-8, y+4, math.Pow10(d), p.unit)
	}
	fmt.Fprintf(b, `<text x="%d" y="%d" text-anchor="middle">rows of quadrats.csv</text>`+"\n", (p.at+left+right)/2, p.bottom()+40)
}

// line draws a stage and returns its name for the end of the line.
func (m measured) line(b *strings.Builder, p panel, i int, stage string) name {
	path, x, y := "M", 0.0, 0.0
	for _, beds := range m.sizes(ours, stage) {
		x, y = p.x(m.rows[beds]), p.y(max(median(m.costs[key{ours, stage, beds}], p.of), math.Pow10(p.from)))
		path += fmt.Sprintf("%.1f %.1f ", x, y)
		fmt.Fprintf(b, `<circle cx="%.1f" cy="%.1f" r="3"/>`+"\n", x, y)
	}
	fmt.Fprintf(b, `<path d="%s" fill="none" stroke="#000000" stroke-dasharray="6 %d"/>`+"\n", strings.TrimSpace(path), 2*i)
	return name{x + 8, y + 4, stage}
}

// name is what a line is called, with the place where that should stand.
type name struct {
	x, y float64
	text string
}

// write writes names, those beside one column of points in the order of their heights and each pair at least a line apart:
// two that stand too close are moved from each other until none do.
func write(b *strings.Builder, names []name) {
	const line = 12.0
	slices.SortStableFunc(names, func(a, b name) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y)) })
	for moved := true; moved; {
		moved = false
		for i := 1; i < len(names); i++ {
			above, below := &names[i-1], &names[i]
			if short := line - (below.y - above.y); above.x == below.x && short > 0.01 {
				above.y, below.y, moved = above.y-short/2, below.y+short/2, true
			}
		}
	}
	for _, n := range names {
		fmt.Fprintf(b, `<text x="%.1f" y="%.1f">%s</text>`+"\n", n.x, n.y, n.text)
	}
}
