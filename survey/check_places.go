package survey

import (
	"cmp"
	"math"
	"slices"
)

// bedNames notes beds that beds.csv does not list, each once a file.
func (c *checker) bedNames() {
	if len(c.bedIDs) == 0 || c.lostRows(bedsTable.file) {
		return // beds.csv is the mistake
	}
	f := c.f
	small := func(file string, n int, row func(i int) (bed string, line int)) {
		var unknown fold[string]
		for i := range n {
			if bed, line := row(i); bed != "" && c.bed(bed) == nil {
				unknown.add(bed, line)
			}
		}
		c.noteBeds(file, &unknown)
	}
	small("strata.csv", len(f.Strata), func(i int) (string, int) { return f.Strata[i].Bed, f.Strata[i].Line })
	small("surveys.csv", len(f.Surveys), func(i int) (string, int) { return f.Surveys[i].Bed, f.Surveys[i].Line })
	cuts := c.cutsOnBeds()
	small("harvest.csv", len(cuts), func(i int) (string, int) { return cuts[i].Bed, cuts[i].Line })
	small("regrowth.csv", len(f.Regrowth), func(i int) (string, int) { return f.Regrowth[i].Bed, f.Regrowth[i].Line })
	small("decisions.csv", len(f.Decisions), func(i int) (string, int) { return f.Decisions[i].Bed, f.Decisions[i].Line })
	small("permits.csv", len(f.Permits), func(i int) (string, int) { return f.Permits[i].Bed, f.Permits[i].Line })
	small("events.csv", len(f.Events), func(i int) (string, int) { return someBed(f.Events[i].Bed), f.Events[i].Line })
	small("closures.csv", len(f.Closures), func(i int) (string, int) { return someBed(f.Closures[i].Bed), f.Closures[i].Line })
	known := c.knownBeds()
	swapped := c.swappedPlaces(known)
	for _, t := range []struct {
		file string
		bed  []uint32
		line []int32
	}{
		{"quadrats.csv", f.Quadrats.Bed, f.Quadrats.Line},
		{"readings.csv", f.Readings.Bed, f.Readings.Line},
		{"fronds.csv", f.Fronds.Bed, f.Fronds.Line},
	} {
		var unknown fold[string]
		for i, id := range t.bed {
			if id != 0 && !known[id] && !(t.file == quadratsTable.file && swapped[i]) {
				unknown.add(f.Names[id], int(t.line[i]))
			}
		}
		c.noteBeds(t.file, &unknown)
	}
}

// someBed is blank for all beds.
func someBed(bed string) string {
	if bed == allBeds {
		return ""
	}
	return bed
}

// knownBeds says of every interned text whether it names a bed.
func (c *checker) knownBeds() []bool {
	out := make([]bool, len(c.f.Names))
	for i, name := range c.f.Names {
		out[i] = c.bed(name) != nil
	}
	return out
}

func (c *checker) noteBeds(file string, unknown *fold[string]) {
	unknown.each(func(bed string, line int, also string) {
		hint := cmp.Or(lostZero(bed, c.bedIDs), calledBed(bed, c.f.Beds), meant(bed, c.bedIDs), nearlyCalledBed(bed, c.f.Beds), c.meantShore(file, bed), "add the bed to beds.csv, or mend its name here")
		if bed == allBeds {
			hint = "* stands for all beds in events.csv and closures.csv alone: write a row for each bed"
			if file == harvestTable.file {
				hint += ", or leave it blank where the bed is not known"
			}
		}
		c.found.fault(file, line, "bed", hint, "%q is not a bed of beds.csv%s", bed, also)
	})
}

// strataAreas notes beds whose strata do not add up to the area that the bed has or had, within one in a hundred.
func (c *checker) strataAreas() {
	if c.lostRows(strataTable.file) || c.lostRows(bedsTable.file) {
		return
	}
	sum, done := map[string]float64{}, map[string]bool{}
	for _, s := range c.f.Strata {
		sum[s.Bed] += s.Area
	}
	for _, s := range c.f.Strata {
		bed := c.bed(s.Bed)
		if bed == nil || done[s.Bed] {
			continue
		}
		done[s.Bed] = true
		fits := func(p BedPeriod) bool { return !(math.Abs(sum[s.Bed]-p.Area) > 0.01*p.Area) }
		if !slices.ContainsFunc(bed.Periods, fits) {
			last := bed.Periods[len(bed.Periods)-1]
			c.found.fault("strata.csv", s.Line, "area_m2", "mend the areas, or add the stratum that is missing",
				"the strata of bed %s add up to %.6g m2, but the bed has %.6g m2 in beds.csv", s.Bed, sum[s.Bed], last.Area)
		}
	}
}
