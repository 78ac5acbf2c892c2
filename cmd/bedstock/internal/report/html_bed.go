package report

import (
	"cmp"
	"errors"
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
	Units            []unitPart
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

// bedParts makes a part for every bed of the folder, in the order of their labels.
func bedParts(a *model.Assessment, figs shelf, opt Options) ([]bedPart, error) {
	folded, groups := alike(a)
	units, errs := make([]unitPart, len(a.Units)), make([]error, len(a.Units))
	each(len(a.Units), func(i int) {
		if !folded[i] {
			units[i] = unitPartOf(a, i, figs)
			errs[i] = units[i].lay()
		}
	})
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	at := newByBed(a, groups)
	var out []bedPart
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
			if !folded[i] {
				p.Units = append(p.Units, units[i])
			}
		}
		p.Badge = worst.badge()
		for _, g := range at.folds[b.ID] {
			p.Folds = append(p.Folds, foldOf(a, g))
		}
		p.Notice = at.noticeOf(b.ID, p, opt)
		out = append(out, p)
	}
	return out, nil
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
