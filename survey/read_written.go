package survey

import (
	"io"
	"slices"
	"strings"
)

// sample is a cell that was found to be written in some way.
type sample struct {
	s        string
	line, at int
}

// keep keeps the first cell of a kind.
func (c *sample) keep(s string, rows records, i int) {
	if c.s == "" {
		*c = sample{strings.Clone(s), rows.line(), rows.column(i)}
	}
}

// writing is what the cells of a table tell of how its numbers and dates are written.
type writing struct {
	number [maybeComma + 1]sample // by form

	iso, year  sample // 2031-06-14, 2031/6/14
	day, month sample // 14/6/2031, 6/14/2031
	either     sample // 5/6/2031
	same       sample // 5/5/2031
	dated      bool   // one of these but ISO

	wantDay, wantNumber []int // places of the columns to look at
}

// writtenAs finds out how the numbers and dates of a table are written; the rules of the folder have their way. What
// the cells leave open is a fault that asks; the rows are then not kept.
func (r *rowReader) writtenAs(t *tableText, rules InputRules) {
	r.dialect = Dialect{File: r.spec.file, Decimal: "point", Dates: "iso"}
	w := r.look(t, rules)
	mark, order := r.decimal(w, rules, t), r.order(w, rules)
	if mark == pointMark && order == isoOrder && !t.late {
		return
	}
	t.mark = mark
	spec := *r.spec
	spec.columns = slices.Clone(spec.columns)
	for i := range spec.columns {
		spec.columns[i].decimal, spec.columns[i].order, spec.columns[i].late = mark, order, t.late
	}
	r.spec = &spec
	r.dialect.Decimal = [...]string{"point", "comma", ""}[mark]
	r.dialect.Dates = append(DateOrders(), "")[order]
}

// readAs is how the table was read in the end.
func (r *rowReader) readAs() *Dialect {
	if r.mapped != nil {
		return &r.mapped.raw.dialect
	}
	return &r.dialect
}

// plainCells writes the numbers and dates of a record with decimal points and as ISO dates, where they can be read.
func (r *rowReader) plainCells(record []string) {
	for k, i := range r.columns {
		c := &r.spec.columns[k]
		if i < 0 || i >= len(record) || record[i] == "" {
			continue
		}
		switch s := record[i]; {
		case c.order != isoOrder && c.kind == dayKind:
			if d, bad := c.day(s); bad == nil && d != NoDay {
				record[i] = d.String()
			}
		case c.order != isoOrder && c.kind == momentKind:
			record[i] = c.plainMoment(s)
		case c.decimal == commaMark && (c.kind == numberKind || c.kind == wholeKind):
			if _, bad := c.decimal.parse(s); bad == nil {
				record[i] = strings.Replace(s, ",", ".", 1)
			}
		}
	}
}

// look goes through the cells as far as is needed. In comma-separated text without quotes no number can have a comma,
// and dates are all ISO where the first of every column is; a stray one is found when it is read.
func (r *rowReader) look(t *tableText, rules InputRules) *writing {
	w := &writing{}
	for k, i := range r.columns {
		switch kind := r.spec.columns[k].kind; {
		case i < 0:
		case (kind == dayKind || kind == momentKind) && rules.Dates == "":
			w.wantDay = append(w.wantDay, i)
		case (kind == numberKind || kind == wholeKind) && rules.Decimal == "" && (t.sep != ',' || t.quoted() && quotedComma(t.text)):
			w.wantNumber = append(w.wantNumber, i)
		}
	}
	rows := t.unsettled()
	for rows != nil && len(w.wantDay)+len(w.wantNumber) > 0 {
		record, err := rows.next()
		if err == io.EOF {
			break
		}
		if err == nil {
			w.take(record, rows)
		}
	}
	return w
}

// quotedComma says whether a cell in quotes looks like a number with a comma.
func quotedComma(text string) bool {
	for {
		_, rest, ok := strings.Cut(text, `"`)
		if !ok {
			return false
		}
		n := 0
		for n < len(rest) && strings.IndexByte("0123456789,.+-", rest[n]) >= 0 {
			n++
		}
		if n < len(rest) && rest[n] == '"' && strings.Contains(rest[:n], ",") {
			return true
		}
		text = rest
	}
}

// take looks at the cells of a record. A column of dates whose first is ISO is not looked at again.
func (w *writing) take(record []string, rows records) {
	for _, i := range w.wantNumber {
		if i < len(record) {
			s := strings.TrimSpace(record[i])
			if form := formOf(s); form != noForm {
				w.number[form].keep(s, rows, i)
			}
		}
	}
	done := false
	for k, i := range w.wantDay {
		if i >= len(record) {
			continue
		}
		s, _ := cutMoment(strings.TrimSpace(record[i])) // a date has no time of day to cut
		if s == "" {
			continue
		}
		if _, ok := isoDay(s); ok {
			w.iso.keep(s, rows, i)
			if !w.dated {
				w.wantDay[k], done = -1, true
			}
			continue
		}
		w.takeDate(s, rows, i)
	}
	if done {
		w.wantDay = slices.DeleteFunc(w.wantDay, func(i int) bool { return i < 0 })
	}
}

// takeDate looks at a date that is not ISO.
func (w *writing) takeDate(s string, rows records, i int) {
	day, month, year := ordersOf(s)
	p, _ := threeParts(s)
	var at *sample
	switch {
	case year:
		at = &w.year
	case day && month && p[0] == p[1]:
		at = &w.same
	case day && month:
		at = &w.either
	case day:
		at = &w.day
	case month:
		at = &w.month
	}
	if at != nil {
		w.dated = true
		at.keep(s, rows, i)
	}
}

// decimal settles the mark of decimals.
func (r *rowReader) decimal(w *writing, rules InputRules, t *tableText) decimalMark {
	if rules.Decimal != "" {
		return decimalMark(slices.Index(Decimals(), rules.Decimal))
	}
	which := inputHint(r.spec.file, "decimal", Decimals()...)
	point, comma := w.number[surePoint], w.number[sureComma]
	maybe := w.number[maybeComma]
	if maybe.s == "" && t.sep != ',' {
		maybe = w.number[maybePoint]
	}
	switch {
	case point.s != "" && comma.s != "":
		r.ask(comma, "write them all alike; where only some are slips, "+which+", and the others are pointed out",
			"numbers are written with a decimal comma (%s) and with a decimal point (%s, line %d)", comma.s, point.s, point.line)
	case comma.s != "":
		return commaMark
	case point.s != "" || maybe.s == "":
		return pointMark
	case t.sep == ',' && w.number[maybePoint].s != "":
		return pointMark
	default:
		r.ask(maybe, "say which it is: "+which,
			"%s can be more than a thousand or a number with three decimals, and no other number of the file tells which", maybe.s)
	}
	return unsureMark
}

// order settles the order of dates.
func (r *rowReader) order(w *writing, rules InputRules) dateOrder {
	if rules.Dates != "" {
		return dateOrder(slices.Index(DateOrders(), rules.Dates))
	}
	var other sample // not ISO
	for _, c := range []sample{w.day, w.month, w.year, w.either, w.same} {
		if c.s != "" && (other.s == "" || c.line < other.line) {
			other = c
		}
	}
	turned := w.day.s != "" || w.month.s != "" || w.either.s != "" || w.same.s != ""
	which := inputHint(r.spec.file, "dates", "day-first", "month-first")
	alike := "a spreadsheet program turns some dates round and leaves others: look at each, and write them all alike; where all are right, " + which
	switch {
	case other.s == "":
		return isoOrder
	case w.iso.s != "":
		r.ask(other, alike,
			"dates are written both as %s and as %s (line %d)", other.s, w.iso.s, w.iso.line)
	case w.year.s != "" && turned:
		r.ask(other, alike, "dates are written with the year first and with the year last")
	case w.year.s != "":
		return yearFirst
	case w.day.s != "" && w.month.s != "":
		r.ask(w.month, alike,
			"%s has its month first, %s (line %d) its day: dates are written in both orders", w.month.s, w.day.s, w.day.line)
	case w.day.s != "":
		return dayFirst
	case w.month.s != "":
		return monthFirst
	case w.either.s == "":
		return dayFirst // 5/5/2031
	default:
		d, _ := dayFirst.parse(w.either.s)
		m, _ := monthFirst.parse(w.either.s)
		r.ask(w.either, "say which it is: "+which, "%s can be %s or %s, and no other date of the file tells which", w.either.s, d, m)
	}
	return unsureOrder
}

// ask faults what can be read in two ways, at the first cell of its kind.
func (r *rowReader) ask(c sample, hint, format string, args ...any) {
	r.found.note(finding{file: r.spec.file, line: c.line, at: c.at, hint: hint}, format, args...)
}
