// Package sheets makes what a planned survey is carried out with: a field sheet a bed to print, and the empty
// quadrats.csv of its rows to type them into.
package sheets

import (
	"bytes"
	_ "embed"
	"html/template"
	"slices"
)

// Sheet is a planned survey of one bed.
type Sheet struct {
	Bed, Name string  // Name may be empty
	QuadratM2 float64 // size of a quadrat
	Visits    []Visit // planned, by day; none: not yet known
	Tides     int     // low waters the work takes
	Minutes   float64 // of one low water
	Species   []Species
	Quadrats  []Quadrat
	Dates     string // order of the dates of the folder's quadrats.csv: day-first, month-first or year-first; else 2031-06-14
	Invented  bool   // the survey folder is invented data
}

// Dated is how a date is written so that it can be typed below the folder's own.
func (s Sheet) Dated() string {
	switch s.Dates {
	case "day-first":
		return "day, month, year"
	case "month-first":
		return "month, day, year"
	case "year-first":
		return "year, month, day"
	}
	return "year-month-day"
}

// Visit is a planned low water.
type Visit struct {
	Day           string   // YYYY-MM-DD
	LowWater      string   // time and height in words
	From, LeaveBy string   // times of day
	With          []string // other beds of the same low water
	Closed        string   // why the bed is closed to cutting on that day; empty: it is not
}

// Closed is why the bed is closed to cutting on a planned day; empty: it is not.
func (s Sheet) Closed() string {
	for _, v := range s.Visits {
		if v.Closed != "" {
			return v.Closed
		}
	}
	return ""
}

// One is the visit of a bed that has one planned, nil else.
func (s Sheet) One() *Visit {
	if len(s.Visits) == 1 {
		return &s.Visits[0]
	}
	return nil
}

// Several are the visits of a bed that has more than one planned.
func (s Sheet) Several() []Visit {
	if len(s.Visits) > 1 {
		return s.Visits
	}
	return nil
}

// Species is a species that is looked for.
type Species struct {
	Name, Common string // Common may be empty
}

// Quadrat is one planned quadrat.
type Quadrat struct {
	Stratum, Transect, Quadrat string // as in quadrats.csv; the first two may be empty
	Weigh                      bool   // to be clipped and weighed after its cover was read
	Where                      string // where on the transect, in words
}

// Strata says whether the quadrats lie in strata.
func (s Sheet) Strata() bool { return s.any(func(q Quadrat) bool { return q.Stratum != "" }) }

// Transects says whether the quadrats lie on transects.
func (s Sheet) Transects() bool { return s.any(func(q Quadrat) bool { return q.Transect != "" }) }

// Weighed is how many quadrats are to be weighed.
func (s Sheet) Weighed() int {
	n := 0
	for _, q := range s.Quadrats {
		if q.Weigh {
			n++
		}
	}
	return n
}

func (s Sheet) any(is func(Quadrat) bool) bool { return slices.ContainsFunc(s.Quadrats, is) }

// Lines is how many lines a quadrat takes: one a species and one left free.
func (s Sheet) Lines() int { return len(s.Species) + 1 }

//go:embed sheet.html
var sheetText string

var sheetPage = template.Must(template.New("sheet").Parse(sheetText))

// HTML is the sheet as one page to print on A4, black on white, with nothing loaded from outside. Names are escaped.
func HTML(s Sheet) ([]byte, error) {
	var b bytes.Buffer
	err := sheetPage.Execute(&b, s)
	return b.Bytes(), err
}
