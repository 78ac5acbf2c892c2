package survey

import (
	"math"
	"slices"
)

// swappedPlaces notes rows whose bed is none and whose stratum is one: the two columns were exchanged. It says which
// rows it noted.
func (c *checker) swappedPlaces(known []bool) []bool {
	q := &c.f.Quadrats
	var swapped fold[[2]uint32]
	noted := make([]bool, q.Len())
	for i, bed := range q.Bed {
		if s := q.Stratum[i]; bed != 0 && !known[bed] && known[s] {
			swapped.add([2]uint32{bed, s}, int(q.Line[i]))
			noted[i] = true
		}
	}
	swapped.each(func(k [2]uint32, line int, also string) {
		c.found.fault("quadrats.csv", line, "bed", "exchange the two cells", "bed is %q and stratum %q, which is a bed of beds.csv: exchanged?%s",
			c.f.Names[k[0]], c.f.Names[k[1]], also)
	})
	return noted
}

const (
	farDegrees  = 3 // degrees from the middle of the beds: some 200 to 330 km, no one shore; judgement, no source
	nearDegrees = 1 // what mending brings it within
	fewestBeds  = 3
)

// positions notes beds far from the others, and says where exchanging latitude and longitude, or a sign, brings them
// back.
func (c *checker) positions() {
	var lats, lons []float64
	for _, b := range c.f.Beds {
		if p := b.Periods[len(b.Periods)-1]; p.Lat.OK && p.Lon.OK {
			lats, lons = append(lats, p.Lat.V), append(lons, p.Lon.V)
		}
	}
	if len(lats) < fewestBeds {
		return
	}
	lat, lon := Quantile(slices.Clone(lats), 0.5), Quantile(slices.Clone(lons), 0.5)
	off := func(y, x float64) float64 {
		return max(math.Abs(y-lat), math.Abs(math.Remainder(x-lon, 360))*math.Cos(lat*math.Pi/180))
	}
	for _, b := range c.f.Beds {
		for _, p := range b.Periods {
			y, x := p.Lat.V, p.Lon.V
			if !p.Lat.OK || !p.Lon.OK || !(off(y, x) > farDegrees) {
				continue
			}
			column, hint := "lat", "mend the position, or leave it blank"
			switch {
			case off(x, y) < nearDegrees:
				hint = "lat and lon exchanged? Write the latitude, north or south, in lat"
			case off(y, -x) < nearDegrees:
				column, hint = "lon", "a sign forgotten? West is below 0"
			case off(-y, x) < nearDegrees:
				hint = "a sign forgotten? South is below 0"
			}
			c.found.doubt("beds.csv", p.Line, column, hint, "bed %s lies at %.6g, %.6g, far from the other beds, about %.3g, %.3g", b.ID, y, x, lat, lon)
		}
	}
}
