package survey

// Places of the columns in frondsTable.
const (
	fBed = iota
	fDate
	fStratum
	fTransect
	fQuadrat
	fSpecies
	fLength
	fWet
	fStage
)

// readFronds reads fronds.csv straight into columns.
func (r *reading) readFronds() {
	rows := r.open(&frondsTable)
	if rows == nil {
		return
	}
	f := &r.f.Fronds
	f.grow(rows.mostRows())
	c := newColumnReader(r, rows)
	for c.next() {
		day := c.day(fDate)
		f.Bed, f.Day = append(f.Bed, c.name(fBed)), append(f.Day, day)
		f.Stratum = append(f.Stratum, c.name(fStratum))
		f.Transect = append(f.Transect, c.name(fTransect))
		f.Quadrat = append(f.Quadrat, c.name(fQuadrat))
		f.Species = append(f.Species, c.species(fSpecies))
		f.Stage = append(f.Stage, c.name(fStage))
		f.Length = append(f.Length, c.number(fLength))
		f.Wet = append(f.Wet, c.number(fWet))
		f.Line = append(f.Line, int32(rows.line))
		r.dated("fronds.csv", rows.line, "date", day)
	}
	rows.end()
	if rows.partial {
		*f = Fronds{}
	}
}

// grow makes room for n rows.
func (f *Fronds) grow(n int) {
	for _, ids := range []*[]uint32{&f.Bed, &f.Stratum, &f.Transect, &f.Quadrat, &f.Species, &f.Stage} {
		*ids = make([]uint32, 0, n)
	}
	f.Length, f.Wet = make([]float64, 0, n), make([]float64, 0, n)
	f.Day, f.Line = make([]Day, 0, n), make([]int32, 0, n)
}
