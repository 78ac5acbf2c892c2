package survey

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// areaAndHeld fills in the ground and the share of it that holds any of the species.
func (t *totaler) areaAndHeld(c *totalCell, a *ingredients, out *Total) {
	opt := t.e.opt
	if len(a.noArea) == 0 || len(a.beds) == 1 {
		out.Held = a.mean(a.held, 100, opt)
		out.Held.Hi = min(out.Held.Hi, 100)
	}
	if len(a.noArea) == 0 {
		s := a.sum(a.area)
		out.Area = s.estimate(opt)
		if !c.in.split() && !s.uncertain() {
			out.Area.SE, out.Area.Lo, out.Area.Hi = 0, out.Area.Value, out.Area.Value
		}
	}
}

// uncertain says whether an area has a standard error.
func (s *grandSum) uncertain() bool {
	for _, b := range s.beds {
		for _, h := range b.s.design.strata {
			if h.areaSE > 0 || b.s.design.areaSE > 0 {
				return true
			}
		}
	}
	return false
}

// cover fills in cover where it was read everywhere.
func (t *totaler) cover(a *ingredients, out *Total) {
	if len(a.noCover) > 0 || len(a.noArea) > 0 && len(a.beds) > 1 {
		return
	}
	out.Cover = a.mean(a.cover, 100, t.e.opt)
	if len(out.Summed) == 1 {
		out.Cover.Hi = min(out.Cover.Hi, 100)
	}
}

// kg fills in the standing stock; it returns why there is none.
func (t *totaler) kg(c *totalCell, a *ingredients, out *Total) []string {
	if reasons := a.noStock(); len(reasons) > 0 {
		return reasons
	}
	opt := t.e.opt
	s := a.sum(a.kg)
	total := bounded(s.estimate(opt), s.value == 0)
	out.Known = total
	if len(a.kg) == 0 {
		out.Known = missing()
	}
	if len(a.lacking) > 0 {
		return t.whyLacking(c, a.lacking)
	}
	out.Kg = total
	if text := s.few(); text != "" {
		out.Warnings = append(out.Warnings, text)
	}
	out.KgM2 = a.mean(a.kg, 1, opt)
	out.KgM2Held = a.ratio(a.kg, a.held, 1, false, opt)
	if len(a.single) == 0 {
		out.DesignEffect = s.effect()
	}
	if !(s.value > 0) {
		return nil
	}
	own, _, _ := s.variance()
	out.OwnCV = math.Sqrt(own.v) / s.value
	for _, e := range s.shared {
		if e.se > 0 {
			out.Shared = append(out.Shared, SharedError{e.id, e.se / s.value})
		}
	}
	for _, b := range s.beds {
		if b.area > 0 {
			out.Shared = append(out.Shared, SharedError{b.s.areaID(), math.Sqrt(b.area) / s.value})
		}
	}
	return nil
}

// noStock are the reasons that concern a whole bed.
func (a *ingredients) noStock() []string {
	var out []string
	for _, bed := range a.noArea {
		out = append(out, fmt.Sprintf("area of bed %s not known: give area_m2 in beds.csv", bed))
	}
	for _, bed := range a.lonely {
		out = append(out, fmt.Sprintf("one sampling unit in a stratum of bed %s: lay at least two there", bed))
	}
	return out
}

// whyLacking names the species without a weight, with what to measure.
func (t *totaler) whyLacking(c *totalCell, lacking []*piece) []string {
	var order []string
	beds := map[string][]string{}
	for _, p := range lacking {
		what := p.reason
		switch {
		case p.reason == "neither cover nor weight could be used":
			what += "; read the cover of every quadrat that holds it"
		default:
			what += fmt.Sprintf("; weigh at least %d quadrats that hold it", soundPairs)
		}
		key := p.species + ": " + what
		if beds[key] == nil {
			order = append(order, key)
		}
		beds[key] = append(beds[key], p.s.bedID)
	}
	for i, key := range order {
		if c.by&ByBed == 0 {
			name, rest, _ := strings.Cut(key, ": ")
			order[i] = fmt.Sprintf("%s (bed %s): %s", name, strings.Join(beds[key], ", "), rest)
		}
	}
	return order
}

// warnings gathers the doubts of the surveys and conversions, each once.
func (t *totaler) warnings(c *totalCell, a *ingredients, out *Total) []string {
	w := out.Warnings
	add := func(text string) {
		if !slices.Contains(w, text) {
			w = append(w, text)
		}
	}
	if a.quadrats > 0 && out.QuadratsWith == 0 {
		add("none found")
	}
	for _, p := range c.pieces {
		head := c.of(p.s)
		if len(out.Summed) > 1 {
			head += p.species + ": "
		}
		for _, n := range p.w.notes {
			add(head + n)
		}
	}
	for _, p := range a.noCover {
		add(fmt.Sprintf("%s%s: cover blank in a quadrat that holds it: cover not estimated", c.of(p.s), p.species))
	}
	for _, s := range c.beds {
		for _, n := range s.notes {
			add(c.of(s) + n)
		}
	}
	if n := out.PSUWith; n > 0 && n < minHolding {
		unit := c.beds[0].unitName
		add(tooNarrow(n, unit))
	}
	for _, bed := range a.single {
		add(fmt.Sprintf("one sampling unit in the stratum on bed %s: no standard error; lay at least two there", bed))
	}
	if text := t.notLookedFor(c); text != "" {
		add(text)
	}
	return w
}

// notLookedFor names the species of the folder that a total over all species has on some of its beds only.
func (t *totaler) notLookedFor(c *totalCell) string {
	if c.by&(BySpecies|ByGroup) != 0 {
		return ""
	}
	var out []string
	for _, name := range t.e.sought {
		n := 0
		for _, p := range c.pieces {
			if p.species == name {
				n++
			}
		}
		if n > 0 && n < len(c.beds) {
			out = append(out, name)
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "not looked for on every bed: " + strings.Join(out, ", ")
}
