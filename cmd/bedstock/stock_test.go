package main

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedstock/survey"
)

// unweighed is a stock for each of so many species in each of two surveys of bed A, and one of bed B that can be
// estimated.
func unweighed(species int) []survey.Stock {
	var out []survey.Stock
	for i := range species {
		for _, label := range []string{"2030", "2031"} {
			out = append(out, survey.Stock{Bed: "A", Species: fmt.Sprint("S", i), Survey: label, Status: survey.NotEstimable,
				Reason: "nothing weighed"})
		}
	}
	return append(out, survey.Stock{Bed: "B", Species: "S1", Survey: "2030", Status: survey.OK, QuadratsWith: 3})
}

// Stocks that are not estimable fold into a line a bed and reason where there are more than forty of them.
func TestStockFoldsWhatIsNotEstimable(t *testing.T) {
	o := &opened{folder: &survey.Folder{}}
	few := stockCmd{}.text(unweighed(20), o)
	assert.Len(t, few.Rows, 41)
	many := stockCmd{}.text(unweighed(21), o)
	assert.Len(t, many.Rows, 1)
	assert.Contains(t, many.Notes, "A: not estimable: nothing weighed (21 species, 2 surveys)")
	narrow := stockCmd{filter: filter{Species: []string{"s3"}}}.text(unweighed(21), o)
	assert.Len(t, narrow.Rows, 2, "what is asked for by name is shown")
}
