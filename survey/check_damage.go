package survey

import (
	"regexp"
	"slices"
	"strings"
)

// dateLabel matches what a spreadsheet program makes of a label like 1-2 or 3/4: a whole date, or a day and a month.
var dateLabel = regexp.MustCompile(`(?i)^(\d{4}-\d{2}-\d{2}|\d{1,2}[/.]\d{1,2}[/.](\d{2}|\d{4})|` +
	`\d{1,2}[- ](jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*|` +
	`(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*[- ]\d{1,2})$`)

// pairLabel matches a label of two numbers, as those that are turned into dates.
var pairLabel = regexp.MustCompile(`^\d{1,2}[-/]\d{1,2}$`)

// labelColumns are the labels of quadrats.csv and fronds.csv that a spreadsheet program may turn into something else.
func (c *checker) labelColumns(do func(file, column string, ids, bed []uint32, line []int32)) {
	q, f := &c.f.Quadrats, &c.f.Fronds
	do("quadrats.csv", "stratum", q.Stratum, q.Bed, q.Line)
	do("quadrats.csv", "transect", q.Transect, q.Bed, q.Line)
	do("quadrats.csv", "quadrat", q.Quadrat, q.Bed, q.Line)
	do("fronds.csv", "transect", f.Transect, f.Bed, f.Line)
	do("fronds.csv", "quadrat", f.Quadrat, f.Bed, f.Line)
}

// dateLabels notes labels that look like dates: 1-2 typed, and taken for the second of January. Where other labels of
// the column still are pairs of numbers it is a mistake that two labels may have become one by.
func (c *checker) dateLabels() {
	isDate, isPair := make([]bool, len(c.f.Names)), make([]bool, len(c.f.Names))
	for id, name := range c.f.Names {
		if strings.ContainsAny(name, "-/. ") { // quick to tell
			isDate[id], isPair[id] = dateLabel.MatchString(name), pairLabel.MatchString(name)
		}
	}
	c.labelColumns(func(file, column string, ids, _ []uint32, line []int32) {
		var dates sites
		first, pairs := "", 0
		for i, id := range ids {
			switch {
			case isDate[id]:
				if dates.n == 0 {
					first = c.f.Names[id]
				}
				dates.add(int(line[i]))
			case isPair[id]:
				pairs++
			}
		}
		const hint = "look at the sheet and write the label as text (format the column as text first, or write 1_2)"
		switch {
		case dates.n > 0 && pairs > 0:
			c.found.fault(file, dates.lines[0], column, hint, "%q is a date among labels of two numbers: turned into it by a spreadsheet program?%s",
				first, dates.also())
		case dates.n > 0:
			c.found.doubt(file, dates.lines[0], column, hint, "%q looks like a date: a label that a spreadsheet program turned into one?%s",
				first, dates.also())
		}
	})
}

// lostZeros notes labels of one bed that differ in leading zeros alone: 07 typed as text in one year, as a number in
// another.
func (c *checker) lostZeros() {
	bare := barelyAlike(c.f.Names)
	if bare == nil {
		return
	}
	type label struct {
		bed  uint32
		bare int32
	}
	c.labelColumns(func(file, column string, ids, bed []uint32, line []int32) {
		seen := map[label]uint32{}
		var pairs []string
		var at int
		for i, id := range ids {
			if bare[id] == 0 {
				continue
			}
			k := label{bed[i], bare[id]}
			old, ok := seen[k]
			if !ok {
				seen[k] = id
			}
			if !ok || old == id {
				continue
			}
			if pair := c.f.Names[id] + " and " + c.f.Names[old]; !slices.Contains(pairs, pair) {
				if pairs == nil {
					at = int(line[i])
				}
				pairs = append(pairs, pair)
			}
		}
		if pairs != nil {
			c.found.doubt(file, at, column, "a spreadsheet program drops leading zeros: format the column as text and write a label the same in every row",
				"labels differ in leading zeros alone: %s", some(pairs, 6))
		}
	})
}

// barelyAlike gives the numbers among sorted names that differ in leading zeros alone the same mark, all other names 0;
// nil where there are none.
func barelyAlike(names []string) []int32 {
	var marks []int32
	first := map[string]int{}
	mark := func(id, as int) {
		if marks == nil {
			marks = make([]int32, len(names))
		}
		marks[id], marks[as] = int32(as)+1, int32(as)+1
	}
	for id, name := range names {
		if !strings.HasPrefix(name, "0") {
			continue
		}
		bare := withoutZeros(name)
		if bare == "" || bare == name {
			continue
		}
		as, ok := first[bare]
		if !ok {
			if as, ok = slices.BinarySearch(names, bare); !ok {
				as = id
			}
			first[bare] = as
		}
		if as != id {
			mark(id, as)
		}
	}
	return marks
}

// withoutZeros is a number without its leading zeros; empty for a label that is no plain number.
func withoutZeros(s string) string {
	if s == "" || digits(s) != s {
		return ""
	}
	if t := strings.TrimLeft(s, "0"); t != "" {
		return t
	}
	return "0"
}

// lostZero is a hint with the name that a number was before it lost its leading zeros.
func lostZero(name string, names []string) string {
	for _, n := range names {
		if bare := withoutZeros(name); bare != "" && n != name && withoutZeros(n) == bare {
			return "did you mean " + n + "? A spreadsheet program drops leading zeros: format the column as text"
		}
	}
	return ""
}
