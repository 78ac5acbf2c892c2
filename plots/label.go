package plots

import (
	"math"
	"sort"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// placer finds room for labels: it knows what is drawn already and gives each label the place with the least overlap.
type placer struct {
	area  vg.Rectangle
	taken obstacles
}

// Weights of what a label may cover.
const (
	overText  = 20.0
	overMark  = 10.0
	overLine  = 3.0
	overGuide = 1.0
)

// block notes a drawn rectangle.
func (p *placer) block(box vg.Rectangle, weight float64) {
	p.taken.add(obstacle{box, weight})
}

// blockPoint notes a mark of a radius.
func (p *placer) blockPoint(at vg.Point, r vg.Length, weight float64) {
	d := vg.Point{X: r, Y: r}
	p.block(vg.Rectangle{Min: at.Sub(d), Max: at.Add(d)}, weight)
}

// blockLines notes what of drawn lines lies inside the area, as a chain of small squares.
func (p *placer) blockLines(weight float64, lines ...[]vg.Point) {
	const step = 3
	in := draw.Canvas{Rectangle: p.area}
	for _, l := range in.ClipLinesXY(lines...) {
		for i := 1; i < len(l); i++ {
			d := l[i].Sub(l[i-1])
			n := int(math.Hypot(float64(d.X), float64(d.Y))/step) + 1
			for k := range n {
				p.blockPoint(l[i-1].Add(d.Scale(vg.Length(k)/vg.Length(n))), step/2., weight)
			}
		}
	}
}

// covers says whether a rectangle lies over something drawn.
func (p *placer) covers(box vg.Rectangle) bool {
	for _, o := range p.taken.near(box) {
		if overlap(box, o.box) > 0 {
			return true
		}
	}
	return false
}

// cost is how bad a rectangle is for a label. From most on it may be less than that, but no less than most.
func (p *placer) cost(box vg.Rectangle, most float64) float64 {
	sum := 0.0
	for _, o := range p.taken.near(box) {
		if sum += o.weight * overlap(box, o.box); sum >= most {
			return sum
		}
	}
	inside := overlap(box, p.area)
	w, h := float64(box.Max.X-box.Min.X), float64(box.Max.Y-box.Min.Y)
	return sum + 100*max(0, w*h-inside-1e-6)
}

func overlap(a, b vg.Rectangle) float64 {
	w := min(a.Max.X, b.Max.X) - max(a.Min.X, b.Min.X)
	h := min(a.Max.Y, b.Max.Y) - max(a.Min.Y, b.Min.Y)
	if w <= 0 || h <= 0 {
		return 0
	}
	return float64(w) * float64(h)
}

// best returns the least bad of the places (lower left corners) for a w by h label and its cost; earlier places are
// preferred a little. Without places the cost is +Inf.
func (p *placer) best(w, h vg.Length, places []vg.Point) (vg.Rectangle, float64) {
	var found vg.Rectangle
	least := math.Inf(1)
	for i, at := range places {
		box := vg.Rectangle{Min: at, Max: at.Add(vg.Point{X: w, Y: h})}
		if c := p.cost(box, least) + float64(i)*0.5; c < least {
			found, least = box, c
		}
	}
	return found, least
}

// around lists the places for a w by h label about a mark of radius r: close by first, then further off.
func around(at vg.Point, r, w, h vg.Length) []vg.Point {
	var out []vg.Point
	for _, gap := range []vg.Length{r + 1.5, r + 9, r + 19, r + 32} {
		out = append(out,
			vg.Point{X: at.X + gap, Y: at.Y - h/2},
			vg.Point{X: at.X - w/2, Y: at.Y + gap},
			vg.Point{X: at.X - gap - w, Y: at.Y - h/2},
			vg.Point{X: at.X - w/2, Y: at.Y - gap - h},
			vg.Point{X: at.X + gap*0.7, Y: at.Y + gap*0.7},
			vg.Point{X: at.X - gap*0.7 - w, Y: at.Y + gap*0.7},
			vg.Point{X: at.X + gap*0.7, Y: at.Y - gap*0.7 - h},
			vg.Point{X: at.X - gap*0.7 - w, Y: at.Y - gap*0.7 - h},
		)
	}
	return out
}

// put writes a label of one or more lines at the best of the places and notes it; above the highest cost it writes
// nothing and returns false. A white ground keeps the words readable where they cross something drawn.
func (p *placer) put(c draw.Canvas, s textStyle, lines []string, places []vg.Point, highest float64) (vg.Rectangle, bool) {
	w, h := blockSize(s, lines)
	box, cost := p.best(w, h, places)
	if cost > highest || len(lines) == 0 {
		return vg.Rectangle{}, false
	}
	if p.covers(box) {
		ground(c, box)
	}
	writeBlock(c, s, box, lines)
	p.block(box, overText)
	return box, true
}

// blockSize is the size of lines of text set solid.
func blockSize(s textStyle, lines []string) (w, h vg.Length) {
	for _, l := range lines {
		w = max(w, s.width(clean(l)))
	}
	return w + 2, vg.Length(len(lines)) * (s.size + 2)
}

// writeBlock draws lines of text in a box.
func writeBlock(c draw.Canvas, s textStyle, box vg.Rectangle, lines []string) {
	for i, l := range lines {
		write(c, s, left, box.Min.X+1, box.Max.Y-vg.Length(i+1)*(s.size+2)+s.size*0.25+0.5, l)
	}
}

// ground draws the white ground of a label.
func ground(c draw.Canvas, b vg.Rectangle) {
	filled(c, b, alpha(white, 200))
}

// label writes a text about a mark, with a thin line to it where the text stands apart.
func (p *placer) label(c draw.Canvas, s textStyle, txt string, at vg.Point, r vg.Length) bool {
	lines := []string{txt}
	w, h := blockSize(s, lines)
	box, ok := p.put(c, s, lines, around(at, r, w, h), 900)
	if !ok {
		return false
	}
	near := vg.Point{X: min(max(at.X, box.Min.X), box.Max.X), Y: min(max(at.Y, box.Min.Y), box.Max.Y)}
	d := near.Sub(at)
	if gap := math.Hypot(float64(d.X), float64(d.Y)); gap > float64(r)+6 {
		start := at.Add(d.Scale(vg.Length(float64(r) / gap)))
		c.StrokeLine2(leaderLine, start.X, start.Y, near.X, near.Y)
		p.blockLines(overLine, []vg.Point{start, near})
	}
	return true
}

// spread moves heights (of the middles of labels h high each) apart so that none overlap, within lo to hi, each as near
// to its own as the order allows. It returns them in the order given.
func spread(ys []vg.Length, h []vg.Length, lo, hi vg.Length) []vg.Length {
	order := make([]int, len(ys))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return ys[order[a]] < ys[order[b]] })
	out := append([]vg.Length(nil), ys...)
	for range 100 {
		moved := false
		for k := 1; k < len(order); k++ {
			a, b := order[k-1], order[k]
			need := (h[a]+h[b])/2 - (out[b] - out[a])
			if need > 0.01 {
				out[a], out[b], moved = out[a]-need/2, out[b]+need/2, true
			}
		}
		for _, i := range order {
			out[i] = min(max(out[i], lo+h[i]/2), hi-h[i]/2)
		}
		if !moved {
			break
		}
	}
	return out
}
