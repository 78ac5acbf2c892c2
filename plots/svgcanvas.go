package plots

import (
	"fmt"
	"html"
	"image"
	"image/color"
	"strings"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// svgCanvas is a canvas that writes SVG of few bytes: the report holds a hundred figures. Points are rounded to a tenth of
// a point (an eighth of a pixel at full size), points that a line passes anyway are left out, coordinates are relative,
// and paths of one style are one element wherever no paint between them is touched. It cannot be turned, moved or scaled:
// no figure needs that.
type svgCanvas struct {
	w, h   vg.Length
	pens   []pen
	shapes []*shape
}

// pen is how the canvas draws at the moment.
type pen struct {
	clr    color.Color
	width  vg.Length
	dashes []vg.Length
	offset vg.Length
}

// shape is an element of the document: paths of one style, or a line of text.
type shape struct {
	style  string
	fill   bool
	solid  bool // nothing shines through
	paths  []vg.Path
	boxes  []vg.Rectangle // what each of them covers
	words  string
	at     vg.Point
	isText bool
}

func newSVGCanvas(w, h vg.Length) *svgCanvas {
	c := &svgCanvas{w: w, h: h, pens: []pen{{}}}
	vg.Initialize(c)
	return c
}

func (c *svgCanvas) pen() *pen                { return &c.pens[len(c.pens)-1] }
func (c *svgCanvas) Size() (w, h vg.Length)   { return c.w, c.h }
func (c *svgCanvas) SetLineWidth(w vg.Length) { c.pen().width = w }
func (c *svgCanvas) SetColor(clr color.Color) { c.pen().clr = clr }
func (c *svgCanvas) Push()                    { c.pens = append(c.pens, *c.pen()) }
func (c *svgCanvas) Pop()                     { c.pens = c.pens[:len(c.pens)-1] }
func (c *svgCanvas) Rotate(float64)           { panic("plots: the canvas of SVG cannot be turned") }
func (c *svgCanvas) Translate(vg.Point)       { panic("plots: the canvas of SVG cannot be moved") }
func (c *svgCanvas) Scale(_, _ float64)       { panic("plots: the canvas of SVG cannot be scaled") }
func (c *svgCanvas) SetLineDash(d []vg.Length, offset vg.Length) {
	c.pen().dashes, c.pen().offset = d, offset
}

// DrawImage is of no use to the figures.
func (c *svgCanvas) DrawImage(vg.Rectangle, image.Image) {
	panic("plots: the canvas of SVG takes no pictures")
}

// Stroke draws a path as a line.
func (c *svgCanvas) Stroke(p vg.Path) {
	k := c.pen()
	if !(k.width > 0) || len(p) == 0 {
		return
	}
	hex, opacity := paint(k.clr)
	style := "fill:none;stroke:" + hex
	if opacity != "" {
		style += ";stroke-opacity:" + opacity
	}
	if k.width != 1 {
		style += ";stroke-width:" + decimal(k.width, 100)
	}
	if len(k.dashes) > 0 {
		var d []string
		for _, v := range k.dashes {
			d = append(d, decimal(v, 100))
		}
		style += ";stroke-dasharray:" + strings.Join(d, ",")
		if k.offset != 0 {
			style += ";stroke-dashoffset:" + decimal(k.offset, 100)
		}
	}
	c.add(&shape{style: style, solid: opacity == "", paths: []vg.Path{p}, boxes: []vg.Rectangle{boxOf(p, k.width)}})
}

// Fill fills a path.
func (c *svgCanvas) Fill(p vg.Path) {
	if len(p) == 0 {
		return
	}
	hex, opacity := paint(c.pen().clr)
	style := ""
	if hex != plainColor {
		style = "fill:" + hex
	}
	if opacity != "" {
		style += ifBoth(style, ";") + "fill-opacity:" + opacity
	}
	c.add(&shape{style: style, fill: true, solid: opacity == "", paths: []vg.Path{p}, boxes: []vg.Rectangle{boxOf(p, 0)}})
}

// FillString writes a line of text that begins at a point.
func (c *svgCanvas) FillString(f font.Face, at vg.Point, txt string) {
	var style []string
	if f.Font.Weight == boldWeight {
		style = append(style, "font-weight:bold")
	}
	size := f.Font.Size
	if size != plainText.size {
		style = append(style, "font-size:"+decimal(size, 100)+"px")
	}
	if hex, _ := paint(c.pen().clr); hex != plainColor {
		style = append(style, "fill:"+hex)
	}
	// Letters reach a little beyond their advance and their size.
	box := vg.Rectangle{Min: vg.Point{X: at.X - 0.2*size, Y: at.Y - 0.35*size},
		Max: vg.Point{X: at.X + 1.1*f.Width(txt) + 0.4*size, Y: at.Y + 1.1*size}}
	c.shapes = append(c.shapes, &shape{style: strings.Join(style, ";"), boxes: []vg.Rectangle{box}, words: txt, at: at, isText: true})
}

// add puts a path into an earlier element of its style, if nothing drawn since is touched by it, else behind all.
func (c *svgCanvas) add(s *shape) {
	const farthest = 200 // elements looked back
	for i := len(c.shapes) - 1; i >= max(0, len(c.shapes)-farthest); i-- {
		o := c.shapes[i]
		touches := o.touches(s.boxes[0])
		if !o.isText && o.style == s.style && o.fill == s.fill && (!touches || s.solid && !s.fill) {
			o.paths, o.boxes = append(o.paths, s.paths...), append(o.boxes, s.boxes...)
			return
		}
		if touches {
			break
		}
	}
	c.shapes = append(c.shapes, s)
}

func (s *shape) touches(b vg.Rectangle) bool {
	for _, a := range s.boxes {
		if a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y {
			return true
		}
	}
	return false
}

// body is what was drawn, as elements.
func (c *svgCanvas) body() []byte {
	var b strings.Builder
	for _, s := range c.shapes {
		style := ""
		if s.style != "" {
			style = ` style="` + s.style + `"`
		}
		if s.isText {
			fmt.Fprintf(&b, "<text x=\"%s\" y=\"%s\"%s>%s</text>\n", decimal(s.at.X, 10), decimal(c.h-s.at.Y, 10), style, html.EscapeString(s.words))
			continue
		}
		p := pathWriter{height: c.h}
		for _, path := range s.paths {
			p.write(path)
		}
		fmt.Fprintf(&b, "<path d=\"%s\"%s/>\n", p.String(), style)
	}
	return []byte(b.String())
}

// paint is a colour as SVG has it, and its opacity; blank: nothing shines through.
func paint(clr color.Color) (hex, opacity string) {
	n := color.NRGBAModel.Convert(clr).(color.NRGBA)
	hex = fmt.Sprintf("#%02x%02x%02x", n.R, n.G, n.B)
	if hex[1] == hex[2] && hex[3] == hex[4] && hex[5] == hex[6] {
		hex = string([]byte{'#', hex[1], hex[3], hex[5]})
	}
	if n.A != 0xFF {
		opacity = decimal(vg.Length(n.A)/0xFF, 1000)
	}
	return hex, opacity
}

func ifBoth(s, sep string) string {
	if s == "" {
		return ""
	}
	return sep
}
