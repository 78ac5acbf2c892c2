package model

import (
	"math"
	"slices"

	"bedstock/model/plan"
	"bedstock/survey"
)

// grounds are where the layers of a bed lie: the strip beside a baseline of the stratum or bed, else inside the outline.
// What is drawn of the whole bed tells of a stratum only where a transect runs.
func (p *planner) grounds(w *bedPlan) []plan.Ground {
	out := make([]plan.Ground, len(w.strata))
	located := true
	for i, strata := range w.strata {
		g := plan.Ground{Strata: strata, Shares: w.shares[i]}
		own := len(strata) == 1 && p.alongBaseline(&g, w.out.Bed, strata[0], strata[0] == "")
		if !own && !(len(w.strata) == 1 && p.alongBaseline(&g, w.out.Bed, "", len(strata) == 1)) &&
			!p.insideOutline(&g, w.out.Bed, len(w.strata) == 1 && len(strata) == 1) {
			p.alongBaseline(&g, w.out.Bed, "", false)
		}
		located = located && g.Frame != nil && !g.Lines
		out[i] = g
	}
	if !located {
		w.out.Warnings = append(w.out.Warnings, "where quadrats stand is told in shares of the way: an outline in "+survey.OutlinesFile+
			" (of a bed without strata) or a [[baseline]] of the stratum in "+RulesFile+" gives places")
	}
	return out
}

// alongBaseline takes the baseline of a bed and stratum, if there is one; whole: it is that of the layer itself.
func (p *planner) alongBaseline(g *plan.Ground, bed, stratum string, whole bool) bool {
	i := slices.IndexFunc(p.rules.Plan.Baselines, func(b Baseline) bool { return b.Bed == bed && b.Stratum == stratum })
	if i < 0 {
		return false
	}
	b := p.rules.Plan.Baselines[i]
	g.Frame, g.Lines = plan.Strip{Length: b.Length, Width: b.Up}, !whole && stratum == ""
	g.Place = func(plan.XY) (lon, lat float64) { return math.NaN(), math.NaN() }
	if b.Drawn {
		at := planeAt(b.Start)
		x, y := at.metres(b.End)
		x, y = x/b.Length, y/b.Length
		side := 1.0
		if b.Right {
			side = -1
		}
		g.Place = func(q plan.XY) (lon, lat float64) {
			pos := at.position(q.X*x-side*q.Y*y, q.X*y+side*q.Y*x)
			return pos.Lon, pos.Lat
		}
	}
	return true
}

// insideOutline takes the outline of a bed, if there is one; whole: the layer is the bed.
func (p *planner) insideOutline(g *plan.Ground, bed string, whole bool) bool {
	o, drawn := p.f.Outlines[bed]
	if !drawn {
		return false
	}
	at := planeAt(o.Centroid)
	var rings [][]plan.XY
	for _, polygon := range o.Polygons {
		for _, r := range polygon {
			var ring []plan.XY
			for _, pos := range r[:len(r)-1] {
				x, y := at.metres(pos)
				ring = append(ring, plan.XY{X: x, Y: y})
			}
			rings = append(rings, ring)
		}
	}
	g.Frame, g.Lines = plan.NewOutline(rings), !whole
	g.Place = func(q plan.XY) (lon, lat float64) {
		pos := at.position(q.X, q.Y)
		return pos.Lon, pos.Lat
	}
	g.Inside = func(lon, lat float64) bool { return o.Contains(survey.LonLat{Lon: lon, Lat: lat}) }
	return true
}
