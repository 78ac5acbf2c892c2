package survey

import (
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawn reads outlines that have no fault, of any bed.
func drawn(t testing.TB, text string) map[string]Outline {
	t.Helper()
	r := newReading(files(map[string]string{OutlinesFile: text}), DefaultOptions())
	require.NoError(t, r.listFiles())
	r.found = &findings{}
	r.readOutlines()
	require.NoError(t, r.err)
	require.Empty(t, r.found.list)
	return r.f.Outlines
}

// Areas of 32 outlines equal those of GeographicLib 2.1.2's Planimeter (testdata/geo/areas.py): squares of 1000 m2 from
// the equator to 89 degrees, ragged shores, holes, parts, the antimeridian, strips of 5 m. The edges are geodesics there
// and great circles of the authalic sphere here: 1e-6. For beds they agree to 1e-8, or to the last digit that
// Planimeter prints, 1e-4 m2.
func TestAreaAsPlanimeter(t *testing.T) {
	text, err := os.ReadFile("testdata/geo/polygons.geojson")
	require.NoError(t, err)
	outlines := drawn(t, string(text))
	rows := readTable(t, "geo/areas.csv")
	require.Greater(t, len(rows), 20)
	require.Len(t, outlines, len(rows)-1)
	for _, row := range rows[1:] {
		want, err := strconv.ParseFloat(row[1], 64)
		require.NoError(t, err)
		o := outlines[row[0]]
		approx(t, row[0], o.Area, want, 1e-6, 0)
		if want < 1e7 && o.North < 89.95 { // the authalic latitude is less sharp at a pole
			approx(t, row[0], o.Area, want, 1e-8, 1e-4)
		}
	}
}

// The whole earth, by its two halves and by its eight parts, is the surface of an oblate ellipsoid in closed form:
// 2π a² (1 + (1-e²) atanh(e)/e).
func TestAreaOfTheEarth(t *testing.T) {
	e := math.Sqrt((2 - 1/298.257223563) / 298.257223563)
	want := 2 * math.Pi * 6378137 * 6378137 * (1 + (1-e*e)*math.Atanh(e)/e)
	half := Ring{{0, 0}, {90, 0}, {180, 0}, {-90, 0}, {0, 0}}
	eighth := Ring{{0, 0}, {90, 0}, {0, 90}, {0, 0}}
	approx(t, "halves", 2*half.Area(), want, 1e-12, 0)
	approx(t, "eighths", 8*eighth.Area(), want, 1e-12, 0)
}

// Between two parallels and two meridians that are near each other, the area is a² (q2-q1)/2 Δλ but for the bend of
// the great circle.
func TestAreaBetweenParallels(t *testing.T) {
	for _, lat := range []float64{0, 30, 60, 85} {
		r := Ring{{7, lat}, {7.0001, lat}, {7.0001, lat + 0.5}, {7, lat + 0.5}, {7, lat}}
		q := func(lat float64) float64 { return authalicQ(math.Sin(lat * math.Pi / 180)) }
		approx(t, "band", r.Area(), wgs84A*wgs84A/2*(q(lat+0.5)-q(lat))*0.0001*math.Pi/180, 1e-9, 0)
	}
}

// ragged draws a ring without crossings about a centre, counter-clockwise.
func ragged(t *rapid.T, lon, lat float64) Ring {
	n := rapid.IntRange(3, 40).Draw(t, "corners")
	var r Ring
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		d := rapid.Float64Range(0.5, 1).Draw(t, "distance") * 0.002
		r = append(r, LonLat{wrap(lon + d*math.Cos(a)/math.Cos(lat*math.Pi/180)), lat + d*math.Sin(a)})
	}
	return append(r, r[0])
}

// Area, box, centroid and inside do not depend on where a ring begins, on its winding, on corners added to its edges,
// or on its longitude, the antimeridian included; holes are taken off.
func TestOutlineProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat := rapid.Float64Range(-80, 80).Draw(t, "lat")
		r := ragged(t, 20, lat)
		o := newOutline([]Polygon{{slices.Clone(r)}}, 1)
		same := func(what string, got Outline, lon float64) {
			approx(t, what, got.Area, o.Area, 1e-8, 0)
			for name, v := range map[string][2]float64{"west": {got.West, o.West}, "east": {got.East, o.East}, "centre": {got.Centroid.Lon, o.Centroid.Lon}} {
				approx(t, what+" "+name, eastward(v[1]+lon, v[0]), 0, 0, 1e-9)
			}
			approx(t, what+" lat", got.Centroid.Lat, o.Centroid.Lat, 0, 1e-9)
		}
		open := r[:len(r)-1]
		k := rapid.IntRange(0, len(open)-1).Draw(t, "begin")
		turned := slices.Concat(open[k:], open[:k])
		turned = append(turned, turned[0])
		same("turned", newOutline([]Polygon{{turned}}, 1), 0)
		back := slices.Clone(r)
		slices.Reverse(back)
		same("reversed", newOutline([]Polygon{{back}}, 1), 0)
		var fine Ring
		for i, at := range open {
			fine = append(fine, at, LonLat{(at.Lon + r[i+1].Lon) / 2, (at.Lat + r[i+1].Lat) / 2})
		}
		bend := 0.0 // between a great circle and a straight line of longitude and latitude
		for i, at := range open {
			bend += math.Pow(at.distance(r[i+1]), 3) * math.Tan((math.Abs(lat)+0.002)*math.Pi/180) / (12 * 6371e3)
		}
		approx(t, "finer", append(fine, fine[0]).Area(), o.Area, 1e-8, 1.02*bend)
		var moved Ring
		for _, at := range r {
			moved = append(moved, LonLat{wrap(at.Lon + 160), at.Lat})
		}
		same("moved", newOutline([]Polygon{{moved}}, 1), 160)

		assert.True(t, o.Contains(LonLat{20, lat}), "the centre of the star")
		assert.False(t, o.Contains(LonLat{20, o.North + 1e-6}))
		assert.False(t, o.Contains(LonLat{o.East + 1e-6, lat}))
		_, crosses := o.crossing()
		assert.False(t, crosses)
		assert.True(t, o.apart())
		var hole Ring
		for _, at := range r {
			hole = append(hole, LonLat{20 + (at.Lon-20)/4, lat + (at.Lat-lat)/4})
		}
		holed := newOutline([]Polygon{{slices.Clone(r), hole}}, 1)
		approx(t, "with a hole", holed.Area, o.Area*15/16, 1e-5, 0)
		assert.False(t, holed.Contains(LonLat{20, lat}))
		_, crosses = holed.crossing()
		assert.False(t, crosses)
		assert.True(t, holed.apart())
		assert.True(t, holed.Polygons[0][0].signedArea() > 0 && holed.Polygons[0][1].signedArea() < 0, "wound as RFC 7946 has it")
	})
}

// A rectangle around a quarter that is cut out, and two parts across the antimeridian, by hand.
func TestOutlineByHand(t *testing.T) {
	o := newOutline([]Polygon{{{{0, 0}, {0.002, 0}, {0.002, 0.001}, {0.001, 0.001}, {0.001, 0.002}, {0, 0.002}, {0, 0}}}}, 1)
	approx(t, "lon", o.Centroid.Lon, (2*0.001+0.0005)/3, 1e-9, 0) // a lower half of weight 2 at 0.001 and a quarter at 0.0005
	approx(t, "lat", o.Centroid.Lat, (2*0.0005+0.0015)/3, 1e-9, 0)
	assert.Equal(t, [4]float64{0, 0, 0.002, 0.002}, [4]float64{o.West, o.South, o.East, o.North})
	assert.False(t, o.Contains(LonLat{0.0015, 0.0015}))

	o = newOutline([]Polygon{{{{179.99, 5}, {180, 5}, {180, 5.01}, {179.99, 5.01}, {179.99, 5}}},
		{{{-180, 5}, {-179.97, 5}, {-179.97, 5.01}, {-180, 5.01}, {-180, 5}}}}, 1)
	approx(t, "west", o.West, 179.99, 1e-12, 0)
	approx(t, "east", o.East, -179.97, 1e-12, 0)
	approx(t, "middle", o.Centroid.Lon, -179.99, 1e-9, 0)
	assert.True(t, o.Contains(LonLat{-179.98, 5.005}) && o.Contains(LonLat{179.995, 5.005}))
	assert.False(t, o.Contains(LonLat{0, 5.005}))
	approx(t, "away", o.away(LonLat{-179.97, 5.02}), 1111.9, 1e-3, 0) // 0.01 degree of 6371 km
	approx(t, "within", o.away(LonLat{180, 5.005}), 0, 0, 0)
	approx(t, "east of it", o.away(LonLat{-179.96, 5.005}), 1107.7, 1e-3, 0)
	approx(t, "west of it", o.away(LonLat{179.98, 5.005}), 1107.7, 1e-3, 0)
}

// Lines that cross are found, those that touch are not: a bow tie, a ring that touches itself, a hole that touches its
// polygon, a corner on another line, two parts with a common side.
func TestCrossing(t *testing.T) {
	for name, c := range map[string]struct {
		polygons []Polygon
		crosses  bool
		apart    bool
	}{
		"bow tie":          {[]Polygon{{{{0, 0}, {0.002, 0.0021}, {0.002, 0}, {0, 0.001}, {0, 0}}}}, true, true},
		"hole outside":     {[]Polygon{{box(0, 0, 0.003), box(0.004, 0, 0.001)}}, false, false},
		"hole across":      {[]Polygon{{box(0, 0, 0.003), box(0.002, 0.001, 0.0015)}}, true, true},
		"part in part":     {[]Polygon{{box(0, 0, 0.003)}, {box(0.001, 0.001, 0.001)}}, false, false},
		"parts overlap":    {[]Polygon{{box(0, 0, 0.003)}, {box(0.001, 0.001, 0.004)}}, true, true},
		"part in a hole":   {[]Polygon{{box(0, 0, 0.004), box(0.001, 0.001, 0.002)}, {box(0.0015, 0.0015, 0.0005)}}, false, true},
		"common side":      {[]Polygon{{box(0, 0, 0.003)}, {box(0.003, 0.001, 0.001)}}, false, true},
		"touches itself":   {[]Polygon{{{{0, 0}, {0.004, 0}, {0.004, 0.004}, {0, 0.004}, {0, 0}, {0.001, 0.002}, {0.002, 0.001}, {0, 0}}}}, false, true},
		"hole at a side":   {[]Polygon{{box(0, 0, 0.004), {{0, 0.002}, {0.002, 0.003}, {0.002, 0.001}, {0, 0.002}}}}, false, true},
		"corner on a line": {[]Polygon{{{{0, 0}, {0.003, 0.001}, {0.003, 0.003}, {0, 0.003}, {0, 0}}}, {{{0.0015, 0.0005}, {0, -0.001}, {0.003, -0.001}, {0.0015, 0.0005}}}}, false, true},
	} {
		o := newOutline(c.polygons, 1)
		at, crosses := o.crossing()
		assert.Equal(t, c.crosses, crosses, "%s at %v", name, at)
		if !crosses {
			assert.Equal(t, c.apart, o.apart(), name)
		}
	}
	o := newOutline([]Polygon{{{{0, 0}, {0.002, 0.0021}, {0.002, 0}, {0, 0.001}, {0, 0}}}}, 1)
	at, _ := o.crossing() // 1.05 x = 0.001 - x/2
	approx(t, "lon", at.Lon, 0.001/1.55, 1e-9, 0)
	approx(t, "lat", at.Lat, 0.00105/1.55, 1e-9, 0)
}

// box is a square ring, side in degrees.
func box(west, south, side float64) Ring {
	return Ring{{west, south}, {west + side, south}, {west + side, south + side}, {west, south + side}, {west, south}}
}

func BenchmarkRingArea(b *testing.B) {
	var r Ring
	for i := range 1000 {
		a := 2 * math.Pi * float64(i) / 1000
		r = append(r, LonLat{10 + 0.01*math.Cos(a), 60 + 0.01*math.Sin(a)})
	}
	r = append(r, r[0])
	for b.Loop() {
		r.Area()
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1000, "ns/corner")
}

func BenchmarkCrossing(b *testing.B) {
	var r Ring
	for i := range 10000 {
		a := 2 * math.Pi * float64(i) / 10000
		r = append(r, LonLat{10 + 0.01*math.Cos(a), 60 + 0.01*math.Sin(a)})
	}
	o := newOutline([]Polygon{{append(r, r[0])}}, 1)
	for b.Loop() {
		o.crossing()
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/10000, "ns/corner")
}
