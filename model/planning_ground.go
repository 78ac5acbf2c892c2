package model

import (
	"math"
	"slices"

	"bedstock/model/plan"
	"bedstock/survey"
)

// grounds are where the layers of a bed lie: the strip beside a baseline of the stratum, inside the outlines of the
// layer's strata, the strip beside a baseline of the bed, else inside its outline. What is drawn of the whole bed tells
// of a stratum only where a transect runs.
func (p *planner) grounds(w *bedPlan) []plan.Ground {
	out := make([]plan.Ground, len(w.strata))
	located := true
	for i, strata := range w.strata {
		g := plan.Ground{Strata: strata, Shares: w.shares[i]}
		own := len(strata) == 1 && p.alongBaseline(&g, w.out.Bed, strata[0], strata[0] == "") || p.insideStrata(&g, w.out.Bed)
		if !own && !(len(w.strata) == 1 && p.alongBaseline(&g, w.out.Bed, "", len(strata) == 1)) &&
			!p.insideOutline(&g, w.out.Bed, len(w.strata) == 1 && len(strata) == 1) {
			p.alongBaseline(&g, w.out.Bed, "", false)
		}
		located = located && g.Frame != nil && !g.Lines
		out[i] = g
	}
	if !located {
		w.out.Warnings = append(w.out.Warnings, "where quadrats stand is told in shares of the way: outlines in "+survey.OutlinesFile+
			" (of the bed, or of each of its strata) or a [[baseline]] of the stratum in "+RulesFile+" give places")
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
	g.Lines = !whole
	return inside(g, o)
}

// insideStrata takes the outlines of the strata of a layer, if all are drawn.
func (p *planner) insideStrata(g *plan.Ground, bed string) bool {
	var all []survey.Outline
	for _, s := range g.Strata {
		o, drawn := p.f.StratumOutlines[bed][s]
		if !drawn {
			return false
		}
		all = append(all, o)
	}
	if !inside(g, all...) {
		return false
	}
	if len(all) > 1 {
		g.Of = func(lon, lat float64) int {
			return slices.IndexFunc(all, func(o survey.Outline) bool { return o.Contains(survey.LonLat{Lon: lon, Lat: lat}) })
		}
	}
	return true
}

// inside makes outlines that lie beside one another the frame of a ground; false where they lie on one another.
func inside(g *plan.Ground, outlines ...survey.Outline) bool {
	at := planeAt(outlines[0].Centroid)
	var rings [][]plan.XY
	for _, o := range outlines {
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
	}
	if !plan.Encloses(rings) {
		return false
	}
	g.Frame = plan.NewOutline(rings)
	g.Place = func(q plan.XY) (lon, lat float64) {
		pos := at.position(q.X, q.Y)
		return pos.Lon, pos.Lat
	}
	g.Inside = func(lon, lat float64) bool {
		return slices.ContainsFunc(outlines, func(o survey.Outline) bool { return o.Contains(survey.LonLat{Lon: lon, Lat: lat}) })
	}
	return true
}

// missed says of which strata no quadrat lies in their outline.
func (w *bedPlan) missed(grounds []plan.Ground) {
	for h, g := range grounds {
		if g.Of == nil || w.loose {
			continue
		}
		held := map[string]bool{}
		for _, t := range w.out.Strata[h].Transects {
			for _, q := range t.Quadrats {
				held[q.Stratum] = true
			}
		}
		for _, s := range g.Strata {
			if !held[s] {
				w.out.Warnings = append(w.out.Warnings, "no transect has a quadrat in stratum "+s+
					": it is small. Plan with another --seed or a smaller CV; the stock is else that of the other strata")
			}
		}
	}
}
