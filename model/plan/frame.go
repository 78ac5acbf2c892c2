package plan

import (
	"math"
	"slices"
)

// XY is a place on a plane, in m.
type XY struct{ X, Y float64 }

// Frame is the ground of a bed or stratum, over which places are drawn so that each has the same chance. A share u of
// [0, 1) says which transect, a share v where on it.
type Frame interface {
	// Line is the transect at u: its ends, from which v counts, and its length on the ground.
	Line(u float64) (from, to XY, length float64)
	// At is the place at v on the transect at u.
	At(u, v float64) XY
	// Along is how far the transect at u stands along the bed, m; NaN where no length is known.
	Along(u float64) float64
}

// Strip is the ground beside a baseline: Length metres along X and Width up Y.
type Strip struct{ Length, Width float64 }

// Line is the transect at a share of the length.
func (s Strip) Line(u float64) (from, to XY, length float64) {
	x := u * s.Length
	return XY{x, 0}, XY{x, s.Width}, s.Width
}

// At is the place at a share of the width.
func (s Strip) At(u, v float64) XY { return XY{u * s.Length, v * s.Width} }

// Along is the distance along the baseline.
func (s Strip) Along(u float64) float64 { return u * s.Length }

// Outline is the ground inside rings (outer ones and holes alike; a place is inside that an odd number of rings go
// round). Transects run across the longest way through it, the axis of least moment of inertia; a share u of the
// transects has a share u of the area on its side. As a transect that is longer holds the more ground, and each has as
// many quadrats, every place has the same chance only if transects are drawn in proportion to their length: so they are.
type Outline struct {
	rings    [][]XY // turned so that the axis is X
	cos, sin float64
	x        []float64 // where corners lie on the axis, rising
	lo, hi   []float64 // length of the transect at the beginning and the end of each stretch between corners
	sum      []float64 // area up to x
}

// Encloses says whether rings enclose an area: two that lie on one another do not.
func Encloses(rings [][]XY) bool { return measure(rings).Area() > 0 }

// NewOutline measures the ground inside closed rings; it panics where they enclose no area.
func NewOutline(rings [][]XY) *Outline {
	o := measure(rings)
	if !(o.Area() > 0) {
		panic("plan: an outline without area")
	}
	return o
}

func measure(rings [][]XY) *Outline {
	angle := axis(rings)
	o := &Outline{cos: math.Cos(angle), sin: math.Sin(angle)}
	for _, r := range rings {
		turned := make([]XY, len(r))
		for i, p := range r {
			turned[i] = XY{o.cos*p.X + o.sin*p.Y, o.cos*p.Y - o.sin*p.X}
			o.x = append(o.x, turned[i].X)
		}
		o.rings = append(o.rings, turned)
	}
	slices.Sort(o.x)
	o.x = slices.Compact(o.x)
	o.sum = []float64{0}
	for i := range o.x[1:] {
		a, d := o.x[i], o.x[i+1]-o.x[i]
		w1, w2 := width(o.chord(a+d/3)), width(o.chord(a+2*d/3)) // a straight line between corners
		lo, hi := max(0, 2*w1-w2), max(0, 2*w2-w1)
		o.lo, o.hi = append(o.lo, lo), append(o.hi, hi)
		o.sum = append(o.sum, o.sum[i]+d*(lo+hi)/2)
	}
	return o
}

// Area is the area inside, m2.
func (o *Outline) Area() float64 { return o.sum[len(o.sum)-1] }

// axis is the direction in which the ground is longest, by the second moments of its area about the centre.
func axis(rings [][]XY) float64 {
	var area, sx, sy, xx, xy, yy float64
	at := rings[0][0]
	for _, r := range rings {
		for i := range r {
			p, q := r[i], r[(i+1)%len(r)]
			x1, y1, x2, y2 := p.X-at.X, p.Y-at.Y, q.X-at.X, q.Y-at.Y
			c := x1*y2 - x2*y1
			area += c / 2
			sx, sy = sx+c*(x1+x2)/6, sy+c*(y1+y2)/6
			xx += c * (x1*x1 + x1*x2 + x2*x2) / 12
			yy += c * (y1*y1 + y1*y2 + y2*y2) / 12
			xy += c * (2*x1*y1 + x1*y2 + x2*y1 + 2*x2*y2) / 24
		}
	}
	if area == 0 {
		return 0
	}
	xx, yy, xy = xx/area-sx*sx/area/area, yy/area-sy*sy/area/area, xy/area-sx*sy/area/area
	return math.Atan2(2*xy, xx-yy) / 2
}

// chord is the stretches of ground across the axis at x.
func (o *Outline) chord(x float64) [][2]float64 {
	var cuts []float64
	for _, r := range o.rings {
		for i := range r {
			a, b := r[i], r[(i+1)%len(r)]
			if a.X > x != (b.X > x) {
				cuts = append(cuts, a.Y+(x-a.X)/(b.X-a.X)*(b.Y-a.Y))
			}
		}
	}
	slices.Sort(cuts)
	var out [][2]float64
	for i := 0; i+1 < len(cuts); i += 2 {
		out = append(out, [2]float64{cuts[i], cuts[i+1]})
	}
	return out
}

func width(chord [][2]float64) float64 {
	w := 0.0
	for _, c := range chord {
		w += c[1] - c[0]
	}
	return w
}

// stand is where on the axis a share u of the area is passed.
func (o *Outline) stand(u float64) float64 {
	want := u * o.Area()
	i := min(max(0, sortedAt(o.sum, want)-1), len(o.lo)-1)
	d, rest := o.x[i+1]-o.x[i], want-o.sum[i]
	slope := (o.hi[i] - o.lo[i]) / d
	// rest = lo t + slope t²/2, in the form that holds for a slope of 0
	root := math.Sqrt(max(0, o.lo[i]*o.lo[i]+2*slope*rest))
	t := 0.0
	if o.lo[i]+root > 0 {
		t = 2 * rest / (o.lo[i] + root)
	}
	return o.x[i] + min(max(t, 0), d)
}

// sortedAt is the number of values that are not above v.
func sortedAt(rising []float64, v float64) int {
	i, found := slices.BinarySearch(rising, v)
	for found && i < len(rising) && rising[i] == v {
		i++
	}
	return i
}

// back turns a place as it was.
func (o *Outline) back(x, y float64) XY { return XY{o.cos*x - o.sin*y, o.sin*x + o.cos*y} }

// Line is the transect that a share u of the area lies before.
func (o *Outline) Line(u float64) (from, to XY, length float64) {
	x := o.stand(u)
	c := o.chord(x)
	if len(c) == 0 { // at the very end
		return o.back(x, 0), o.back(x, 0), 0
	}
	return o.back(x, c[0][0]), o.back(x, c[len(c)-1][1]), width(c)
}

// At is the place at a share v of the ground on the transect.
func (o *Outline) At(u, v float64) XY {
	x := o.stand(u)
	c := o.chord(x)
	left := v * width(c)
	for i, s := range c {
		if d := s[1] - s[0]; left < d || i == len(c)-1 {
			return o.back(x, s[0]+min(left, d))
		}
		left -= s[1] - s[0]
	}
	return o.back(x, 0)
}

// Along is the distance along the axis from the end of the bed.
func (o *Outline) Along(u float64) float64 { return o.stand(u) - o.x[0] }
