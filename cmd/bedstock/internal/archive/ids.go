package archive

import (
	"net/url"
	"strings"

	"bedstock/survey"
)

// ids makes the ids of an archive. An id is the data set's name, the kind of thing and what names it in the survey
// folder, with colons between; within a part all but letters, digits, - . _ ~ is written as in a web address. So an id is
// unique, tells where its row is to be found, and never changes while the row stands in the folder.
type ids struct{ dataset string }

func (n ids) of(kind string, parts ...string) string {
	return n.dataset + ":" + kind + ":" + joined(parts)
}

func joined(parts []string) string {
	out := make([]string, len(parts))
	for i, p := range parts {
		out[i] = url.QueryEscape(p)
	}
	return strings.Join(out, ":")
}

// survey is named by its row of surveys.csv, or else by its first day: a survey that goes on into the new year keeps it.
func (n ids) survey(v survey.Visited) string {
	if v.Declared {
		return n.of("survey", v.Bed, v.Survey)
	}
	return n.of("run", v.Bed, v.From.String())
}

// below is the id of a part of an event.
func below(event, kind string, parts ...string) string {
	return event + ":" + kind + ":" + joined(parts)
}

func (n ids) quadrat(p place) string {
	return n.of("quadrat", p.bed, p.day.String(), p.stratum, p.transect, p.quadrat)
}

// place names a quadrat on a day, as quadrats.csv and fronds.csv do.
type place struct {
	bed, stratum, transect, quadrat string
	day                             survey.Day
}

func quadratPlace(f *survey.Folder, i int) place {
	q := &f.Quadrats
	return place{f.Names[q.Bed[i]], f.Names[q.Stratum[i]], f.Names[q.Transect[i]], f.Names[q.Quadrat[i]], q.Day[i]}
}

func frondPlace(f *survey.Folder, i int) place {
	x := &f.Fronds
	return place{f.Names[x.Bed[i]], f.Names[x.Stratum[i]], f.Names[x.Transect[i]], f.Names[x.Quadrat[i]], x.Day[i]}
}
