package archive

import (
	"maps"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/survey"
)

// Options say what an archive holds besides the survey.
type Options struct {
	People   bool // also who: observers, permits, decisions, cuts, remarks
	Coarse   bool // positions are rounded, outlines left out
	Invented bool // the survey is made up: every part of the archive says so

	Scrub func(string) string // takes the names of the folder's people out of a text; nil: leaves it as it is
}

// free is a text that people wrote, as it is handed on.
func (o Options) free(text string) string {
	if o.People || o.Scrub == nil {
		return text
	}
	return o.Scrub(text)
}

// invented is what everything made from the demo says.
const invented = "INVENTED DATA"

// Archive is a survey as the tables of a Darwin Core archive.
type Archive struct {
	Dataset      model.Dataset
	Events       []Event
	Occurrences  []Occurrence
	Measurements []Measurement
	Carried      []Carried
	Notes        []string // what is left out, and why

	folder *survey.Folder
	opt    Options
}

// Event is a survey, a stratum or transect of one, or a quadrat.
type Event struct {
	ID, Parent, Type string
	From, To         survey.Day
	Label            string // as the survey folder has it
	Bed              string
	Protocol         string
	Effort           string
	M2               float64 // of a quadrat; else 0
	Remarks          string
}

// Kinds of events.
const (
	surveyEvent   = "Survey"
	stratumEvent  = "Stratum"
	transectEvent = "Transect"
	quadratEvent  = "Quadrat"
	frondsEvent   = "Fronds" // fronds measured outside any quadrat of quadrats.csv
)

// Occurrence is a species looked for in a quadrat, or one frond of it.
type Occurrence struct {
	ID, Event string
	Species   string
	Present   bool
	Frond     bool
	Stage     string
	Observer  string
	Remarks   string
}

// Measurement is something measured of an event or of an occurrence.
type Measurement struct {
	Event, Occurrence string
	Key               string // names it among those of the event or occurrence
	Of                *quantity
	Value             string
	SE                string // standard error; empty where there is none
	Remarks           string
}

// New makes the tables of an archive. The folder must be the one that the rules were read with; carried are the tables
// that go beside it, see [Carry].
func New(f *survey.Folder, rules model.Rules, carried []Carried, opt Options) *Archive {
	a := &Archive{Dataset: *rules.Dataset, Carried: carried, folder: f, opt: opt}
	if opt.Invented {
		a.Dataset = markInvented(a.Dataset)
	}
	b := builder{Archive: a, f: f, ids: ids{a.Dataset.ID}}
	visits := survey.Visits(f, rules.Survey)
	b.build(visits)
	a.Notes = append(a.Notes, a.lacking(visits)...)
	return a
}

// markInvented makes title and abstract say that all is made up, where they do not yet.
func markInvented(d model.Dataset) model.Dataset {
	for _, text := range []*string{&d.Title, &d.Abstract} {
		if !strings.Contains(strings.ToUpper(*text), invented) {
			*text = invented + ": " + *text
		}
	}
	return d
}

// Species are the species of the archive, sorted.
func (a *Archive) Species() []string {
	seen := map[string]bool{}
	for _, o := range a.Occurrences {
		seen[o.Species] = true
	}
	return slices.Sorted(maps.Keys(seen))
}

// bed is the row of beds.csv that holds on a day.
func (a *Archive) bed(id string, day survey.Day) survey.BedPeriod {
	i := slices.IndexFunc(a.folder.Beds, func(b survey.Bed) bool { return b.ID == id })
	return a.folder.Beds[i].At(day)
}
