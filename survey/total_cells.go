package survey

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// totalPlace is what a total is for.
type totalPlace struct {
	shore, zone, bed, stratum string
	species, group            string
	label                     string
	year                      int // 0 where the label alone tells surveys apart
}

// totalCell is a total to be taken: pieces of beds and what is known to lack.
type totalCell struct {
	totalPlace
	by     By
	in     Domain
	pieces []*piece
	beds   []*fieldwork // with a survey in the cell, in order
	missed []string     // why it is of a part only
}

// cells sorts the pieces into totals.
func (t *totaler) cells(by By, in Domain) []*totalCell {
	if by&ByStratum != 0 {
		by |= ByBed
	}
	byYear := t.labelsRepeat()
	at := map[totalPlace]*totalCell{}
	var out []*totalCell
	for i := range t.pieces {
		p := &t.pieces[i]
		if in.Zone != "" && t.zone(p.s) != in.Zone {
			continue
		}
		for _, k := range t.places(p, by, in, byYear) {
			c := at[k]
			if c == nil {
				c = &totalCell{totalPlace: k, by: by, in: in}
				if by&ByStratum != 0 {
					c.in.Stratum = k.stratum
				}
				at[k] = c
				out = append(out, c)
			}
			c.pieces = append(c.pieces, p)
			if !slices.Contains(c.beds, p.s) {
				c.beds = append(c.beds, p.s)
			}
		}
	}
	for _, c := range out {
		c.missed = t.missed(c)
	}
	return out
}

// labelsRepeat says whether a bed has two surveys of one label, so that the year has to tell them apart.
func (t *totaler) labelsRepeat() bool {
	seen := map[[2]string]bool{}
	for _, s := range t.visits {
		k := [2]string{s.bedID, s.label}
		if seen[k] {
			return true
		}
		seen[k] = true
	}
	return false
}

// zone is the bed's zone on the day of the survey.
func (t *totaler) zone(s *fieldwork) string { return t.e.f.Beds[s.bed].At(s.date).Zone }

// places are the totals a piece is part of: one, or one for each stratum.
func (t *totaler) places(p *piece, by By, in Domain, byYear bool) []totalPlace {
	k := totalPlace{label: p.s.label}
	if byYear {
		k.year = p.s.date.Year()
	}
	if by&ByShore != 0 {
		k.shore = p.s.shore
	}
	if by&ByZone != 0 {
		k.zone = t.zone(p.s)
	}
	if by&ByBed != 0 {
		k.bed = p.s.bedID
	}
	if by&BySpecies != 0 {
		k.species = p.species
	}
	if by&ByGroup != 0 {
		k.group = p.group
	}
	if by&ByStratum == 0 {
		return []totalPlace{k}
	}
	var out []totalPlace
	labels := slices.Clone(p.s.unvisited)
	for _, h := range p.s.design.strata {
		labels = append(labels, h.label)
	}
	for _, label := range labels {
		if in.Stratum == "" || in.Stratum == label {
			k.stratum = label
			out = append(out, k)
		}
	}
	return out
}

// missed says what a total leaves out: beds of the place without this survey, species not looked for, strata not
// visited.
func (t *totaler) missed(c *totalCell) []string {
	var out []string
	if c.by&ByBed == 0 {
		for i := range t.e.f.Beds {
			if why := t.lacks(c, i); why != "" {
				out = append(out, why)
			}
		}
	}
	for _, s := range c.beds {
		for _, label := range s.unvisited {
			if c.in.Stratum == "" || c.in.Stratum == label {
				out = append(out, fmt.Sprintf("%snot visited: stratum %s", c.of(s), label))
			}
		}
	}
	return out
}

// of names a bed at the head of a remark where the total is over several.
func (c *totalCell) of(s *fieldwork) string {
	if c.by&ByBed != 0 {
		return ""
	}
	return "bed " + s.bedID + ": "
}

// lacks says why a bed that belongs to the place is not in the total, empty where it is or does not belong.
func (t *totaler) lacks(c *totalCell, bed int) string {
	b := t.e.f.Beds[bed]
	date := c.beds[0].date
	p := b.At(date)
	if slices.ContainsFunc(c.beds, func(s *fieldwork) bool { return s.bed == bed }) || p.From > date ||
		c.by&ByShore != 0 && p.Shore != c.shore || c.by&ByZone != 0 && p.Zone != c.zone || c.in.Zone != "" && p.Zone != c.in.Zone {
		return ""
	}
	var others []string
	for _, s := range t.visits {
		switch {
		case s.bed != bed:
		case s.label == c.label && (c.year == 0 || s.date.Year() == c.year):
			if s.design == nil {
				return fmt.Sprintf("bed %s: survey %s not done", b.ID, s.label)
			}
			return fmt.Sprintf("bed %s: %s not looked for; name it in species_sought next time", b.ID, cmp.Or(c.species, c.group, "the species"))
		case s.date.Year() == date.Year() && s.design != nil:
			others = append(others, s.label)
		}
	}
	if len(others) > 0 {
		return fmt.Sprintf("bed %s: surveyed under another name (%s); give surveys that belong together one name in surveys.csv",
			b.ID, strings.Join(others, ", "))
	}
	return fmt.Sprintf("bed %s: no survey %s", b.ID, c.label)
}
