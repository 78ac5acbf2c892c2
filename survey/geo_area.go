package survey

import "math"

// The ellipsoid of WGS 84.
const (
	wgs84A = 6378137             // equatorial radius, m
	wgs84F = 1 / 298.257223563   // flattening
	wgs84E = 0.08181919084262149 // eccentricity, sqrt(f (2 - f))
)

// Area is the area that the ring encloses on the ellipsoid of WGS 84, in m2, however it is wound,
//
//	A = R² |Σ E|,   tan(E/2) = tan(Δλ/2) (tan(β1/2) + tan(β2/2)) / (1 + tan(β1/2) tan(β2/2))
//
// with E the spherical excess between an edge and the equator, Δλ its difference of longitude, β1 and β2 the authalic
// latitudes of its ends and R the authalic radius: sphere and ellipsoid then have the same area between any two
// parallels. A ring around a pole encloses the smaller part, 2π - |Σ E|. A ring may cross the antimeridian; one
// that crosses itself has the difference of its parts.
//
// Edges are great circles of that sphere. With geodesics of the ellipsoid the area differs by less than 1e-7 for beds
// and 1e-6 for rings a degree across. A straight line of longitude and latitude, as RFC 7946 has it, bends away from the
// great circle by L² tan φ/(8 R) at most, L its length: 3 cm for 1 km at 60 degrees.
//
// References:
//   - Snyder, J. P.: Map Projections - A Working Manual. US Geological Survey Professional Paper 1395 (1987), p. 16
//   - Bevis, M. and Cambareri, G.: Computing the area of a spherical polygon of arbitrary shape. Mathematical Geology 19
//     (1987) 335-346
//   - Karney, C. F. F.: Algorithms for geodesics. Journal of Geodesy 87 (2013) 43-55, section 6
func (r Ring) Area() float64 { return math.Abs(r.signedArea()) }

// signedArea is the area of the ring, positive where it runs counter-clockwise seen from above.
func (r Ring) signedArea() float64 {
	if len(r) == 0 {
		return 0
	}
	excess, turn := 0.0, 0.0
	t := math.Tan(authalic(r[0].Lat) / 2)
	for i := range r[1:] {
		d := eastward(r[i].Lon, r[i+1].Lon)
		t2 := math.Tan(authalic(r[i+1].Lat) / 2)
		excess -= 2 * math.Atan2(math.Tan(d*math.Pi/360)*(t+t2), 1+t*t2)
		turn += d
		t = t2
	}
	if math.Abs(turn) > 180 { // around a pole
		excess = -math.Copysign(2*math.Pi-math.Abs(excess), excess)
	}
	return wgs84A * wgs84A / 2 * authalicQ(1) * excess
}

// authalic is the authalic latitude (radians) of a geodetic latitude (degrees): sin β = q(φ)/q(90°).
func authalic(lat float64) float64 {
	return math.Asin(max(-1, min(1, authalicQ(math.Sin(lat*math.Pi/180))/authalicQ(1))))
}

// authalicQ is q(φ) = (1 - e²) (s/(1 - e² s²) + atanh(e s)/e) with s = sin φ; a² q/2 is the area between the equator
// and a parallel per radian of longitude.
func authalicQ(s float64) float64 {
	const e2 = wgs84F * (2 - wgs84F)
	return (1 - e2) * (s/(1-e2*s*s) + math.Atanh(wgs84E*s)/wgs84E)
}
