package plots

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// mapInput is an invented shore in the middle of an ocean.
func mapInput() MapInput {
	nan := math.NaN()
	return MapInput{On: "2026-05-02", Invented: true, Beds: []MapBed{
		{"Kittle Ledge", -30.041, 50.012, nil, 11200, bedOpen, "3 of 5 species may be cut"},
		{"Otter Skerry", -30.0335, 50.0068, nil, 8600, bedAction, "cut above recovery"},
		{"North Sound", -30.0262, 50.0031, nil, 5200, bedUnknown, "no survey"},
		{"Whelk Bay", -30.017, 49.9988, nil, 6300, bedClosed, "water quality"},
		{"Grey Stack", -30.0165, 49.9993, nil, 900, bedResting, "cut in 2025"},
		{"Nowhere", nan, nan, nil, 100, bedOpen, ""},
	}}
}

// square is a ring about a position, so many degrees to either side.
func square(lon, lat, d float64) [][2]float64 {
	return [][2]float64{{lon - d, lat - d}, {lon + d, lat - d}, {lon + 1.5*d, lat + d}, {lon - d, lat + d}, {lon - d, lat - d}}
}

func TestMap(t *testing.T) {
	f := Map(mapInput())
	golden(t, "map", f)
	assert.Equal(t, []string{"Nowhere is not on the map: no lat and lon in beds.csv and no outline"}, f.Warnings)
}

func TestMapOutlines(t *testing.T) {
	in := mapInput()
	in.Beds = in.Beds[:4]
	for i := range in.Beds {
		b := &in.Beds[i]
		b.Rings = [][][2]float64{square(b.Lon, b.Lat, 0.0018)}
	}
	hole := square(in.Beds[0].Lon, in.Beds[0].Lat+0.0005, 0.0006)
	slices.Reverse(hole) // a hole winds the other way
	in.Beds[0].Rings = append(in.Beds[0].Rings, hole)
	in.Beds[3].Rings = [][][2]float64{square(in.Beds[3].Lon, in.Beds[3].Lat, 0.00002)} // too small to be drawn
	golden(t, "map_outlines", Map(in))
}

func TestMapOneBed(t *testing.T) {
	in := mapInput()
	in.Beds = in.Beds[:1]
	golden(t, "map_one", Map(in))
}

func TestMapEmpty(t *testing.T) {
	in := mapInput()
	in.Beds = in.Beds[5:]
	golden(t, "map_empty", Map(in))
}

// Beds on either side of the antimeridian lie beside each other.
func TestMapAntimeridian(t *testing.T) {
	l := layMap([]MapBed{{Name: "a", Lon: 179.99, Lat: -17}, {Name: "b", Lon: -179.99, Lat: -17}})
	assert.InDelta(t, 2128, l.at[1].x-l.at[0].x, 3)
	assert.Greater(t, l.scale, 0.1)
}

// Lengths of a degree: National Geospatial-Intelligence Agency, tables of WGS 84 as printed in many handbooks (from
// memory): at 45 degrees 78 846.8 m and 111 131.8 m, at the equator 111 319.5 m and 110 574.3 m.
func TestMetresPerDegree(t *testing.T) {
	for lat, want := range map[float64][2]float64{45: {78846.8, 111131.8}, 0: {111319.5, 110574.3}} {
		lon, latitude := metresPerDegree(lat)
		assert.InDelta(t, want[0], lon, 0.1)
		assert.InDelta(t, want[1], latitude, 0.1)
	}
}

func TestBarLength(t *testing.T) {
	for v, want := range map[float64]float64{999: 500, 1000: 1000, 4999: 2000, 5: 5, 0.3: 0.2} {
		assert.InDelta(t, want, barLength(v), 1e-9)
	}
}

func TestMapWords(t *testing.T) {
	f := Map(mapInput())
	assert.Contains(t, f.Alt, nbspFor("Otter Skerry: needs action, cut above recovery, at latitude 50.0068, longitude -30.0335, 8_600_m²."))
	assert.Contains(t, f.Caption, nbspFor("the largest 1.12_ha."))
	assert.Contains(t, f.Caption, "Not on the map, for want of a position: Nowhere.")
	assert.NotContains(t, f.Alt, "NaN")
}
