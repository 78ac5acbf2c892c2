package survey

// correct sets the finite population correction of every group of strata,
//
//	f_h = 1 - n_h/N_h,   N_h = A_h / mbar_h
//
// with A_h the area of the stratum and mbar_h the mean size of its n_h quadrats, both m2. It holds where quadrats are
// the sampling units; where transects are, how many of them the bed would hold is not known, and the correction is left
// out, with the reason returned. f_h is not below 0.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), section 2.6
func (d *design) correct(unit string) (reason string) {
	if unit != "quadrat" {
		return "finite population correction not applied: how many transects the bed would hold is not known"
	}
	visited := make([]float64, len(d.inside)) // m2
	area := make([]float64, len(d.inside))
	for i, c := range d.unit {
		visited[d.group[c]] += d.m2[i]
		area[d.group[c]] = d.strata[d.stratum[i]].area
	}
	d.fpc = make([]float64, len(d.inside))
	for g := range d.fpc {
		d.fpc[g] = max(0, 1-visited[g]/area[g])
	}
	return ""
}

// dfOf is the number of degrees of freedom of a linearised total given by its parts per sampling unit: sampling units
// less groups of strata or, where asked for, by Satterthwaite
//
//	df = (Σ v_g)² / Σ v_g²/(n_g - 1)
//
// over groups of n_g > 1 units with variances v_g, which is less where few groups have most of the variance. Nothing
// varies: as by units.
func (d *design) dfOf(unit []float64) float64 {
	if !d.byGroup {
		return d.df()
	}
	return d.satterthwaite(unit)
}

// satterthwaite is [design.dfOf] by the variances of the groups.
func (d *design) satterthwaite(unit []float64) float64 {
	sum, below := 0.0, 0.0
	for g, v := range d.groupCov(unit, unit) {
		if n := d.inside[g]; n > 1 {
			sum += v
			below += v * v / float64(n-1)
		}
	}
	if below == 0 {
		return d.df()
	}
	return sum * sum / below
}

// fieldworkOf lays out a survey with all choices of the options.
func fieldworkOf(f *Folder, r round, opt Options) *fieldwork {
	s := newFieldwork(f, r, opt.Lonely)
	if s.design == nil {
		return s
	}
	s.design.byGroup = opt.DF == "satterthwaite"
	if opt.FPC && !s.noArea {
		if note := s.design.correct(s.unitName); note != "" {
			s.notes = append(s.notes, note)
		}
	}
	return s
}
