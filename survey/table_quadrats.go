package survey

// Places of the columns in quadratsTable.
const (
	qBed = iota
	qDate
	qStratum
	qTransect
	qQuadrat
	qM2
	qVisit
	qSpecies
	qCover
	qFrond
	qBiomass
	qWeighed
	qObserver
)

// readQuadrats reads quadrats.csv straight into columns.
func (r *reading) readQuadrats() {
	r.quadratRows(&quadratsTable, &r.f.Quadrats)
	r.first = r.f.Quadrats.firstRows()
	r.onceEach(&quadratsTable, &r.f.Quadrats, r.first, r.f.Quadrats.same)
}

// readReadings reads readings.csv: quadrats read once more.
func (r *reading) readReadings() {
	q := &r.f.Readings
	r.quadratRows(&readingsTable, q)
	r.onceEach(&readingsTable, q, q.firstRows(), func(i, j int) bool { return q.same(i, j) && q.Observer[i] == q.Observer[j] })
}

// quadratRows reads a table with the columns of quadrats.csv.
func (r *reading) quadratRows(spec *tableSpec, q *Quadrats) {
	rows := r.open(spec)
	if rows == nil {
		return
	}
	var visits []int // rows that stand for species left out
	if parts := r.parts(rows); parts != nil {
		r.readParts(rows, parts, q)
	} else {
		q.grow(rows.mostRows())
		visits = takeQuadrats(newColumnReader(r, rows), q)
	}
	rows.end()
	if rows.isLettered() {
		q.Classes = rows.mapped.cols[qCover].class.list
	}
	if rows.partial {
		*q = Quadrats{}
	} else if visits != nil {
		q.dropVisits(visits)
	}
	if rows.mapped != nil && rows.mapped.m.Repeats != "" {
		r.mergeRepeats(q, rows.mapped.m.Repeats)
	}
}

// isLettered says whether cover is read as letters.
func (r *rowReader) isLettered() bool { return r.mapped != nil && r.mapped.cols[qCover].class != nil }

// takeQuadrats reads rows into columns, and lists those that stand for species left out.
func takeQuadrats(c *columnReader, q *Quadrats) (visits []int) {
	rows, lettered := c.rows, c.rows.isLettered()
	for c.next() {
		word := c.word(qVisit)
		visit := Visit(max(0, word))
		bed, day := c.name(qBed), c.day(qDate)
		if c.cell(qDate) == "" && visit != Planned {
			c.note(qDate, rows.spec.columns[qDate].needed())
		}
		q.Bed, q.Day, q.Visit = append(q.Bed, bed), append(q.Day, day), append(q.Visit, visit)
		q.Stratum = append(q.Stratum, c.name(qStratum))
		q.Transect = append(q.Transect, c.name(qTransect))
		q.Quadrat = append(q.Quadrat, c.name(qQuadrat))
		q.Species = append(q.Species, c.species(qSpecies))
		q.Observer = append(q.Observer, c.name(qObserver))
		q.M2 = append(q.M2, c.number(qM2))
		q.Cover = append(q.Cover, c.number(qCover))
		q.Frond = append(q.Frond, c.number(qFrond))
		q.Biomass = append(q.Biomass, c.number(qBiomass))
		q.Weighed = append(q.Weighed, c.number(qWeighed))
		q.Line = append(q.Line, int32(rows.line))
		if lettered {
			q.Class = append(q.Class, rows.mapped.class)
		}
		if visit != Planned {
			c.r.dated(rows.spec.file, rows.line, "date", day)
		}
		if known := word >= 0 || c.cell(qVisit) == ""; known && !rows.partial {
			checkQuadratRow(c, q, q.Len()-1)
		}
		if rows.mapped != nil && rows.mapped.empty {
			visits = append(visits, q.Len()-1)
		}
	}
	return visits
}

// checkQuadratRow looks for what the cells of row i contradict in one another.
func checkQuadratRow(c *columnReader, q *Quadrats, i int) {
	if v := q.Visit[i]; v != Done {
		for _, k := range []int{qCover, qBiomass, qFrond} {
			if c.cell(k) != "" {
				c.fault(k, "the visit must be done, or this cell blank", "is given, but the visit is %s", visitWords[v])
				return
			}
		}
		return
	}
	if c.cell(qM2) == "" {
		c.fault(qM2, "write the area of the frame in m2: 25 by 25 cm are 0.0625", "is blank; every quadrat visited needs its area")
	}
	if w := q.Weighed[i]; w > q.M2[i]*(1+1e-9) {
		c.fault(qWeighed, "areas are in m2: 25 by 25 cm are 0.0625", "%q is above quadrat_m2, %v", c.cell(qWeighed), q.M2[i])
	}
	cover, biomass := c.cell(qCover), c.cell(qBiomass)
	if q.Biomass[i] <= 100 && !(q.Cover[i] <= 100) && above(cover, 150) {
		c.fault(qBiomass, "exchange the two cells, or the two names in the header", "%q with cover_pct %q: are the two exchanged?", biomass, cover)
	}
	if c.cell(qWeighed) != "" && biomass == "" {
		c.doubt(qWeighed, "", "is given, but biomass_g is blank: not weighed")
	}
	if q.Species[i] != 0 {
		if cover == "" && biomass == "" {
			c.fault(qCover, "write 0 where the species was looked for and absent",
				"is blank, and so is biomass_g: nothing is said of %s", c.cell(qSpecies))
		}
		return
	}
	switch {
	case q.Cover[i] > 0, q.Biomass[i] > 0:
		c.fault(qSpecies, "name the species", "is blank, but cover_pct is %q and biomass_g %q", cover, biomass)
	case cover == "":
		c.fault(qCover, "an empty quadrat has one row with blank species and cover 0; one not visited says so in visit",
			"is blank, and so is species")
	}
}

// above says whether a cell is a number, without an exponent, above the given one.
func above(s string, v float64) bool {
	got, bad := parseNumber(s + "e0")
	return bad == nil && got > v
}

// onceEach notes rows that repeat the key of an earlier row.
func (r *reading) onceEach(spec *tableSpec, q *Quadrats, firstRows []int32, same func(i, j int) bool) {
	hint := r.repeatHint()
	if spec == &quadratsTable {
		hint += "; what a second observer read goes into readings.csv"
	}
	for _, again := range q.repeats(firstRows, same) {
		i := again.row
		if q.Bed[i] == 0 || q.Quadrat[i] == 0 || q.Day[i] == NoDay && q.Visit[i] != Planned {
			continue // noted already
		}
		r.found.fault(spec.file, int(q.Line[i]), "", hint, "has the same %s as line %d",
			enumerate(spec.key), q.Line[again.first])
	}
}

func (q *Quadrats) hash(i int) uint64 {
	h := uint64(uint32(q.Day[i]))
	for _, id := range [...]uint32{q.Bed[i], q.Stratum[i], q.Transect[i], q.Quadrat[i], q.Species[i]} {
		h = (h ^ uint64(id)) * 0x9e3779b97f4a7c15
		h ^= h >> 29
	}
	return h
}

func (q *Quadrats) same(i, j int) bool {
	return q.Quadrat[i] == q.Quadrat[j] && q.Species[i] == q.Species[j] && q.Day[i] == q.Day[j] &&
		q.Bed[i] == q.Bed[j] && q.Transect[i] == q.Transect[j] && q.Stratum[i] == q.Stratum[j]
}

// grow makes room for n rows.
func (q *Quadrats) grow(n int) {
	for _, ids := range q.idColumns() {
		*ids = make([]uint32, 0, n)
	}
	for _, v := range q.numberColumns() {
		*v = make([]float64, 0, n)
	}
	q.Day, q.Visit, q.Line = make([]Day, 0, n), make([]Visit, 0, n), make([]int32, 0, n)
}
