package report

import (
	"fmt"
	"runtime"
	"strings"
	"sync"

	"bedstock/model"
	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/plots"
	"bedstock/survey"
)

// Kinds of figures, by the names with which they are asked for.
const (
	KindPressure = "pressure" // all beds
	KindLimits   = "limits"   // all beds
	KindMap      = "map"      // all beds
	KindRecovery = "recovery" // one species on one bed
	KindYield    = "yield"    // one species on one bed
	KindHistory  = "history"  // one species on one bed
	KindLengths  = "lengths"  // one species on one bed
	KindEvidence = "evidence" // one species on one bed
	KindRegrowth = "regrowth" // one regrowth plot
)

// Figure is one figure of the report.
type Figure struct {
	Name         string // "NN-slug", the file name without folder and ending
	Kind         string
	Bed, Species string // empty: all
	Plot         string // of a regrowth plot
	plots.Figure
	SVG []byte

	unit    int              // place of the stand in Units, of a figure of one
	choices []offtake.Choice // what a yield figure was drawn from
}

// Figures draws the figures of the report: the map, the pressure and the limits over all beds, then for each stand with
// an advice its recovery curve and its yield against risk, for each with a stock its history, and its lengths where
// fronds were measured; last the regrowth plots. The order is that of the beds and species, and the figures are the same on any number of cores.
// With more than 60 stands to draw, only those that need action are drawn. What opt.Figures leaves out costs nothing.
func Figures(a *model.Assessment, opt Options) ([]Figure, error) {
	d := newDrawing(a, opt)
	var out []Figure
	if opt.Figures != DrawNone {
		out = []Figure{{Kind: KindPressure}, {Kind: KindLimits}, {Kind: KindMap}}
	}
	if opt.Figures == DrawAll || opt.Figures == "" {
		d.lengths = survey.Lengths(a.Folder, a.Rules.Survey)
		out = append(out, d.single()...)
	}
	for i := range out {
		out[i].Name = fmt.Sprintf("%0*d-%s", max(2, len(fmt.Sprint(len(out)))), i+1, slug(out[i].Kind, out[i].Bed+out[i].Plot, out[i].Species))
	}
	errs := make([]error, len(out))
	each(len(out), func(i int) { errs[i] = out[i].render(d) })
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("figure %s: %w", out[i].Name, err)
		}
	}
	return out, nil
}

// drawing is what figures are drawn from.
type drawing struct {
	a        *model.Assessment
	opt      Options
	lengths  []survey.LengthSummary
	cuts     map[model.Pair][]survey.Cut
	landings survey.UnallocatedIndex
}

func newDrawing(a *model.Assessment, opt Options) drawing {
	return drawing{a: a, opt: opt, cuts: model.CutsByPair(a.Folder.Cuts), landings: survey.NewUnallocatedIndex(a.Folder)}
}

// single are the figures of single stands and regrowth plots, not drawn yet.
func (d drawing) single() (out []Figure) {
	for _, i := range drawn(d.a) {
		u := &d.a.Units[i]
		for _, kind := range []string{KindRecovery, KindYield, KindHistory, KindLengths} {
			if d.has(kind, u) {
				out = append(out, Figure{Kind: kind, Bed: u.Bed, Species: u.Species, unit: i})
			}
		}
	}
	for _, p := range d.a.Plots {
		if p.Status != growth.PlotNot {
			out = append(out, Figure{Kind: KindRegrowth, Plot: p.Plot, Species: p.Species})
		}
	}
	return out
}

// has tells whether a stand has what a figure of the kind shows.
func (d drawing) has(kind string, u *model.Unit) bool {
	switch kind {
	case KindRecovery:
		return u.Basis != nil
	case KindYield:
		return u.Basis != nil && !u.Basis.Stand.Annual && !nothingMeasured(u) && u.Basis.Year.ExploitableQ > 0
	case KindLengths:
		_, ok := lengthInput(d.a, u, d.lengths, d.opt)
		return ok
	case KindEvidence:
		_, ok := evidenceInput(d.a, u, d.opt)
		return ok
	}
	return true
}

// figure is a figure of a kind; u is nil for those over all beds.
func (d drawing) figure(kind string, u *model.Unit) plots.Figure {
	switch kind {
	case KindPressure:
		return plots.Pressure(pressureInput(d.a, d.opt))
	case KindLimits:
		return plots.Limits(limitInput(d.a, d.opt))
	case KindMap:
		return plots.Map(mapInput(d.a, d.opt))
	case KindRecovery:
		return plots.Recovery(recoveryInput(d.a, u, d.opt))
	case KindYield:
		return plots.Yield(yieldInput(d.a, u, choicesDrawn(d.a, u), d.opt))
	case KindHistory:
		return plots.History(d.historyInput(u))
	case KindLengths:
		in, _ := lengthInput(d.a, u, d.lengths, d.opt)
		return plots.Lengths(in)
	case KindEvidence:
		in, _ := evidenceInput(d.a, u, d.opt)
		return plots.Evidence(in)
	}
	panic("report: no figure " + kind)
}

// render draws the figure.
func (f *Figure) render(d drawing) (err error) {
	switch {
	case f.Kind == KindRegrowth:
		p, _ := plotNamed(d.a, f.Plot, f.Species)
		f.Figure = plots.Regrowth(regrowthInput(p, d.opt))
	case f.Kind == KindYield:
		u := &d.a.Units[f.unit]
		f.choices = choicesDrawn(d.a, u)
		f.Figure = plots.Yield(yieldInput(d.a, u, f.choices, d.opt))
	case f.Bed != "":
		f.Figure = d.figure(f.Kind, &d.a.Units[f.unit])
	default:
		f.Figure = d.figure(f.Kind, nil)
	}
	f.ID, _, _ = strings.Cut(f.Name, "-") // its number: short, and no two figures of a page have one
	f.SVG, err = f.Figure.SVG()
	return err
}

// each calls do for 0 to n-1 on all cores. A panic in one of them is raised again here.
func each(n int, do func(int)) {
	next := make(chan int)
	var wg sync.WaitGroup
	var once sync.Once
	var crash any
	for range min(runtime.GOMAXPROCS(0), n) {
		wg.Go(func() {
			for i := range next {
				func() {
					defer func() {
						if p := recover(); p != nil {
							once.Do(func() { crash = p })
						}
					}()
					do(i)
				}()
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
	if crash != nil {
		panic(crash)
	}
}

// slug makes a file name of words: lower-case ASCII letters and digits, everything else one hyphen, 60 bytes at most.
func slug(words ...string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(strings.Join(words, "-")) {
		switch {
		case 'a' <= r && r <= 'z', '0' <= r && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	s := b.String()
	return strings.Trim(s[:min(len(s), 60)], "-")
}
