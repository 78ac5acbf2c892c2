package survey

import "strings"

// partBytes is about how much text of a large table is read on its own, beside others.
const partBytes = 4 << 20

// quadratPart is a stretch of whole lines of a table like quadrats.csv.
type quadratPart struct {
	r       *reading // takes what is found and the text of the part
	rows    *rowReader
	q       Quadrats
	species *pool // names as they are spelled
}

// parts splits what is left of a table into parts that can be read each for itself; nil where it must be read in one:
// text with quotes may go on over several lines, a mapping or a cell filled down look at rows before, and too many
// rows are counted.
func (r *reading) parts(rows *rowReader) []quadratPart {
	lines, ok := rows.records.(*lineSplitter)
	if !ok || rows.mapped != nil || rows.fill != nil || len(lines.rest) <= r.partBytes {
		return nil
	}
	texts := stretches(lines.rest, r.partBytes)
	ends := make([]int, len(texts)) // of lines
	inParallel(len(texts), func(i int) { ends[i] = strings.Count(texts[i], "\n") })
	out := make([]quadratPart, len(texts))
	at, most := lines.at, 0
	for i, text := range texts {
		out[i] = r.part(rows, &lineSplitter{sep: lines.sep, rest: text, at: at, repeats: true}, ends[i])
		at, most = at+ends[i], most+out[i].rows.most
	}
	if most > rows.limit { // read in one the table ends where there are too many
		return nil
	}
	return out
}

// part is a stretch of a table with so many ends of lines that is not read yet.
func (r *reading) part(rows *rowReader, lines *lineSplitter, ends int) quadratPart {
	of := &reading{opt: r.opt, found: &findings{most: r.found.most}, pool: newPool(), latest: NoDay}
	own := *rows
	own.records, own.repeats, own.found, own.rows, own.aside = lines, lines, of.found, 0, nil
	own.most = rowsWithin(lines.rest, ends, len(rows.header))
	for _, rule := range rows.aside {
		copied := *rule
		copied.rows = 0
		own.aside = append(own.aside, &copied)
	}
	return quadratPart{r: of, rows: &own, species: newPool()}
}

// readParts reads the parts of a table into columns, in any order, and joins them as if they had been read in turn.
func (r *reading) readParts(rows *rowReader, parts []quadratPart, q *Quadrats) {
	most := 0
	for i := range parts {
		most += parts[i].rows.most
	}
	q.grow(most)
	from := 0
	for i := range parts {
		parts[i].q = q.room(from, parts[i].rows.most)
		from += parts[i].rows.most
	}
	inParallel(len(parts), func(i int) {
		p := &parts[i]
		c := newColumnReader(p.r, p.rows)
		c.spell = p.species.id
		takeQuadrats(c, &p.q)
	})
	r.joinParts(rows, parts)
	for i := range parts {
		q.take(&parts[i].q)
	}
}

// joinParts joins what was found in the parts, and gives text the same numbers in all of them.
func (r *reading) joinParts(rows *rowReader, parts []quadratPart) {
	texts, species := make([][]uint32, len(parts)), make([][]uint32, len(parts))
	for i := range parts {
		p := &parts[i]
		r.found.join(p.r.found)
		r.latest = max(r.latest, p.r.latest)
		rows.rows += p.rows.rows
		for k, rule := range p.rows.aside {
			rows.aside[k].rows += rule.rows
		}
		for _, s := range p.r.pool.names {
			texts[i] = append(texts[i], r.pool.keep(s))
		}
		for _, s := range p.species.names {
			species[i] = append(species[i], r.pool.keep(r.names.of(s)))
		}
	}
	inParallel(len(parts), func(i int) {
		q := &parts[i].q
		for _, ids := range [...][]uint32{q.Bed, q.Stratum, q.Transect, q.Quadrat, q.Observer} {
			renumber(ids, texts[i])
		}
		renumber(q.Species, species[i])
	})
}

func renumber(ids, place []uint32) {
	for i, id := range ids {
		ids[i] = place[id]
	}
}

// join adds findings of what follows, as if they had been noted here one by one.
func (fs *findings) join(next *findings) {
	for _, f := range next.list {
		fs.tally(f).n++
		if t := fs.tally(f); t.n <= fs.listed() {
			fs.list = append(fs.list, f)
		} else if t.n == fs.listed()+1 {
			t.extra = f
		}
	}
	for _, of := range next.alike {
		more := of.n - next.listed()
		if more <= 0 {
			continue
		}
		t := fs.tally(of.extra)
		if t.n == fs.listed() {
			t.extra = of.extra
		}
		t.n += more
	}
}

// room is a stretch of columns that have room for it.
func (q *Quadrats) room(from, n int) Quadrats {
	out := *q
	for _, ids := range out.idColumns() {
		*ids = (*ids)[from : from : from+n]
	}
	for _, v := range out.numberColumns() {
		*v = (*v)[from : from : from+n]
	}
	out.Day, out.Visit, out.Line = q.Day[from:from:from+n], q.Visit[from:from:from+n], q.Line[from:from:from+n]
	return out
}

// take adds the rows of a stretch that stands in q's room at or after its end.
func (q *Quadrats) take(part *Quadrats) {
	from := part.idColumns()
	for k, ids := range q.idColumns() {
		*ids = takeOn(*ids, *from[k])
	}
	numbers := part.numberColumns()
	for k, v := range q.numberColumns() {
		*v = takeOn(*v, *numbers[k])
	}
	q.Day, q.Visit, q.Line = takeOn(q.Day, part.Day), takeOn(q.Visit, part.Visit), takeOn(q.Line, part.Line)
}

// takeOn adds values that mostly stand where they belong already.
func takeOn[T any](all, next []T) []T {
	n, more := len(all), len(next)
	if more > 0 && n+more <= cap(all) && &all[:n+1][n] == &next[0] {
		return all[:n+more]
	}
	return append(all, next...)
}

func (q *Quadrats) idColumns() []*[]uint32 {
	return []*[]uint32{&q.Bed, &q.Stratum, &q.Transect, &q.Quadrat, &q.Species, &q.Observer}
}

func (q *Quadrats) numberColumns() []*[]float64 {
	return []*[]float64{&q.M2, &q.Cover, &q.Frond, &q.Biomass, &q.Weighed}
}
