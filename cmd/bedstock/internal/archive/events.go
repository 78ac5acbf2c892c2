package archive

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"bedstock/survey"
)

// builder fills an archive.
type builder struct {
	*Archive
	f       *survey.Folder
	ids     ids
	planned int // rows left out
}

func (b *builder) build(visits []survey.Visited) {
	for _, t := range b.gather(visits) {
		if len(t.samples) == 0 {
			continue // declared, and not done
		}
		b.survey(t)
		strata := b.strata(t)
		for i, s := range t.samples {
			b.quadrat(t, s, b.transect(t, i, strata))
		}
	}
	if b.planned > 0 {
		b.Notes = append(b.Notes, fmt.Sprintf("left out: %s of quadrats.csv that are only planned", counted(b.planned, "row")))
	}
}

func counted(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

func (b *builder) event(e Event) {
	if b.opt.Invented {
		e.Remarks = strings.TrimSuffix(invented+"; "+e.Remarks, "; ")
	}
	b.Events = append(b.Events, e)
}

// survey enters a survey of a bed and what was measured of the bed.
func (b *builder) survey(t *trip) {
	bed := b.bed(t.Bed, t.Date)
	b.event(Event{ID: t.id, Type: surveyEvent, From: t.From, To: t.To, Label: t.Survey, Bed: t.Bed, Protocol: b.opt.free(t.Protocol), Effort: effort(t.samples)})
	b.fact(t.id, "area", bedArea, number(bed.Area), bed.AreaSE, "")
	if bed.Suitable.OK {
		b.fact(t.id, "suitable", suitable, number(bed.Suitable.V), survey.Num{}, "")
	}
	for _, d := range b.f.Surveys {
		if t.Declared && d.Bed == t.Bed && d.Survey == t.Survey && d.LowWater.OK {
			b.fact(t.id, "low_water", lowWater, number(d.LowWater.V), survey.Num{}, "")
		}
	}
	if len(t.Sought) > 0 {
		b.fact(t.id, "sought", soughtFact, strings.Join(t.Sought, ";"), survey.Num{}, "separated by semicolons; one without a presence was looked for and not found")
	}
}

// strata enters the strata of a survey, also those that nobody reached, and returns their ids.
func (b *builder) strata(t *trip) map[string]string {
	out := map[string]string{}
	enter := func(stratum string) {
		if stratum == "" || out[stratum] != "" {
			return
		}
		id := below(t.id, "stratum", stratum)
		out[stratum] = id
		var in []*sample
		for _, s := range t.samples {
			if s.stratum == stratum {
				in = append(in, s)
			}
		}
		b.event(Event{ID: id, Parent: t.id, Type: stratumEvent, From: t.From, To: t.To, Label: stratum, Bed: t.Bed, Effort: effort(in)})
		for _, s := range b.f.Strata {
			if s.Bed == t.Bed && s.Stratum == stratum {
				b.fact(id, "area", stratumArea, number(s.Area), s.AreaSE, "")
			}
		}
	}
	for _, s := range b.f.Strata {
		if s.Bed == t.Bed {
			enter(s.Stratum)
		}
	}
	for _, s := range t.samples {
		enter(s.stratum)
	}
	return out
}

// transect is the id of the event that a quadrat lies in: its transect, entered at the first of its quadrats, which stand
// together, else its stratum, else the survey. A transect that crosses strata has one event a stratum, of one label.
func (b *builder) transect(t *trip, i int, strata map[string]string) string {
	s := t.samples[i]
	parent := t.id
	if s.stratum != "" {
		parent = strata[s.stratum]
	}
	if s.transect == "" {
		return parent
	}
	id := below(t.id, "transect", s.stratum, s.transect)
	if i > 0 && s.on(t.samples[i-1]) {
		return id
	}
	n := i + 1
	from, to := s.day, s.day
	for ; n < len(t.samples) && s.on(t.samples[n]); n++ {
		from, to = min(from, t.samples[n].day), max(to, t.samples[n].day)
	}
	b.event(Event{ID: id, Parent: parent, Type: transectEvent, From: from, To: to, Label: s.transect, Bed: t.Bed, Effort: effort(t.samples[i:n])})
	return id
}

// on says whether another quadrat of the survey lies on the same transect, within the same stratum.
func (s *sample) on(o *sample) bool { return s.stratum == o.stratum && s.transect == o.transect }

// quadrat enters a quadrat with all that was seen in it.
func (b *builder) quadrat(t *trip, s *sample, parent string) {
	id := b.ids.quadrat(s.place)
	e := Event{ID: id, Parent: parent, Type: quadratEvent, From: s.day, To: s.day, Label: s.quadrat, Bed: s.bed}
	switch {
	case s.visit != survey.Done:
		e.Effort = notVisited[s.visit]
	case s.unknown:
		e.Type, e.Remarks = frondsEvent, "fronds measured; cover and weight were not read here"
	default:
		e.Effort = "1 quadrat"
		if m2 := b.f.Quadrats.M2[s.rows[0]]; !math.IsNaN(m2) {
			e.M2 = m2
		}
	}
	b.event(e)
	if e.M2 > 0 {
		b.fact(id, "area", area, number(e.M2), survey.Num{}, "")
	}
	if s.visit == survey.Done && !s.unknown {
		b.species(t, s, id)
	}
	b.fronds(s, id)
}

// notVisited says what became of a quadrat that gave nothing.
var notVisited = map[survey.Visit]string{survey.NotReached: "none: not reached", survey.Unsampleable: "none: could not be sampled"}

// effort counts the quadrats visited.
func effort(samples []*sample) string {
	n := 0
	for _, s := range samples {
		if s.visit == survey.Done && !s.unknown {
			n++
		}
	}
	return counted(n, "quadrat")
}

// fact enters something measured of an event.
func (b *builder) fact(event, key string, of *quantity, value string, se survey.Num, remarks string) {
	m := Measurement{Event: event, Key: key, Of: of, Value: value, Remarks: remarks}
	if se.OK {
		m.SE = number(se.V)
	}
	b.Measurements = append(b.Measurements, m)
}

// number writes a number so that reading it gives the same again.
func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
