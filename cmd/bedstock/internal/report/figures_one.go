package report

import (
	"fmt"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/plots"
	"bedstock/survey"
)

// shoreKinds and standKinds are the kinds of figures over all beds and of one species on one bed.
var (
	shoreKinds = []string{KindPressure, KindLimits, KindMap}
	standKinds = []string{KindRecovery, KindYield, KindHistory, KindLengths, KindEvidence}
)

// Kinds are the names of all figures, those over all beds first.
func Kinds() []string { return append(append(slices.Clone(shoreKinds), standKinds...), KindRegrowth) }

// OverAll tells whether a figure shows all beds; the others show one species on one bed.
func OverAll(kind string) bool { return slices.Contains(shoreKinds, kind) }

// One is the figure of a kind, of a bed and species where it is one of those. The error says what the stand lacks.
func One(a *model.Assessment, kind, bed, species string, opt Options) (plots.Figure, error) {
	d := newDrawing(a, opt)
	if OverAll(kind) {
		f := d.figure(kind, nil)
		f.ID = kind
		return f, nil
	}
	if kind == KindLengths {
		d.lengths = survey.Lengths(a.Folder, a.Rules.Survey)
	}
	i := slices.IndexFunc(a.Units, func(u model.Unit) bool { return u.Bed == bed && u.Species == species })
	if i < 0 {
		return plots.Figure{}, fmt.Errorf("%s was never found on %s", species, bed)
	}
	u := &a.Units[i]
	if !d.has(kind, u) {
		return plots.Figure{}, fmt.Errorf("no %s figure of %s on %s: %s", kind, species, bed, lack(kind, u))
	}
	f := d.figure(kind, u)
	f.ID = slug(kind, bed, species)
	return f, nil
}

// OnePlot is the figure of a regrowth plot; the species may be blank where the plot has one only.
func OnePlot(a *model.Assessment, name, species string, opt Options) (plots.Figure, error) {
	p, ok := plotNamed(a, name, species)
	if names := PlotNames(a); !ok && len(names) == 0 {
		return plots.Figure{}, fmt.Errorf("no regrowth plot %q: regrowth.csv has none", name)
	}
	if !ok {
		return plots.Figure{}, fmt.Errorf("no one regrowth plot %q; there are %s", name, strings.Join(PlotNames(a), ", "))
	}
	f := plots.Regrowth(regrowthInput(p, opt))
	f.ID = slug(KindRegrowth, name, species)
	return f, nil
}

// lack says why a stand has no figure of a kind.
func lack(kind string, u *model.Unit) string {
	switch {
	case kind == KindLengths:
		return "no frond of it was measured"
	case kind == KindEvidence:
		return ifElse(u.Growth.Reason != "", u.Growth.Reason, "the growth model could not be asked")
	case u.Basis == nil:
		return ifElse(u.Reason != "", u.Reason, "it has no advice")
	case u.Basis.Stand.Annual:
		return "an annual comes back from spores, not from what is left standing"
	}
	return "nothing of it is long enough to be cut"
}
