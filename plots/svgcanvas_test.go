package plots

import (
	"image/color"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"pgregory.net/rapid"
)

func pt(x, y float64) vg.Point { return vg.Point{X: vg.Length(x), Y: vg.Length(y)} }

func rect(x, y, w, h float64) vg.Rectangle { return vg.Rectangle{Min: pt(x, y), Max: pt(x+w, y+h)} }

func TestSVGMarkup(t *testing.T) {
	c := newSVGCanvas(100, 50)
	d := draw.New(c)
	d.StrokeLine2(draw.LineStyle{Color: ink, Width: 0.5, Dashes: []vg.Length{5, 3}}, 0, 0, 10, 0)
	d.StrokeLine2(draw.LineStyle{Color: ink, Width: 0.5, Dashes: []vg.Length{5, 3}}, 0, 10.5, 0.26, 10)
	filled(d, rect(20, 20, 5, 5), alpha(sky, 51))
	mark{shape: "circle", clr: ink, r: 3}.draw(d, pt(40, 25))
	write(d, boldText, left, 1, 1, "a < b")
	write(d, lightText, left, 1, 20, "light")
	assert.Equal(t, `<path d="m0 50h10m-10-10.5.3.5" style="fill:none;stroke:#222;stroke-width:.5;stroke-dasharray:5,3"/>
<path d="m20 30h5v-5h-5z" style="fill:#56b4e9;fill-opacity:.2"/>
<path d="m44 25a4 4 0 0 0-8 0 4 4 0 0 0 8 0z" style="fill:#fff"/>
<path d="m43 25a3 3 0 0 0-6 0 3 3 0 0 0 6 0z"/>
<text x="1" y="49" style="font-weight:bold">a &lt; b</text>
<text x="1" y="30" style="fill:#595959">light</text>
`, string(c.body()))
}

// What is painted over what at any place does not depend on how paths are joined.
func TestJoinedPathsPaintAlike(t *testing.T) {
	colors := []color.NRGBA{ink, white, alpha(sky, 100), alpha(orange, 100)}
	rapid.Check(t, func(rt *rapid.T) {
		type painted struct {
			box   vg.Rectangle
			style string
		}
		c := newSVGCanvas(100, 100)
		var all []painted
		for range rapid.IntRange(1, 40).Draw(rt, "n") {
			clr := rapid.SampledFrom(colors).Draw(rt, "colour")
			at := rapid.SliceOfN(rapid.IntRange(0, 9), 4, 4).Draw(rt, "box")
			box := rect(float64(at[0]), float64(at[1]), float64(1+at[2]), float64(1+at[3]))
			c.SetColor(clr)
			var p vg.Path
			p.Move(box.Min)
			p.Line(vg.Point{X: box.Max.X, Y: box.Min.Y})
			p.Line(box.Max)
			p.Line(vg.Point{X: box.Min.X, Y: box.Max.Y})
			p.Close()
			c.Fill(p)
			hex, opacity := paint(clr)
			all = append(all, painted{box, hex + opacity})
		}
		over := func(box vg.Rectangle, x, y float64) bool {
			return float64(box.Min.X) < x && x < float64(box.Max.X) && float64(box.Min.Y) < y && y < float64(box.Max.Y)
		}
		for x := 0.5; x < 20; x++ {
			for y := 0.5; y < 20; y++ {
				want, got := 0, 0
				var order []string
				for _, p := range all {
					if over(p.box, x, y) {
						order = append(order, p.style)
					}
				}
				want = len(order)
				for _, s := range c.shapes {
					in := 0
					for _, b := range s.boxes {
						if over(b, x, y) {
							in++
						}
					}
					if in > 1 {
						rt.Fatalf("%d areas of one element lie on each other", in)
					}
					if in == 1 {
						style := s.style
						if style == "" {
							style = "fill:" + plainColor
						}
						style = strings.NewReplacer("fill:", "", ";fill-opacity:", "", "fill-opacity:", "").Replace(style)
						if got < want && order[got] != style {
							rt.Fatalf("at %v, %v: %s where %s was painted", x, y, style, order[got])
						}
						got++
					}
				}
				if got != want {
					rt.Fatalf("at %v, %v: %d layers, %d painted", x, y, got, want)
				}
			}
		}
	})
}

// Every point of a line is passed within the tolerance and half a step of rounding in x and y.
func TestPathsKeepTheirPlace(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		coordinate := rapid.Float64Range(0, 100)
		n := rapid.IntRange(2, 60).Draw(rt, "n")
		var p vg.Path
		var pts []vg.Point
		for i := range n {
			q := pt(coordinate.Draw(rt, "x"), coordinate.Draw(rt, "y"))
			if rapid.Bool().Draw(rt, "smooth") && i > 0 {
				q = pts[i-1].Add(pt(1, 0.3*math.Sin(float64(i))))
			}
			if pts = append(pts, q); i == 0 {
				p.Move(q)
			} else {
				p.Line(q)
			}
		}
		w := pathWriter{height: 100}
		w.write(p)
		got := pointsOf(t, w.String(), 100)
		for _, q := range pts {
			near := math.Inf(1)
			for i := range got {
				near = math.Min(near, float64(distance(q, got[max(i-1, 0)], got[i])))
			}
			if near > tolerance+0.05*math.Sqrt2+1e-9 {
				rt.Fatalf("%v is passed %v off: %s", q, near, w.String())
			}
		}
	})
}

var pathParts = regexp.MustCompile(`[mlhvz]|-?(?:\d+(?:\.\d+)?|\.\d+)`)

// pointsOf reads the corners of a path of straight lines, by the rules of SVG.
func pointsOf(t *testing.T, d string, height float64) (out []vg.Point) {
	t.Helper()
	command, x, y := "", 0.0, 0.0
	parts := pathParts.FindAllString(d, -1)
	require.Equal(t, strings.ReplaceAll(d, " ", ""), strings.Join(parts, ""))
	next := func() float64 {
		v, err := strconv.ParseFloat(parts[0], 64)
		require.NoError(t, err)
		parts = parts[1:]
		return v
	}
	for len(parts) > 0 {
		if strings.Contains("mlhvz", parts[0]) {
			command, parts = parts[0], parts[1:]
		}
		switch command {
		case "m":
			x, y, command = x+next(), y+next(), "l"
		case "l":
			x, y = x+next(), y+next()
		case "h":
			x += next()
		case "v":
			y += next()
		}
		out = append(out, pt(x, height-y))
	}
	return out
}

func TestThinnedKeepsCorners(t *testing.T) {
	corner := []vg.Point{pt(0, 0), pt(5, 0), pt(10, 0.01), pt(10, 5), pt(10, 10)}
	assert.Equal(t, []vg.Point{pt(0, 0), pt(10, 0.01), pt(10, 10)}, thinned(corner))
	back := []vg.Point{pt(0, 0), pt(10, 0), pt(0, 0)}
	assert.Equal(t, back, thinned(back), "there and back")
	assert.Equal(t, corner[:2], thinned(corner[:2]))
}

func TestCanvasCannotBeTurned(t *testing.T) {
	c := newSVGCanvas(1, 1)
	assert.Panics(t, func() { c.Rotate(1) })
	assert.Panics(t, func() { c.Translate(pt(1, 1)) })
	assert.Panics(t, func() { c.Scale(2, 2) })
	assert.Panics(t, func() { c.DrawImage(rect(0, 0, 1, 1), nil) })
}
