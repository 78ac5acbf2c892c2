package report

import (
	"cmp"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/survey"
)

//go:embed template/*.gohtml
var templates embed.FS

//go:embed style.css
var style string

// page is everything that report.html shows, in words, ready to be laid out.
type page struct {
	Title    string
	Invented bool
	Version  string
	AsOf     string
	Level    string // of every interval
	Style    template.CSS

	Advice     string   // for the whole shore, one sentence
	Uses       []string // what of the advice is cut and granted, a sentence a season
	Rules      string   // those that are not the defaults; empty: none
	Counts     []count
	Horizon    int
	LimitShare string
	Seasons    []string // headings of the seasons
	First      []firstRow
	Find       *finder // nil: nothing to pick from
	Folds      []fold
	Totals     []total
	Unplaced   []string // what was landed without a bed or species
	Pressure   *pictured

	LimitsFigure, Map *pictured      // over all beds
	Uncut             string         // how many stands the figure over all beds leaves out
	Public            *publicEdition // nil: everything is told
	Changes           *changesPart   // nil: compared with no report
	Rotations         []rotationPart // calendars of the beds that are cut in turn
	Ledger            *ledgerPart    // nil: nothing was decided and nothing is cut, or it is withheld
	Beds              []bedPart
	Undrawn           string // which figures are left out; empty: none
	Methods           *methods
	Warnings          []string
	Aside             []asideRow
	Absent            []string
}

// count is how many stands are in a state.
type count struct {
	badge
	N int
}

// pictured is a figure in the page.
type pictured struct {
	ID      string
	SVG     template.HTML
	Caption string
	Notes   []string
}

var layout = template.Must(template.New("page").Funcs(template.FuncMap{
	"join": strings.Join, "capital": capital,
}).ParseFS(templates, "template/*.gohtml"))

// HTML is report.html: one file that loads nothing, for the manager first, then the officer, then the scientist. The
// same assessment, figures and options give the same bytes.
func HTML(a *model.Assessment, figs []Figure, opt Options) ([]byte, error) {
	drawn := shelve(figs)
	beds := newBedParts(a, drawn, opt)
	top, bottom := pieces{thrift: a.Thrift}, pieces{thrift: a.Thrift}
	var middle [][]byte
	var errs [3]error
	each(2, func(i int) { // what stands about the beds is worked out beside them
		if i == 0 {
			middle, errs[0] = beds.laid()
			return
		}
		p := about(a, drawn, opt)
		p.Beds = beds.parts
		errs[1] = layout.ExecuteTemplate(&top, "top", p)
		p.Ledger, p.Methods = nil, methodsOf(a, figs) // of a long shore either takes much memory
		errs[2] = layout.ExecuteTemplate(&bottom, "bottom", p)
	})
	if err := errors.Join(errs[:]...); err != nil {
		return nil, fmt.Errorf("report.html: %w", err)
	}
	return a.Thrift.Join(slices.Concat(top.all(), middle, bottom.all())...), nil
}

// pieces is a text on its way to the page, in pieces: to make room for one of a long shore takes several times what it is long.
type pieces struct {
	thrift *model.Thrift
	done   [][]byte
	last   []byte
}

// pieceBytes is about how long a piece is.
const pieceBytes = 4 << 20

// Write adds to the text.
func (p *pieces) Write(b []byte) (int, error) {
	if len(p.last)+len(b) > pieceBytes {
		p.all()
	}
	p.last = append(p.last, b...)
	return len(b), nil
}

// all is the text so far.
func (p *pieces) all() [][]byte {
	if len(p.last) > 0 {
		p.done, p.last = append(p.done, p.thrift.Keep(p.last)), nil
	}
	return p.done
}

// about is the page but for the beds and the methods.
func about(a *model.Assessment, drawn shelf, opt Options) page {
	p := page{Title: title(a), Invented: opt.Invented, Version: opt.Version, AsOf: a.Folder.AsOf.String(),
		Level: percent(a.Rules.Survey.Confidence), Style: template.CSS(style), Advice: advice(a), Counts: counts(a), Uses: uses(a, opt), Rules: a.Rules.ChangedSentence(),
		Horizon: a.Rules.Offtake.Horizon, LimitShare: percent(a.Rules.Offtake.LimitOfK),
		Seasons: seasonHeads(a), Totals: totals(a), Unplaced: unplacedLines(a), Warnings: slices.DeleteFunc(slices.Clone(a.Warnings), forMethods)}
	p.First, p.Folds = firstScreen(a)
	p.Find = finderOf(p.First)
	if len(pressureRows(a)) > 0 {
		p.Pressure = drawn.pick(KindPressure, "", "")
	}
	p.LimitsFigure, p.Map = drawn.pick(KindLimits, "", ""), drawn.pick(KindMap, "", "")
	p.Uncut = uncut(a)
	p.Rotations = rotationParts(a)
	p.Ledger = ledgerPartOf(a, opt)
	p.Changes = changesPartOf(a, opt)
	p.Public = opt.public
	p.Undrawn = undrawn(a, opt.Figures)
	p.Aside = asideRows(a.Folder.SetAside)
	p.Absent = absent(a)
	return p
}

// pick is the figure of a kind for a bed and species; nil: there is none.
func (s shelf) pick(kind, bed, species string) *pictured {
	if f, ok := s[figureKey{kind, bed, species}]; ok {
		return shown(f)
	}
	return nil
}

// shelf holds the figures of a report by what they show.
type shelf map[figureKey]Figure

type figureKey struct{ kind, bed, species string }

func shelve(figs []Figure) shelf {
	s := shelf{}
	for _, f := range figs {
		if len(f.SVG) > 0 {
			s[figureKey{f.Kind, f.Bed, f.Species}] = f
		}
	}
	return s
}

// shown is a figure as it stands in the page. The SVG is drawn by the plots package, which escapes every text in it.
func shown(f Figure) *pictured {
	return &pictured{ID: f.Name, SVG: template.HTML(f.SVG), Caption: f.Caption, Notes: f.Warnings} //nolint:gosec
}

func title(a *model.Assessment) string {
	names := shores(a)
	if len(names) > 3 || len(names) == 0 {
		return "How much seaweed may be cut"
	}
	return "How much seaweed may be cut: " + listed(names)
}

// shores lists the shores by name; beds without one are left out.
func shores(a *model.Assessment) []string {
	var out []string
	for _, b := range a.Folder.Beds {
		if s := place(a, b).Shore; s != "" {
			out = append(out, s)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// uncut says how many stands the figure over all beds leaves out.
func uncut(a *model.Assessment) string {
	n, rows := 0, 0
	for i := range a.Units {
		if notCut(&a.Units[i]) {
			n++
		}
	}
	if rows = len(pressureRows(a)); rows > mostRows {
		return fmt.Sprintf("The %d stands with the most pressure of %d; %d more were not cut between their last two surveys.", mostRows, rows, n)
	}
	if n == 0 {
		return ""
	}
	return plural(n, "stand is", "stands are") + " not shown: nothing was cut there between the last two surveys."
}

// asideRow is a row of setaside.csv in words.
type asideRow struct {
	File, Where, Reason, By string
	Rows                    int
}

func asideRows(list []survey.SetAside) []asideRow {
	var out []asideRow
	for _, s := range list {
		var where []string
		for _, w := range []string{s.Bed, s.Day.String(), ifElse(s.Quadrat != "", "quadrat "+s.Quadrat, ""), s.Species} {
			if w != "" {
				where = append(where, w)
			}
		}
		by := strings.Trim(s.By+", "+s.On.String(), ", ")
		out = append(out, asideRow{s.File, cmp.Or(strings.Join(where, ", "), "the whole file"), s.Reason, cmp.Or(by, "not said"), s.Rows})
	}
	return out
}

// absent lists, per bed, the species that were sought and never found.
func absent(a *model.Assessment) []string {
	by := map[string][]string{}
	for _, p := range a.Absent {
		by[p.Bed] = append(by[p.Bed], p.Species)
	}
	var out []string
	for _, b := range a.Folder.Beds {
		switch list := by[b.ID]; {
		case len(list) > 12:
			out = append(out, fmt.Sprintf("%s: %d species", cmp.Or(place(a, b).Name, b.ID), len(list)))
		case len(list) > 0:
			out = append(out, fmt.Sprintf("%s: %s", cmp.Or(place(a, b).Name, b.ID), listed(list)))
		}
	}
	return out
}
