package archive

import (
	"encoding/xml"
	"math"
	"strings"
)

// eml is the part of EML 2.2.0 that describes a data set, its elements in the order of the schema.
type eml struct {
	XMLName   xml.Name   `xml:"eml:eml"`
	NS        string     `xml:"xmlns:eml,attr"`
	XSI       string     `xml:"xmlns:xsi,attr"`
	Location  string     `xml:"xsi:schemaLocation,attr"`
	PackageID string     `xml:"packageId,attr"`
	System    string     `xml:"system,attr"`
	Scope     string     `xml:"scope,attr"`
	Lang      string     `xml:"xml:lang,attr"`
	Dataset   emlDataset `xml:"dataset"`
}

type emlDataset struct {
	AlternateID string       `xml:"alternateIdentifier"`
	Title       string       `xml:"title"`
	Creators    []emlParty   `xml:"creator"`
	Published   string       `xml:"pubDate"`
	Language    string       `xml:"language"`
	Abstract    emlText      `xml:"abstract"`
	Keywords    *emlKeywords `xml:"keywordSet"`
	Rights      emlRights    `xml:"intellectualRights>para"`
	Coverage    *emlCoverage `xml:"coverage"`
	Contact     emlParty     `xml:"contact"`
	Steps       []emlStep    `xml:"methods>methodStep"`
}

type emlParty struct {
	Organisation string `xml:"organizationName"`
	Mail         string `xml:"electronicMailAddress,omitempty"`
}

type emlText struct {
	Paras []string `xml:"para"`
}

type emlKeywords struct {
	Words []string `xml:"keyword"`
}

type emlRights struct {
	Before string  `xml:",chardata"`
	Link   emlLink `xml:"ulink"`
}

type emlLink struct {
	URL   string `xml:"url,attr"`
	Title string `xml:"citetitle"`
}

type emlCoverage struct {
	Place *emlPlace  `xml:"geographicCoverage"`
	Time  *emlTime   `xml:"temporalCoverage"`
	Taxa  []emlTaxon `xml:"taxonomicCoverage>taxonomicClassification"`
}

type emlPlace struct {
	Description string  `xml:"geographicDescription"`
	West        float64 `xml:"boundingCoordinates>westBoundingCoordinate"`
	East        float64 `xml:"boundingCoordinates>eastBoundingCoordinate"`
	North       float64 `xml:"boundingCoordinates>northBoundingCoordinate"`
	South       float64 `xml:"boundingCoordinates>southBoundingCoordinate"`
}

type emlTime struct {
	Begin string `xml:"rangeOfDates>beginDate>calendarDate"`
	End   string `xml:"rangeOfDates>endDate>calendarDate"`
}

type emlTaxon struct {
	Rank  string `xml:"taxonRankName,omitempty"`
	Value string `xml:"taxonRankValue"`
}

type emlStep struct {
	Paras []string `xml:"description>para"`
}

const emlNamespace = "https://eml.ecoinformatics.org/eml-2.2.0"

// emlXML describes the data set: what it is called, who made it, what others may do with it, where, when and of what it is.
func (a *Archive) emlXML() []byte {
	d := a.Dataset
	doc := eml{NS: emlNamespace, XSI: "http://www.w3.org/2001/XMLSchema-instance", Location: emlNamespace + " https://eml.ecoinformatics.org/eml-2.2.0/eml.xsd",
		PackageID: d.ID + "." + a.folder.AsOf.String(), System: "bedstock", Scope: "system", Lang: d.Language}
	set := &doc.Dataset
	set.AlternateID, set.Title, set.Language, set.Published = d.ID, oneLine(d.Title), d.Language, a.folder.AsOf.String()
	for _, c := range d.Creators {
		set.Creators = append(set.Creators, emlParty{Organisation: c})
	}
	set.Contact = emlParty{Organisation: d.Contact, Mail: d.Mail}
	set.Abstract.Paras = paragraphs(d.Abstract)
	if a.opt.Invented {
		set.Keywords = &emlKeywords{[]string{invented}}
	}
	set.Rights = emlRights{"This work is licensed under ", emlLink{d.Licence.URL, d.Licence.Name}}
	set.Coverage = a.coverage()
	for _, step := range a.methods() {
		set.Steps = append(set.Steps, emlStep{paragraphs(step)})
	}
	return xmlFile(doc)
}

// paragraphs parts a text at its blank lines.
func paragraphs(text string) []string {
	var out []string
	for p := range strings.SplitSeq(strings.ReplaceAll(text, "\r\n", "\n"), "\n\n") {
		if p = strings.TrimSpace(oneLine(p)); p != "" {
			out = append(out, p)
		}
	}
	return out
}

// methods says how what the archive holds was measured.
func (a *Archive) methods() []string {
	steps := []string{"Quadrats on the shore were read at low water: the cover in percent of each species looked for; in a part of them the " +
		"wet weight, drained and blotted, without holdfast; the length of fronds. Events are nested: survey of a bed, stratum, transect, quadrat.",
		"An absence is a species that the survey looked for and that was not found in a quadrat it visited. One that was written down as 0 " +
			"has a measurement of 0, another none."}
	seen := map[string]bool{}
	for _, e := range a.Events {
		if e.Protocol != "" && !seen[e.Protocol] {
			seen[e.Protocol] = true
			steps = append(steps, e.Protocol)
		}
	}
	return steps
}

// coverage says where, when and of what the data set is. Where no place is known there is no box.
func (a *Archive) coverage() *emlCoverage {
	if len(a.Events) == 0 {
		return nil
	}
	from, to := a.Events[0].From, a.Events[0].To
	for _, e := range a.Events {
		from, to = min(from, e.From), max(to, e.To)
	}
	c := &emlCoverage{Place: a.box(), Time: &emlTime{from.String(), to.String()}}
	for _, s := range a.Species() {
		c.Taxa = append(c.Taxa, emlTaxon{rankOf(s), accepted(s)})
	}
	return c
}

// box holds all beds whose place is known. Beds on both sides of the antimeridian are held by the whole way round.
func (a *Archive) box() *emlPlace {
	p := emlPlace{West: math.Inf(1), South: math.Inf(1), East: math.Inf(-1), North: math.Inf(-1)}
	take := func(west, south, east, north float64) {
		if a.opt.Coarse {
			west, south, east, north = coarse(west), coarse(south), coarse(east), coarse(north)
		}
		if west > east {
			west, east = -180, 180
		}
		p.West, p.South, p.East, p.North = min(p.West, west), min(p.South, south), max(p.East, east), max(p.North, north)
	}
	var shores []string
	seen := map[string]bool{"": true}
	for _, b := range a.folder.Beds {
		bed := b.At(a.folder.AsOf)
		if o, ok := a.folder.Outlines[b.ID]; ok {
			take(o.West, o.South, o.East, o.North)
		} else if bed.Lat.OK && bed.Lon.OK {
			take(bed.Lon.V, bed.Lat.V, bed.Lon.V, bed.Lat.V)
		}
		if !seen[bed.Shore] {
			seen[bed.Shore] = true
			shores = append(shores, bed.Shore)
		}
	}
	if p.West > p.East {
		return nil
	}
	p.Description = strings.TrimSuffix(counted(len(a.folder.Beds), "seaweed bed")+": "+strings.Join(shores, ", "), ": ")
	return &p
}
