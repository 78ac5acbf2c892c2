package report

import (
	"cmp"
	"fmt"
	"strings"

	"bedstock/model"
)

// changesPart is what changed since an earlier report, in sentences.
type changesPart struct {
	AsOf          string         // of the earlier report
	Mixed         bool           // one of the two is of invented data
	Beds          []string       // new and gone beds and stands
	Stands        []changedStand // those that matter: another advice or verdict, or a stock that did change
	Minor         []changedStand // a stock within what the intervals allow, no more
	Same          string         // how many stands are as before
	Regrow        []string
	Rules         []string
	New           []string // files of the survey folder
	Gone, Changed []string
	Run           []string
}

// changedStand is a stand with another stock, offtake or verdict than before.
type changedStand struct{ Anchor, Bed, Species, Common, Words string }

// changesPartOf words the changes for the manager, stands in the order of what needs action now.
func changesPartOf(a *model.Assessment, opt Options) *changesPart {
	e := opt.Against
	if e == nil {
		return nil
	}
	p := &changesPart{AsOf: e.AsOf, Mixed: e.Invented != opt.Invented}
	words, matters := map[model.Pair][]string{}, map[model.Pair]bool{}
	for _, c := range opt.changes {
		key := model.Pair{Bed: c.Bed, Species: c.Species}
		switch c.What {
		case aboutBed:
			p.Beds = append(p.Beds, fmt.Sprintf("%s: %s.", bedWords(a, c.Bed), c.Words))
		case aboutStand:
			p.Beds = append(p.Beds, fmt.Sprintf("%s, %s: %s.", bedWords(a, c.Bed), c.Species, c.Words))
		case aboutStock, aboutOfftake, aboutVerdict:
			words[key] = append(words[key], c.Words)
			matters[key] = matters[key] || c.What != aboutStock || c.Finding != withinIntervals && c.Finding != cannotCompare
		case aboutRegrowth:
			p.Regrow = append(p.Regrow, fmt.Sprintf("%s, %s: %s.", bedWords(a, c.Bed), c.Species, c.Words))
		case aboutRule:
			p.Rules = append(p.Rules, capital(c.Words)+".")
		case aboutInput:
			switch {
			case c.Before == "":
				p.New = append(p.New, c.Item)
			case c.After == "":
				p.Gone = append(p.Gone, c.Item)
			default:
				p.Changed = append(p.Changed, c.Item)
			}
		case aboutRun:
			p.Run = append(p.Run, capital(c.Words)+".")
		}
	}
	folded, _ := alike(a)
	for _, i := range byAction(a) {
		u := &a.Units[i]
		if list := words[u.Pair]; len(list) > 0 {
			s := changedStand{Anchor: anchorOf(a, i, folded), Bed: bedName(u), Species: u.Species, Words: strings.Join(list, "; ") + "."}
			if u.Row != nil {
				s.Common = u.Row.CommonName
			}
			if matters[u.Pair] {
				p.Stands = append(p.Stands, s)
			} else {
				p.Minor = append(p.Minor, s)
			}
		}
	}
	if n := len(a.Units) - len(p.Stands) - len(p.Minor) - newStands(opt.changes, a); n > 0 {
		p.Same = plural(n, "stand has", "stands have") + " the stock, the offtake and the verdict they had."
		if n == 1 {
			p.Same = "1 stand has the stock, the offtake and the verdict it had."
		}
	}
	return p
}

// newStands counts the stands that the earlier report did not have.
func newStands(list []change, a *model.Assessment) (n int) {
	for _, c := range list {
		if c.Before != "" {
			continue
		}
		switch c.What {
		case aboutStand:
			n++
		case aboutBed:
			for i := range a.Units {
				if a.Units[i].Bed == c.Bed {
					n++
				}
			}
		}
	}
	return n
}

// bedWords is the name of a bed of the folder, its label where it is no longer there.
func bedWords(a *model.Assessment, id string) string {
	if i, ok := a.Folder.BedAt(id); ok {
		return cmp.Or(place(a, a.Folder.Beds[i]).Name, id)
	}
	return id
}

// anchorOf is where the page tells of a stand: its own part, or that of its bed where stands share a line.
func anchorOf(a *model.Assessment, i int, folded map[int]bool) string {
	if folded[i] {
		return bedAnchor(a, a.Units[i].Bed)
	}
	return unitAnchor(i)
}

// Files says which files of the survey folder are not those of the earlier report.
func (p changesPart) Files() string {
	var parts []string
	for _, list := range []struct {
		what  string
		files []string
	}{{"changed", p.Changed}, {"new", p.New}, {"no longer there", p.Gone}} {
		if len(list.files) > 0 {
			parts = append(parts, list.what+": "+listed(list.files))
		}
	}
	if len(parts) == 0 {
		return "The files of the survey folder are the same."
	}
	return "Files of the survey folder " + strings.Join(parts, "; ") + "."
}
