package archive

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// node is an event of an archive.
type node struct {
	id, parent  string
	kind        string // eventType
	label       string
	location    string // locationID
	locality    string
	shore       string
	habitat     string
	lat, lon    string
	footprint   string
	protocol    string
	effort      string
	size, unit  string
	date        string
	remarks     string
	children    int
	occurrences []occurrence
	facts       []fact
	up          *node // nil: none
}

// occurrence is a species in an event.
type occurrence struct {
	id, species, aphia string
	absent             bool
	frond              bool
	stage, observer    string
	quantity, unit     string
	facts              []fact
}

// fact is a measurement.
type fact struct{ kind, concept, value, accuracy, unit, unitConcept string }

// seen is an archive while it is made into a survey folder.
type seen struct {
	*Read
	names names
	nodes map[string]*node
	order []*node
	idle  map[string]int // measurements that were not used, by kind
	twice []string       // places of events without an id, or with the id of an earlier one
}

// take reads the tables: events as the core, or occurrences that name their event.
func (s *seen) take(core *given, more []*given) error {
	s.nodes = map[string]*node{}
	occurrences := tableOf(more, occurrenceRow)
	switch core.row {
	case eventRow:
		for i := range core.rows {
			s.event(core, i, core.event(i))
		}
	case occurrenceRow:
		if _, ok := core.terms["eventID"]; !ok {
			return errors.New("is an archive of single occurrences without eventID: which of them were seen in one quadrat is not said")
		}
		for i := range core.rows {
			if id := core.cell(i, "eventID"); s.nodes[id] == nil {
				s.event(core, i, id)
			}
		}
		occurrences = core
	default:
		return fmt.Errorf("has rows of %s as its core; a survey is read from events or occurrences", core.row)
	}
	if len(s.twice) > 0 {
		s.unused("%s without an id, or with the id of an earlier one: %s", counted(len(s.twice), "event"), someOf(s.twice))
	}
	if occurrences == nil || len(occurrences.rows) == 0 && !s.Own {
		return errors.New("holds no occurrences: nothing says what grew where")
	}
	for _, n := range s.order {
		if n.parent != "" && n.parent != n.id {
			if n.up = s.nodes[n.parent]; n.up != nil {
				n.up.children++
			}
		}
	}
	at := s.occurrences(occurrences)
	for _, g := range more {
		switch {
		case g.row == measurementRow || g.row == plainFactRow:
			s.facts(g, at, core == occurrences)
		case g != occurrences:
			s.unused("%s: rows of %s", g.file, g.row)
		}
	}
	s.unusedTerms(core, occurrences)
	return nil
}

func tableOf(all []*given, row string) *given {
	i := slices.IndexFunc(all, func(g *given) bool { return g.row == row })
	if i < 0 {
		return nil
	}
	return all[i]
}

// event enters an event. Of two with one id the first holds.
func (s *seen) event(g *given, i int, id string) {
	if id == "" || s.nodes[id] != nil {
		s.twice = append(s.twice, fmt.Sprintf("%s:%d", g.file, g.lines[i]))
		return
	}
	c := func(term string) string { return g.cell(i, term) }
	n := &node{id: id, parent: c("parentEventID"), kind: c("eventType"), label: c("fieldNumber"), location: c("locationID"),
		locality: c("locality"), shore: c("higherGeography"), habitat: c("habitat"), lat: c("decimalLatitude"), lon: c("decimalLongitude"),
		footprint: c("footprintWKT"), protocol: c("samplingProtocol"), effort: c("samplingEffort"), size: c("sampleSizeValue"),
		unit: c("sampleSizeUnit"), date: c("eventDate"), remarks: c("eventRemarks")}
	s.nodes[id], s.order = n, append(s.order, n)
}

// occurrences enters what grew in the events, and returns where each stands by its id.
func (s *seen) occurrences(g *given) map[string]*occurrence {
	lost := 0
	for i := range g.rows {
		n := s.nodes[g.cell(i, "eventID")]
		if n == nil && g.row == occurrenceRow {
			n = s.nodes[g.event(i)]
		}
		c := func(term string) string { return g.cell(i, term) }
		name := cmp.Or(c("scientificName"), c("verbatimIdentification"))
		if s.Own {
			name = cmp.Or(c("verbatimIdentification"), name)
		}
		if n == nil || name == "" {
			lost++
			continue
		}
		aphia := aphiaOf(c("scientificNameID"))
		o := occurrence{id: cmp.Or(c("occurrenceID"), g.event(i)), aphia: aphia, species: s.names.of(name, aphia),
			absent: strings.EqualFold(c("occurrenceStatus"), "absent"), stage: c("lifeStage"), observer: c("recordedBy"),
			quantity: c("organismQuantity"), unit: c("organismQuantityType")}
		o.frond = strings.EqualFold(o.unit, frondUnit)
		n.occurrences = append(n.occurrences, o)
	}
	if lost > 0 {
		s.unused("%s: %s of an event that is not in the archive, or without a name", g.file, counted(lost, "row"))
	}
	at := map[string]*occurrence{}
	for _, n := range s.order {
		for k := range n.occurrences {
			at[n.occurrences[k].id] = &n.occurrences[k]
		}
	}
	return at
}

// facts enters what was measured.
func (s *seen) facts(g *given, at map[string]*occurrence, byOccurrence bool) {
	lost := 0
	for i := range g.rows {
		c := func(term string) string { return g.cell(i, term) }
		f := fact{c("measurementType"), c("measurementTypeID"), c("measurementValue"), c("measurementAccuracy"), c("measurementUnit"), c("measurementUnitID")}
		id := c("occurrenceID")
		if byOccurrence {
			id = cmp.Or(id, g.event(i))
		}
		o, n := at[id], s.nodes[g.event(i)]
		switch {
		case o != nil:
			o.facts = append(o.facts, f)
		case id == "" && n != nil:
			n.facts = append(n.facts, f)
		default:
			lost++
		}
	}
	if lost > 0 {
		s.unused("%s: %s of an event or occurrence that is not in the archive", g.file, counted(lost, "row"))
	}
}

// readTerms are the terms that something is made of, or that say nothing a survey folder could hold.
var readTerms = func() map[string]bool {
	out := map[string]bool{"id": true, "institutionCode": true, "collectionCode": true, "datasetID": true, "kingdom": true, "month": true,
		"day": true, "modified": true, "language": true, "rightsHolder": true, "countryCode": true, "country": true}
	for _, l := range []layout{eventLayout, occurrenceLayout} {
		for _, t := range l.terms {
			out[t[strings.LastIndexByte(t, '/')+1:]] = true
		}
	}
	return out
}()

// unusedTerms notes columns of events and occurrences that hold something nothing is made of.
func (s *seen) unusedTerms(all ...*given) {
	for i, g := range all {
		if i > 0 && g == all[0] {
			continue
		}
		for _, term := range slices.Sorted(maps.Keys(g.terms)) {
			n := 0
			for row := range g.rows {
				if !readTerms[term] && g.cell(row, term) != "" {
					n++
				}
			}
			if n > 0 {
				s.unused("%s: %s in %s", g.file, term, counted(n, "row"))
			}
		}
	}
}

// someOf joins the first few.
func someOf(list []string) string {
	if len(list) <= 5 {
		return strings.Join(list, ", ")
	}
	return strings.Join(list[:5], ", ") + fmt.Sprintf(" and %d more", len(list)-5)
}

func sorted[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// rowsOf counts the rows of a CSV text below its header.
func rowsOf(text []byte) int {
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord, r.LazyQuotes, r.ReuseRecord = -1, true, true
	n := -1
	for {
		if _, err := r.Read(); err != nil {
			return max(0, n)
		}
		n++
	}
}
