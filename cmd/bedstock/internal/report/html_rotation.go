package report

import (
	"cmp"
	"strconv"

	"bedstock/model"
)

// rotationPart is the calendar of a group of beds that are cut in turn.
type rotationPart struct {
	Name, Sentence string
	Rows           []turnRow
}

type turnRow struct{ Anchor, Bed, Year, Then, LastCut, Kg, Range, Note string }

func rotationParts(a *model.Assessment) []rotationPart {
	var out []rotationPart
	for _, r := range a.Rotations {
		p := rotationPart{Name: r.Name, Sentence: RotationSentence(r)}
		for _, t := range r.Turns {
			row := turnRow{Anchor: bedAnchor(a, t.Bed), Bed: nameOf(a, t.Bed), Year: strconv.Itoa(t.Year), Then: strconv.Itoa(t.Year + r.Period),
				LastCut: "none", Kg: "not known", Note: capital(t.Note)}
			if t.LastCut > 0 {
				row.LastCut = strconv.Itoa(t.LastCut)
			}
			if isNumber(t.Kg.Median) {
				s := withUnit(spanOf(t.Kg.Median, t.Kg.Lo, t.Kg.Hi))
				row.Kg, row.Range = s.Value, s.Range
			}
			p.Rows = append(p.Rows, row)
		}
		out = append(out, p)
	}
	return out
}

// nameOf is the name of a bed, its label where it has none.
func nameOf(a *model.Assessment, id string) string {
	if i, ok := a.Folder.BedAt(id); ok {
		return cmp.Or(place(a, a.Folder.Beds[i]).Name, id)
	}
	return id
}
