package archive

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// notNamed is the remark of a species that was looked for and has no row in a quadrat. What was written down as 0 has a
// measurement instead.
const notNamed = "looked for, not found"

// species enters an occurrence a species: those of the rows, and as absent those that the survey looked for besides.
func (b *builder) species(t *trip, s *sample, event string) {
	rows, reader := map[string]int{}, ""
	names := slices.Clone(t.Sought)
	for _, row := range s.rows {
		if name := b.f.Names[b.f.Quadrats.Species[row]]; name != "" {
			rows[name] = row
			names = append(names, name)
		} else {
			reader = b.f.Names[b.f.Quadrats.Observer[row]] // of an empty quadrat
		}
	}
	slices.Sort(names)
	for _, name := range slices.Compact(names) {
		o := Occurrence{ID: event + ":" + joined([]string{name}), Event: event, Species: name}
		row, ok := rows[name]
		if !ok {
			o.Remarks, o.Observer = notNamed, reader
			b.occurrence(o)
			continue
		}
		q := &b.f.Quadrats
		o.Present = q.Cover[row] > 0 || q.Biomass[row] > 0
		o.Observer = b.f.Names[q.Observer[row]]
		b.occurrence(o)
		b.measured(o, row)
	}
}

func (b *builder) occurrence(o Occurrence) {
	if !b.opt.People {
		o.Observer = ""
	}
	if b.opt.Invented {
		o.Remarks = strings.TrimSuffix(invented+"; "+o.Remarks, "; ")
	}
	b.Occurrences = append(b.Occurrences, o)
}

// measured enters what a row of quadrats.csv measured of a species.
func (b *builder) measured(o Occurrence, row int) {
	q := &b.f.Quadrats
	enter := func(key string, of *quantity, value, remarks string) {
		b.Measurements = append(b.Measurements, Measurement{Event: o.Event, Occurrence: o.ID, Key: key, Of: of, Value: value, Remarks: remarks})
	}
	if x := q.Cover[row]; !math.IsNaN(x) {
		remarks := ""
		if c, ok := q.ClassOf(row); ok {
			remarks = fmt.Sprintf("the middle of class %s, %g to %g %%, of the scale %s", c.Letter, c.Lo, c.Hi, c.Scale)
		}
		enter("cover", cover, number(x), remarks)
	}
	if x := q.Biomass[row]; !math.IsNaN(x) {
		m2, on := q.M2[row], "in the quadrat"
		if !math.IsNaN(q.Weighed[row]) {
			m2, on = q.Weighed[row], "in the part that was clipped"
		}
		enter("weight", wetWeight, thousandth(number(x)), "drained and blotted, without holdfast; "+on)
		enter("weight_m2", wetPerM2, strconv.FormatFloat(digits(x/m2), 'f', -1, 64), "the weight over the area it was clipped from")
	}
	if x := q.Weighed[row]; !math.IsNaN(x) {
		enter("weighed", weighedM2, number(x), "")
	}
	if x := q.Frond[row]; !math.IsNaN(x) {
		enter("length", length, number(x), "mean of the species in the quadrat")
	}
}

// digits rounds to six significant digits.
func digits(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
	if err != nil {
		panic("archive: " + err.Error())
	}
	return y
}

// fronds enters each frond as an occurrence of its own, numbered within its quadrat and species in the order of the file.
func (b *builder) fronds(s *sample, event string) {
	x := &b.f.Fronds
	rows := slices.Clone(s.fronds)
	slices.SortStableFunc(rows, func(i, j int) int { return cmp.Compare(x.Species[i], x.Species[j]) })
	n := 0
	for i, row := range rows {
		if n++; i > 0 && x.Species[row] != x.Species[rows[i-1]] {
			n = 1
		}
		name := b.f.Names[x.Species[row]]
		o := Occurrence{ID: event + ":" + joined([]string{name, strconv.Itoa(n)}), Event: event, Species: name, Present: true,
			Frond: true, Stage: b.f.Names[x.Stage[row]]}
		b.occurrence(o)
		enter := func(key string, of *quantity, value string) {
			b.Measurements = append(b.Measurements, Measurement{Event: event, Occurrence: o.ID, Key: key, Of: of, Value: value})
		}
		enter("length", length, number(x.Length[row]))
		if !math.IsNaN(x.Wet[row]) {
			enter("weight", wetWeight, thousandth(number(x.Wet[row])))
		}
	}
}

// thousandth moves the decimal point of a number three places to the left, without rounding: grams to kilograms.
func thousandth(s string) string { return moved(s, -3) }

// thousandfold moves it to the right.
func thousandfold(s string) string { return moved(s, 3) }

// moved moves the decimal point of a plain decimal number by so many places.
func moved(s string, places int) string {
	whole, part, _ := strings.Cut(s, ".")
	if places < 0 {
		whole = strings.Repeat("0", -places) + whole
		whole, part = whole[:len(whole)+places], whole[len(whole)+places:]+part
	} else {
		part += strings.Repeat("0", places)
		whole, part = whole+part[:places], part[places:]
	}
	whole, part = cmp.Or(strings.TrimLeft(whole, "0"), "0"), strings.TrimRight(part, "0")
	if part == "" {
		return whole
	}
	return whole + "." + part
}
