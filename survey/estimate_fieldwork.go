package survey

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// fieldwork is one survey of a bed laid out for estimation: its quadrats, their design and what is doubtful for all species.
type fieldwork struct {
	round
	bedID     string
	shore     string
	areaFrom  Day // from when the bed's area holds, NoDay for the first
	bedArea   float64
	noArea    bool    // the bed's area is not known: cover alone can be estimated
	design    *design // nil without a quadrat
	quads     []quadKey
	species   map[uint32][]placed // rows of each species, by quadrat
	unitName  string              // transect or quadrat
	unvisited []string            // strata without a visit
	notes     []string
}

// quadKey is the identity of a quadrat within a bed.
type quadKey struct {
	stratum, transect, quadrat uint32
	day                        Day
}

// placed is a row of quadrats.csv and the quadrat it belongs to.
type placed struct{ row, quad int32 }

// newFieldwork lays out a survey.
func newFieldwork(f *Folder, r round, lonely string) *fieldwork {
	bed := f.Beds[r.bed]
	p := bed.At(r.date)
	s := &fieldwork{round: r, bedID: bed.ID, shore: p.Shore, areaFrom: bed.areaSince(p), bedArea: p.Area}
	if len(r.rows) == 0 {
		return s
	}
	strata, byLabel := s.bedStrata(f, p)
	s.place(f, byLabel)
	if len(byLabel) > 0 && len(s.quads) == 0 {
		s.notes = append(s.notes, "no quadrat names a stratum of the bed: taken as one stratum")
		strata, byLabel = []stratum{s.wholeBed(p)}, nil
		s.place(f, nil)
	}
	s.layOut(f, strata, byLabel, p)
	s.design.lonely = lonely
	s.noteDoubts()
	return s
}

// wholeBed is the bed as its only stratum. Of a bed without an area one m2 stands for all, so that cover can be had.
func (s *fieldwork) wholeBed(p BedPeriod) stratum {
	if !(p.Area > 0) {
		s.noArea = true
		return stratum{area: 1}
	}
	return stratum{area: p.Area, areaSE: p.AreaSE.Or(0)}
}

// bedStrata are the strata of the bed by label, or the bed as one, with their place by interned label (nil for one).
// Areas that do not add up to the bed's area on that date (a bed that was measured again) are scaled to it.
func (s *fieldwork) bedStrata(f *Folder, p BedPeriod) ([]stratum, map[uint32]int32) {
	var out []stratum
	sum := 0.0
	for _, st := range s.strata {
		out = append(out, stratum{label: st.Stratum, area: st.Area, areaSE: st.AreaSE.Or(0)})
		sum += st.Area
	}
	if len(out) == 0 {
		return []stratum{s.wholeBed(p)}, nil
	}
	slices.SortFunc(out, func(a, b stratum) int { return strings.Compare(a.label, b.label) })
	switch {
	case !(p.Area > 0):
		s.bedArea = sum
	case math.Abs(sum-p.Area) > 0.01*p.Area:
		s.notes = append(s.notes, fmt.Sprintf("strata add up to %.6g m2 and the bed had %.6g m2: strata scaled to the bed", sum, p.Area))
		for i := range out {
			out[i].area *= p.Area / sum
			out[i].areaSE *= p.Area / sum
		}
	default:
		s.bedArea = sum
	}
	byLabel := map[uint32]int32{}
	for i, st := range out {
		if id, ok := slices.BinarySearch(f.Names, st.label); ok {
			byLabel[uint32(id)] = int32(i)
		}
	}
	if len(byLabel) == 0 { // none of the labels occurs in quadrats.csv
		byLabel[math.MaxUint32] = 0
	}
	return out, byLabel
}

// place finds the quadrats among the rows. With strata, quadrats that name none of them are left out.
func (s *fieldwork) place(f *Folder, byLabel map[uint32]int32) {
	q := &f.Quadrats
	s.quads, s.species = nil, map[uint32][]placed{}
	left, skip := 0, false
	for i, row := range s.rows {
		if i == 0 || !sameQuadrat(q, row, s.rows[i-1]) {
			_, known := byLabel[q.Stratum[row]]
			skip = byLabel != nil && !known
			if skip {
				left++
			} else {
				s.quads = append(s.quads, quadKey{q.Stratum[row], q.Transect[row], q.Quadrat[row], q.Day[row]})
			}
		}
		if !skip && q.Species[row] != 0 {
			id := q.Species[row]
			s.species[id] = append(s.species[id], placed{row, int32(len(s.quads) - 1)})
		}
	}
	if left > 0 && len(s.quads) > 0 {
		s.notes = append(s.notes, fmt.Sprintf("%s without a stratum of the bed left out", counted(left, "quadrat")))
	}
}

// layOut builds the design from the quadrats.
func (s *fieldwork) layOut(f *Folder, strata []stratum, byLabel map[uint32]int32, p BedPeriod) {
	d := &design{}
	visited := make([]int32, len(strata))
	for i := range visited {
		visited[i] = -1
	}
	for _, k := range s.quads {
		visited[byLabel[k.stratum]] = 0 // a nil map places all in the only stratum
	}
	shares := false
	for h, st := range strata {
		if visited[h] < 0 {
			s.unvisited = append(s.unvisited, st.label)
			continue
		}
		visited[h] = int32(len(d.strata))
		d.strata = append(d.strata, st)
		d.area += st.area
		shares = shares || st.areaSE > 0
	}
	switch {
	case shares && byLabel != nil:
		s.areaFrom = NoDay // strata.csv has no dates: its errors are those of all surveys
	case !shares && p.AreaSE.OK && s.bedArea > 0:
		d.areaSE = p.AreaSE.V * d.area / s.bedArea
	}
	size := s.sizes(f)
	for i, k := range s.quads {
		d.stratum = append(d.stratum, visited[byLabel[k.stratum]])
		d.m2 = append(d.m2, size[i])
	}
	s.unitName = d.gather(s.quads)
	s.design = d
}

// sizes is the size of each quadrat, from the first of its rows.
func (s *fieldwork) sizes(f *Folder) []float64 {
	q, out, at := &f.Quadrats, make([]float64, len(s.quads)), 0
	for _, row := range s.rows {
		if at == len(s.quads) {
			break
		}
		k := s.quads[at]
		if (quadKey{q.Stratum[row], q.Transect[row], q.Quadrat[row], q.Day[row]}) == k {
			out[at] = q.M2[row]
			at++
		}
	}
	return out
}

// noteDoubts notes what makes every estimate of the survey doubtful.
func (s *fieldwork) noteDoubts() {
	d := s.design
	if d.units == 1 {
		s.notes = append(s.notes, "one sampling unit: no standard error")
	}
	if one := d.lonelyStrata(); len(one) > 0 {
		how := map[string]string{
			"adjust":    "its spread is taken from the mean of the bed",
			"average":   "its spread is taken as the mean of the other strata",
			"certainty": "its spread is left out",
		}[d.lonely]
		if how != "" {
			s.notes = append(s.notes, fmt.Sprintf("one sampling unit in stratum %s: %s", strings.Join(one, ", "), how))
		}
	}
	if d.units > 1 && d.df() < 0.5 {
		s.notes = append(s.notes, "no more sampling units than strata: no interval")
	}
	if lo, hi := slices.Min(d.m2), slices.Max(d.m2); lo != hi {
		s.notes = append(s.notes, fmt.Sprintf("quadrat sizes differ: %.4g to %.4g m2", lo, hi))
	}
	if s.sizeBefore > 0 && s.size > 0 && s.size != s.sizeBefore {
		s.notes = append(s.notes, fmt.Sprintf("quadrat size changed since the survey before: %.4g to %.4g m2", s.sizeBefore, s.size))
	}
}
