package survey

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
)

// largeQuadrat is the area from which a quadrat is doubted, m2; judgement, no source. 25 is 0.25 without its point.
const largeQuadrat = 25

// largeQuadrats notes quadrats that are larger than their bed, and those larger than a frame laid on a shore.
func (c *checker) largeQuadrats() {
	q := &c.f.Quadrats
	type size struct {
		bed *Bed
		m2  float64
	}
	var beyond fold[size]
	var large fold[float64]
	beds := make([]*Bed, len(c.f.Names))
	for id, name := range c.f.Names {
		beds[id] = c.bed(name)
	}
	for i, m2 := range q.M2 {
		if q.Visit[i] != Done || !(m2 > 0) {
			continue
		}
		bed := beds[q.Bed[i]]
		switch {
		case bed != nil && q.Day[i] != NoDay && m2 > bed.At(q.Day[i]).Area:
			beyond.add(size{bed, m2}, int(q.Line[i]))
		case m2 >= largeQuadrat:
			large.add(m2, int(q.Line[i]))
		}
	}
	const hint = "areas are in m2: 50 by 50 cm are 0.25"
	beyond.each(func(s size, line int, also string) {
		c.found.fault("quadrats.csv", line, "quadrat_m2", hint, "%.6g m2 is more than all of bed %s, %.6g m2%s", s.m2, s.bed.ID,
			s.bed.At(q.Day[c.rowAt(line)]).Area, also)
	})
	large.each(func(m2 float64, line int, also string) {
		c.found.doubt("quadrats.csv", line, "quadrat_m2", hint, "%.6g m2 is large for a quadrat%s", m2, also)
	})
}

// largeBed is the area from which that of a bed is doubted, m2: 10 km2; judgement, no source.
const largeBed = 1e7

// largeBeds notes beds that are larger than a shore that is cut by hand.
func (c *checker) largeBeds() {
	for _, b := range c.f.Beds {
		for _, p := range b.Periods {
			if p.Area >= largeBed && !p.AreaOutlined {
				c.found.doubt("beds.csv", p.Line, "area_m2", "areas are in m2: a hectare is 10 000, an acre 4047",
					"%s m2 is large for a bed", strconv.FormatFloat(p.Area, 'f', -1, 64))
			}
		}
	}
}

// rowAt is the row of quadrats.csv that begins in a line.
func (c *checker) rowAt(line int) int {
	i, _ := slices.BinarySearch(c.f.Quadrats.Line, int32(line))
	return i
}

// sampledArea notes surveys whose quadrats add up to more than their bed, or than one of its strata.
func (c *checker) sampledArea(rs []round) {
	q := &c.f.Quadrats
	bed := c.f.Beds[rs[0].bed]
	listed := 0.0
	for _, s := range rs[0].strata {
		listed += s.Area
	}
	for _, r := range rs {
		area := bed.At(r.date).Area
		sum, of := 0.0, map[uint32]float64{}
		for i, row := range r.rows {
			if i == 0 || !sameQuadrat(q, row, r.rows[i-1]) {
				sum += q.M2[row]
				of[q.Stratum[row]] += q.M2[row]
			}
		}
		const hint = "areas are in m2: 50 by 50 cm are 0.25; or mend the area of the %s"
		if sum > 1.01*area {
			c.tooMuch(r, fmt.Sprintf(hint, "bed"), "quadrats of survey %s of bed %s add up to %.6g m2, more than all of it, %.6g m2",
				r.label, bed.ID, sum, area)
			continue
		}
		for _, s := range r.strata {
			id, ok := slices.BinarySearch(c.f.Names, s.Stratum)
			if ok && of[uint32(id)] > 1.01*s.Area*max(1, area/listed) {
				c.tooMuch(r, fmt.Sprintf(hint, "stratum"),
					"quadrats of survey %s of bed %s in stratum %s add up to %.6g m2, more than all of it, %.6g m2", r.label, bed.ID,
					s.Stratum, of[uint32(id)], s.Area)
			}
		}
	}
}

// tooMuch faults a survey at its largest quadrat.
func (c *checker) tooMuch(r round, hint, format string, args ...any) {
	q := &c.f.Quadrats
	row := slices.MaxFunc(r.rows, func(a, b int32) int {
		return cmp.Or(cmp.Compare(q.M2[a], q.M2[b]), cmp.Compare(q.Line[b], q.Line[a]))
	})
	c.found.fault("quadrats.csv", int(q.Line[row]), "quadrat_m2", hint, format, args...)
}
