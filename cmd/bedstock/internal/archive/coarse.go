package archive

import (
	"fmt"
	"math"
	"strconv"

	"bedstock/survey"
)

// coarseStep is what positions are rounded to where they are coarsened, in degrees: one of the steps that are advised for
// sensitive species.
//
// References:
//   - Chapman, A.: Current Best Practices for Generalizing Sensitive Species Occurrence Data. GBIF (2020), section 5
const coarseStep = 0.1

// generalised is what a coarse archive says of its positions.
const generalised = "positions rounded to 0.1 degree, outlines left out"

// coarse rounds a coordinate.
func coarse(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'f', 1, 64), 64)
	if err != nil {
		panic("archive: " + err.Error())
	}
	return y + 0 // no -0
}

// coarseReach is how far a point can lie from its rounded position, in m: half the diagonal of the step at its latitude. It
// is worked out from the rounded one, so that it gives nothing away.
func coarseReach(at survey.LonLat) float64 {
	const degree = 111320 // m, of the equator
	return degree * coarseStep / 2 * math.Hypot(1, math.Cos(at.Lat*math.Pi/180))
}

// metres is a distance rounded up.
func metres(x float64) string { return fmt.Sprintf("%.0f", math.Ceil(x)) }
