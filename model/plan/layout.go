package plan

import (
	"cmp"
	"hash/fnv"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
)

// Ground is where the transects of a layer are laid out.
type Ground struct {
	Frame  Frame // nil: nothing is known of it but shares of its length and width
	Place  func(XY) (lon, lat float64)
	Inside func(lon, lat float64) bool // whether a place on the map is on the ground; nil: always
	Strata []string                    // that a transect crosses; one where it lies in one
	Shares []float64                   // of the strata in the area
	Of     func(lon, lat float64) int  // index of the stratum in which a place on the map lies, -1 in none; nil: not known
	Lines  bool                        // the frame is that of the bed: it tells where a transect runs, but not where on it the stratum begins
}

// LayOut places the transects of an effort, balanced over each layer: consecutive terms of a Halton sequence with a
// random start choose the transects (base 2) and the quadrats on each (base 3). Every place of a layer has the same
// chance. Names are T1, T2, ... along the bed and T1Q1, ... up each transect; loose names quadrats Q1, ... for a bed whose
// quadrats stand without transects. The same seed and bed give the same places.
func LayOut(bed string, layers []Layer, grounds []Ground, e Effort, loose bool, seed uint64) []Stratum {
	out := make([]Stratum, len(layers))
	next := 1
	for h, l := range layers {
		rng := Stream(seed, "places|"+bed+"|"+l.Label)
		out[h] = Stratum{Stratum: l.Label, Area: l.Area}
		g := grounds[h]
		if loose {
			out[h].Transects = []Transect{g.loose(e, e.Transects[h], &next, rng)}
			continue
		}
		us := spreadOver(e.Transects[h], 2, rng)
		slices.Sort(us)
		for _, u := range us {
			out[h].Transects = append(out[h].Transects, g.transect("T"+strconv.Itoa(next), u, e, rng))
			next++
		}
	}
	return out
}

// Stream is a random stream of its own for each name.
func Stream(seed uint64, name string) *rand.Rand {
	h := fnv.New64a()
	io.WriteString(h, name) // a hash never fails to write
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// transect lays out one transect.
func (g Ground) transect(label string, u float64, e Effort, rng *rand.Rand) Transect {
	t := Transect{Transect: label, From: g.point(u, 0, 0), To: g.point(u, 1, 1)}
	if g.Frame != nil {
		from, to, _ := g.Frame.Line(u)
		t.From.Lon, t.From.Lat = g.Place(from)
		t.To.Lon, t.To.Lat = g.Place(to)
	}
	if g.Of != nil {
		t.Quadrats = g.across(u, e.Quadrats, rng)
	} else {
		t.Quadrats = g.within(u, e.Quadrats, rng)
	}
	for i := range t.Quadrats {
		t.Quadrats[i].Quadrat = label + "Q" + strconv.Itoa(i+1)
	}
	for _, i := range rng.Perm(len(t.Quadrats))[:e.Weigh] {
		t.Quadrats[i].Weigh = true
	}
	return t
}

// within places so many quadrats in each of the strata that a transect crosses.
func (g Ground) within(u float64, m int, rng *rand.Rand) (out []Quadrat) {
	for k, n := range split(m, g.Shares, rng) {
		for _, v := range spreadOver(n, 3, rng) {
			out = append(out, Quadrat{Stratum: g.Strata[k], At: g.inside(u, v, rng)})
		}
	}
	slices.SortStableFunc(out, func(a, b Quadrat) int {
		return cmp.Or(slices.Index(g.Strata, a.Stratum)-slices.Index(g.Strata, b.Stratum), cmp.Compare(a.At.UpShare, b.At.UpShare))
	})
	return out
}

// across spreads quadrats over the whole of a transect; each belongs to the stratum it falls into. So every place of the
// layer has the same chance, and a stratum on average its share of the quadrats. A number of them fixed in each stratum
// would give places more chance where the stratum is narrow.
func (g Ground) across(u float64, m int, rng *rand.Rand) (out []Quadrat) {
	for _, v := range spreadOver(m, 3, rng) {
		at := g.inside(u, v, rng)
		k := slices.Index(g.Shares, slices.Max(g.Shares)) // of a place that could not be found
		if at.Located() {
			k = max(0, g.Of(at.Lon, at.Lat))
		}
		out = append(out, Quadrat{Stratum: g.Strata[k], At: at})
	}
	slices.SortStableFunc(out, func(a, b Quadrat) int { return cmp.Compare(a.At.UpShare, b.At.UpShare) })
	return out
}

// loose places quadrats one by one, without transects.
func (g Ground) loose(e Effort, batches int, next *int, rng *rand.Rand) Transect {
	nowhere := Point{math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	t := Transect{From: nowhere, To: nowhere}
	n := batches * e.Quadrats
	us, vs := spreadOver(n, 2, rng), spreadOver(n, 3, rng)
	for i, u := range us {
		t.Quadrats = append(t.Quadrats, Quadrat{Stratum: g.Strata[0], At: g.inside(u, vs[i], rng)})
	}
	slices.SortStableFunc(t.Quadrats, func(a, b Quadrat) int { return cmp.Compare(a.At.AlongShare, b.At.AlongShare) })
	for i := range t.Quadrats {
		t.Quadrats[i].Quadrat = "Q" + strconv.Itoa(*next)
		*next++
	}
	for _, i := range rng.Perm(n)[:batches*e.Weigh] {
		t.Quadrats[i].Weigh = true
	}
	return t
}

// inside is a quadrat's place. One that the rounding of its coordinates puts off the ground is drawn anew on its transect.
func (g Ground) inside(u, v float64, rng *rand.Rand) Point {
	const tries = 100
	for range tries {
		p := g.point(u, v, v)
		if !p.Located() || g.Inside == nil || g.Inside(p.Lon, p.Lat) {
			return p
		}
		v = rng.Float64()
	}
	p := g.point(u, v, v)
	p.Lon, p.Lat = math.NaN(), math.NaN() // a transect thinner than the coordinates can tell
	return p
}

// point is the place at shares u and v; share is told as its way up. Where only the line is known, a place on it is not.
func (g Ground) point(u, v, share float64) Point {
	nan := math.NaN()
	p := Point{nan, nan, nan, nan, u, share}
	if g.Frame == nil {
		return p
	}
	_, _, length := g.Frame.Line(u)
	p.Along = g.Frame.Along(u)
	if g.Lines {
		return p
	}
	p.Up = v * length
	p.Lon, p.Lat = g.Place(g.Frame.At(u, v))
	return p
}

// split shares m quadrats out over the strata of a transect by their area, each with one at least, rounded at random so
// that on average each has its share.
func split(m int, shares []float64, rng *rand.Rand) []int {
	out := make([]int, len(shares))
	at, before := rng.Float64(), 0.0
	for k, s := range shares {
		out[k] = 1
		after := before + s*float64(m-len(shares))
		out[k] += int(math.Floor(after+at) - math.Floor(before+at))
		before = after
	}
	if len(shares) == 1 {
		out[0] = m
	}
	return out
}
