package archive

import (
	"cmp"
	"slices"

	"bedstock/survey"
)

// sample is one quadrat on one day with its rows of quadrats.csv and fronds.csv.
type sample struct {
	place
	rows    []int // of quadrats.csv, visited
	fronds  []int // of fronds.csv
	visit   survey.Visit
	unknown bool // quadrats.csv has no such quadrat
}

// trip is a survey of a bed with its quadrats; without a survey, a day on which something was tried or measured there.
type trip struct {
	survey.Visited
	id      string
	samples []*sample
}

// gather brings every quadrat to its survey. Quadrats that are only planned say nothing of the shore and are left out.
func (b *builder) gather(visits []survey.Visited) []*trip {
	var trips []*trip
	for _, v := range visits {
		trips = append(trips, &trip{Visited: v, id: b.ids.survey(v)})
	}
	samples := map[place]*sample{}
	take := func(p place, visit survey.Visit) *sample {
		s := samples[p]
		if s == nil {
			s = &sample{place: p, visit: visit}
			samples[p] = s
			t := tripOf(&trips, p.bed, p.day, b.ids)
			t.samples = append(t.samples, s)
		}
		return s
	}
	for _, t := range slices.Clone(trips) {
		for _, row := range t.Rows {
			p := quadratPlace(b.f, row)
			s := samples[p]
			if s == nil {
				s = &sample{place: p}
				samples[p] = s
				t.samples = append(t.samples, s)
			}
			s.rows = append(s.rows, row)
		}
	}
	for row, visit := range b.f.Quadrats.Visit {
		switch visit {
		case survey.Planned:
			b.planned++
		case survey.NotReached, survey.Unsampleable:
			take(quadratPlace(b.f, row), visit)
		}
	}
	for row := range b.f.Fronds.Day {
		p := frondPlace(b.f, row)
		s := samples[p]
		if s == nil {
			s = take(p, survey.Done)
			s.unknown = true
		}
		s.fronds = append(s.fronds, row)
	}
	order(trips)
	return trips
}

// tripOf is the survey of the bed on a day; where there is none, the day by itself.
func tripOf(trips *[]*trip, bed string, day survey.Day, n ids) *trip {
	for _, t := range *trips {
		if t.Bed == bed && t.From <= day && day <= t.To {
			return t
		}
	}
	v := survey.Visited{Bed: bed, Survey: day.String(), From: day, To: day, Date: day}
	t := &trip{Visited: v, id: n.of("day", bed, day.String())}
	*trips = append(*trips, t)
	return t
}

// order sorts surveys by date and bed, and their quadrats by stratum, transect, label and day.
func order(trips []*trip) {
	slices.SortStableFunc(trips, func(x, y *trip) int {
		return cmp.Or(cmp.Compare(x.Date, y.Date), cmp.Compare(x.Bed, y.Bed), cmp.Compare(x.id, y.id))
	})
	for _, t := range trips {
		slices.SortFunc(t.samples, func(x, y *sample) int {
			return cmp.Or(cmp.Compare(x.stratum, y.stratum), cmp.Compare(x.transect, y.transect),
				cmp.Compare(x.quadrat, y.quadrat), cmp.Compare(x.day, y.day))
		})
	}
}
