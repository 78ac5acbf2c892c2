package report

import (
	"bytes"
	"cmp"
	"errors"
	"html/template"
	"slices"
	"strconv"

	"bedstock/model"
	"bedstock/survey"
)

// bedPart is the part of the page on one bed.
type bedPart struct {
	Anchor, Name, ID string
	Facts            []fact
	Badge            badge  // of the bed: the most pressing of its stands
	Closed           string // why it is closed; empty: open
	Notice           notice
	Units            []template.HTML
	Folds            []fold
	Count            int    // of its stands
	Survey           string // what the last survey found wanting
}

type fact struct{ Name, Value string }

func bedAnchor(a *model.Assessment, id string) string {
	i, ok := a.Folder.BedAt(id)
	if !ok {
		i = -1
	}
	return "bed-" + strconv.Itoa(1+i)
}

func unitAnchor(i int) string { return "stand-" + strconv.Itoa(i+1) }

// bedParts are the parts of the page on the beds.
type bedParts struct {
	a      *model.Assessment
	figs   shelf
	opt    Options
	at     *byBed
	folded map[int]bool
	parts  []bedPart
}

// newBedParts makes a part for every bed of the folder, in the order of their labels, without what it says of each stand and the
// notice.
func newBedParts(a *model.Assessment, figs shelf, opt Options) *bedParts {
	folded, groups := alike(a)
	at := newByBed(a, groups)
	out := &bedParts{a: a, figs: figs, opt: opt, at: at, folded: folded}
	for _, b := range a.Folder.Beds {
		p := bedPart{Anchor: bedAnchor(a, b.ID), ID: b.ID, Name: cmp.Or(place(a, b).Name, b.ID)}
		where := place(a, b)
		p.Facts = bedFacts(where)
		if where.Status == "closed" {
			p.Closed = cmp.Or(where.Reason, "the bed is closed")
		}
		worst := stateOpen
		for _, i := range at.units[b.ID] {
			p.Count++
			worst = min(worst, stateOf(a, &a.Units[i]))
		}
		p.Badge = worst.badge()
		out.parts = append(out.parts, p)
	}
	return out
}

// bedsAtOnce is how many beds are in memory at once on their way to the page: of a long shore what all say takes too much.
const bedsAtOnce = 256

// laid are the parts as they stand in the page, some beds a piece.
func (x *bedParts) laid() (out [][]byte, err error) {
	for parts := range slices.Chunk(x.parts, bedsAtOnce) {
		piece, err := x.lay(parts)
		if err != nil {
			return nil, err
		}
		out = append(out, x.a.Thrift.Keep(piece))
	}
	return out, nil
}

// lay lays some parts, worked out on all cores.
func (x *bedParts) lay(parts []bedPart) ([]byte, error) {
	stands, err := x.stands(parts)
	if err != nil {
		return nil, err
	}
	text, errs := make([]bytes.Buffer, len(parts)), make([]error, len(parts))
	each(len(parts), func(k int) { errs[k] = layout.ExecuteTemplate(&text[k], "bed", x.whole(parts[k], stands)) })
	var out bytes.Buffer
	for k := range text {
		out.Write(text[k].Bytes())
	}
	return out.Bytes(), errors.Join(errs...)
}

// stands is what the parts say of each stand, by its place in the assessment.
func (x *bedParts) stands(parts []bedPart) (map[int]template.HTML, error) {
	var units []int
	for _, p := range parts {
		for _, i := range x.at.units[p.ID] {
			if !x.folded[i] {
				units = append(units, i)
			}
		}
	}
	laid, errs := make([]template.HTML, len(units)), make([]error, len(units))
	each(len(units), func(k int) {
		unit := unitPartOf(x.a, units[k], x.figs)
		laid[k], errs[k] = unit.lay()
	})
	out := map[int]template.HTML{}
	for k, i := range units {
		out[i] = laid[k]
	}
	return out, errors.Join(errs...)
}

// whole is a part with what it says of each stand.
func (x *bedParts) whole(p bedPart, stands map[int]template.HTML) bedPart {
	for _, i := range x.at.units[p.ID] {
		if stand, ok := stands[i]; ok {
			p.Units = append(p.Units, stand)
		}
	}
	for _, g := range x.at.folds[p.ID] {
		p.Folds = append(p.Folds, foldOf(x.a, g))
	}
	p.Notice = x.at.noticeOf(p.ID, p, x.opt)
	return p
}

func bedFacts(w survey.BedPeriod) []fact {
	out := []fact{}
	add := func(name, value string) {
		if value != "" {
			out = append(out, fact{name, value})
		}
	}
	add("Shore", w.Shore)
	add("Zone", w.Zone)
	area := number(w.Area, 6) + " m²"
	if w.AreaSE.OK && w.AreaSE.V > 0 {
		area += " (standard error " + number(w.AreaSE.V, 2) + " m²)"
	}
	add("Area", area)
	if w.Suitable.OK {
		add("Where seaweed can grow", percent(w.Suitable.V)+" of it")
	}
	return out
}
