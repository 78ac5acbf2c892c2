package survey

import (
	"cmp"
	"maps"
	"math"
	"slices"
)

// strataFromOutlines takes the area of a stratum from its outline where the cell is blank, notes blank cells of strata
// without an outline, and compares outlines with strata.csv and with the outline of the bed.
func (r *reading) strataFromOutlines() {
	g := r.outlines
	for i := range r.f.Strata {
		s := &r.f.Strata[i]
		o, drawn := r.f.StratumOutlines[s.Bed][s.Stratum]
		switch {
		case !r.noStratumArea[s.Line]:
		case drawn:
			s.Area, s.AreaOutlined = o.Area, true
		case g != nil && (!g.whole || g.refused[s.Bed]):
		case g != nil:
			r.found.fault("strata.csv", s.Line, "area_m2", "write the area, or draw the stratum in "+OutlinesFile+": a feature with the properties bed and stratum",
				"is blank, and %s does not draw stratum %s of bed %s", OutlinesFile, s.Stratum, s.Bed)
		default:
			r.found.fault("strata.csv", s.Line, "area_m2", "write the area, or draw the stratum in "+OutlinesFile, "is blank; every row needs it")
		}
	}
	if g == nil || r.files[r.opt.Mapping.file("strata.csv")] != nil && len(r.f.Strata) == 0 {
		return // strata.csv, if there is one, is the mistake
	}
	for _, b := range r.f.Beds {
		r.strataOfBed(b.ID, r.f.StratumOutlines[b.ID])
	}
}

// strataOfBed compares the outlines of the strata of one bed with what else is known of them.
func (r *reading) strataOfBed(bed string, outlines map[string]Outline) {
	var listed []Stratum
	var labels, missing []string
	for _, s := range r.f.Strata {
		if s.Bed == bed {
			listed, labels = append(listed, s), append(labels, s.Stratum)
		}
	}
	for _, label := range slices.Sorted(maps.Keys(outlines)) {
		if !slices.Contains(labels, label) {
			r.outlines.fault(r.outlines.names[shapeOf{bed, label}], cmp.Or(meant(label, labels), "add the stratum to strata.csv, or take the feature out"),
				"stratum: %q is not a stratum of bed %s in strata.csv", label, bed)
		}
	}
	for _, s := range listed {
		o, drawn := outlines[s.Stratum]
		if !drawn {
			missing = append(missing, s.Stratum)
			continue
		}
		r.compareStratum(s, o)
	}
	if len(outlines) == 0 || r.outlines.refused[bed] {
		return
	}
	if len(missing) > 0 {
		r.found.doubt("strata.csv", listed[0].Line, "stratum", "draw all strata of the bed or none",
			"%s draws some strata of bed %s, but not %s", OutlinesFile, bed, some(missing, 8))
	}
	r.tiled(bed, outlines, len(missing) == 0)
}

// compareStratum doubts an outline that has another area than the row, lies away from the point of its bed, or whose
// lines cross.
func (r *reading) compareStratum(s Stratum, o Outline) {
	severity := Doubt
	if s.AreaOutlined {
		severity = Fault
	}
	r.doubtCrossing(shapeOf{s.Bed, s.Stratum}, o, severity)
	if math.Abs(s.Area-o.Area) > areaMismatch*s.Area {
		r.found.doubt("strata.csv", s.Line, "area_m2", "mend the area or the outline; area_m2 is used where it is given",
			"stratum %s of bed %s has %.6g m2, but its outline in %s has %.6g m2", s.Stratum, s.Bed, s.Area, OutlinesFile, o.Area)
	}
	k := slices.IndexFunc(r.f.Beds, func(b Bed) bool { return b.ID == s.Bed })
	p := r.f.Beds[k].Periods[len(r.f.Beds[k].Periods)-1]
	if _, whole := r.f.Outlines[s.Bed]; !whole && p.Lat.OK && p.Lon.OK {
		if km := o.away(LonLat{p.Lon.V, p.Lat.V}) / 1000; km > pointMiss/1000 {
			r.found.note(finding{file: OutlinesFile, line: o.Line, severity: Doubt, hint: "mend lat and lon in beds.csv, or the outline"},
				"stratum %s of bed %s lies %.3g km from the point of its bed", s.Stratum, s.Bed, km)
		}
	}
}

// tiled doubts strata that lie over one another or outside of their bed, or (all: every stratum is drawn) that leave a
// part of the bed out.
func (r *reading) tiled(bed string, outlines map[string]Outline, all bool) {
	const hint = "strata share their borders and make up the bed: draw them inside its outline, each place in one"
	labels := slices.Sorted(maps.Keys(outlines))
	note := func(o Outline, format string, args ...any) {
		r.found.note(finding{file: OutlinesFile, line: o.Line, severity: Doubt, hint: hint}, format, args...)
	}
	sum := 0.0
	for i, label := range labels {
		o := outlines[label]
		sum += o.Area
		places := o.lattice(tilePlaces)
		for _, other := range labels[i+1:] {
			if part := shareIn(places, outlines[other]); part*o.Area > areaMismatch*min(o.Area, outlines[other].Area) {
				note(o, "bed %s: %.0f %% of stratum %s lies in stratum %s too", bed, 100*part, label, other)
			}
		}
		if whole, ok := r.f.Outlines[bed]; ok {
			if part := 1 - shareIn(places, whole); part > areaMismatch {
				note(o, "bed %s: %.0f %% of stratum %s lies outside of the outline of the bed", bed, 100*part, label)
			}
		}
	}
	if whole, ok := r.f.Outlines[bed]; ok && all && math.Abs(sum-whole.Area) > areaMismatch*whole.Area {
		note(whole, "bed %s has %.6g m2 inside its outline, but the outlines of its strata have %.6g m2 together", bed, whole.Area, sum)
	}
}

// tilePlaces is about the number of places at which outlines are compared.
const tilePlaces = 600

// lattice is about n places in the outline on a square lattice; nil where it is too thin for one.
func (o Outline) lattice(n int) []LonLat {
	width := math.Mod(o.East-o.West+360, 360)
	scale := math.Cos((o.South + o.North) / 2 * math.Pi / 180)
	step := math.Sqrt(width * scale * (o.North - o.South) / float64(n))
	for range 7 { // a thin bed lies between the places
		var out []LonLat
		for y := o.South + step/2; y < o.North; y += step {
			for x := step / 2; x < width*scale; x += step {
				if at := (LonLat{wrap(o.West + x/scale), y}); o.Contains(at) {
					out = append(out, at)
				}
			}
		}
		if len(out) >= n/3 {
			return out
		}
		step /= 1.5
	}
	return nil
}

// shareIn is the share of places that lie in an outline; NaN of none.
func shareIn(places []LonLat, o Outline) float64 {
	n := 0
	for _, at := range places {
		if o.Contains(at) {
			n++
		}
	}
	return float64(n) / float64(len(places))
}
