package survey

import "fmt"

// readHarvest reads harvest.csv. Without a row in it, it is not known what was cut.
func (r *reading) readHarvest() {
	type row struct {
		Bed       textCell   `csv:"bed"`
		Date      dayCell    `csv:"date"`
		DateTo    dayCell    `csv:"date_to"`
		Species   textCell   `csv:"species"`
		Kg        numberCell `csv:"wet_kg"`
		Origin    textCell   `csv:"origin"`
		Permit    textCell   `csv:"permit"`
		Estimated textCell   `csv:"estimated"`
		Notes     textCell   `csv:"notes"`
	}
	rows, lines := readSmall[row](r, &harvestTable)
	r.f.CutsKnown = len(rows) > 0
	seen := map[string]int{}
	for i, w := range rows {
		c := Cut{Bed: w.Bed.s, Species: r.names.of(w.Species.s), From: w.Date.Day, To: w.DateTo.Day, Kg: w.Kg.orNaN(),
			Cast: w.Origin.s == "cast", Permit: w.Permit.s, Estimated: w.Estimated.s != "", Line: lines[i]}
		if w.DateTo.raw == "" {
			c.To = c.From
		}
		r.ordered("harvest.csv", c.Line, "date_to", c.From, c.To)
		r.dated("harvest.csv", c.Line, "date", c.From)
		if c.To != c.From {
			r.dated("harvest.csv", c.Line, "date_to", c.To)
		}
		same := fmt.Sprintf("%q %d %d %q %v %v %q %q", c.Bed, c.From, c.To, c.Species, c.Kg, c.Cast, c.Permit, w.Notes.s)
		if first, again := seen[same]; again && c.Kg > 0 && c.From != NoDay {
			r.found.doubt("harvest.csv", c.Line, "", "remove it if it was entered twice", "is the same as line %d", first)
		} else {
			seen[same] = c.Line
		}
		if u := r.looseCut(c, w.Bed.s, w.Species.s); u != nil {
			r.f.Unallocated = append(r.f.Unallocated, *u)
			continue
		}
		r.f.Cuts = append(r.f.Cuts, c)
	}
}

// readRegrowth reads regrowth.csv.
func (r *reading) readRegrowth() {
	type row struct {
		Plot    textCell   `csv:"plot"`
		Species textCell   `csv:"species"`
		Bed     textCell   `csv:"bed"`
		Date    dayCell    `csv:"date"`
		Event   textCell   `csv:"event"`
		Biomass numberCell `csv:"biomass_g"`
		M2      numberCell `csv:"plot_m2"`
	}
	rows, lines := readSmall[row](r, &regrowthTable)
	seen := newKeys(&regrowthTable, r.found)
	for i, w := range rows {
		p := PlotRow{Plot: w.Plot.s, Species: r.names.of(w.Species.s), Bed: w.Bed.s, Day: w.Date.Day,
			Cut: w.Event.s == "cut", Biomass: w.Biomass.orNaN(), M2: w.M2.orNaN(), Line: lines[i]}
		if !seen.once(p.Line, p.Plot, foldSpecies(p.Species), w.Date.key(), w.Event.s) {
			continue
		}
		r.dated("regrowth.csv", p.Line, "date", p.Day)
		r.f.Regrowth = append(r.f.Regrowth, p)
	}
}

// readEvents reads events.csv.
func (r *reading) readEvents() {
	type row struct {
		Bed   textCell   `csv:"bed"`
		Date  dayCell    `csv:"date"`
		Kind  textCell   `csv:"kind"`
		Left  numberCell `csv:"fraction_left"`
		Notes textCell   `csv:"notes"`
	}
	rows, lines := readSmall[row](r, &eventsTable)
	seen := newKeys(&eventsTable, r.found)
	for i, w := range rows {
		e := Event{Bed: w.Bed.s, Day: w.Date.Day, Kind: w.Kind.s, Left: w.Left.Num, Line: lines[i]}
		if !seen.once(e.Line, e.Bed, w.Date.key(), e.Kind) {
			continue
		}
		r.dated("events.csv", e.Line, "date", e.Day)
		r.f.Events = append(r.f.Events, e)
	}
}

// readClosures reads closures.csv.
func (r *reading) readClosures() {
	type row struct {
		Bed     textCell `csv:"bed"`
		Species textCell `csv:"species"`
		From    dayCell  `csv:"from"`
		To      dayCell  `csv:"to"`
		Reason  textCell `csv:"reason"`
	}
	rows, lines := readSmall[row](r, &closuresTable)
	seen := newKeys(&closuresTable, r.found)
	for i, w := range rows {
		c := Closure{Bed: w.Bed.s, Species: r.names.of(w.Species.s), From: w.From.Day, To: w.To.Day, Reason: w.Reason.s,
			Line: lines[i]}
		if !seen.once(c.Line, c.Bed, foldSpecies(c.Species), w.From.key()) {
			continue
		}
		r.ordered("closures.csv", c.Line, "to", c.From, c.To)
		r.f.Closures = append(r.f.Closures, c)
	}
}
