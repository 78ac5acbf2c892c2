package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
)

// quotaCmd shows the advised offtake, and what other amounts would lead to.
type quotaCmd struct {
	Survey string `arg:"" help:"The survey folder."`
	source
	drawn
	filter
	shown
	Calendar bool     `help:"Show the years in which the beds of a rotation are cut."`
	Limits   bool     `help:"Show the limits beside the offtake, as with --bed for one bed."`
	Take     []string `sep:"none" placeholder:"BED/SPECIES=KG" help:"Try another amount a year: limits, risk and the stock of the next year, beside the advice; may be given several times."`
	Fraction []string `sep:"none" placeholder:"BED/SPECIES=0.25" help:"The same for a fraction of what is long enough to cut; may be given several times."`
	Risk     string   `placeholder:"0.1" help:"Another highest yearly risk than that of the rules, for this run."`
	Choices  bool     `help:"What cutting 0, 5, ... 60 % would lead to."`
	Years    bool     `help:"The coming years under no cut, the advice and a third."`
	Explain  []string `sep:"none" placeholder:"BED/SPECIES" help:"How the offtake came about, step by step; may be given several times."`
}

// Run works out and prints what is asked for: the offtake per bed, species and season where nothing else is.
func (c quotaCmd) Run(e *env) error {
	if err := c.sensible(); err != nil {
		return err
	}
	if c.Risk != "" {
		risk, ok := share(c.Risk)
		if !ok {
			return usageError(fmt.Sprintf("--risk %q is not a number such as 0.1 or 10%%", c.Risk))
		}
		c.laid = append(c.laid, laid{"risk", "--risk", risk})
	}
	o, err := c.checked(c.Survey, c.filter, c.shown)
	if err != nil {
		return err
	}
	takes, err := c.takes(o.folder)
	if err != nil {
		return err
	}
	explained, err := c.explained(o.folder)
	if err != nil {
		return err
	}
	c.doubts(e, o)
	a := c.assessed(e, o, c.only(takes, explained), nil)
	switch {
	case c.Calendar:
		return c.calendar(e, a)
	case len(takes) > 0:
		return c.screen(e, c.tried(a, takes))
	case c.Choices:
		return c.screen(e, c.choices(a))
	case c.Years:
		return c.screen(e, c.years(a))
	case len(explained) > 0:
		return c.screen(e, c.explain(a, explained))
	}
	return c.screen(e, screen{c.narrow(report.Quota(a)), c.advised(a), fmt.Sprintf("bedstock report %s -o DIR writes this with figures and the basis", typed(c.Survey))})
}

// only narrows the assessment to what is shown.
func (c quotaCmd) only(takes []take, explained []model.Pair) func(model.Pair) bool {
	named := map[model.Pair]bool{}
	for _, t := range takes {
		named[t.Pair] = true
	}
	for _, p := range explained {
		named[p] = true
	}
	return func(p model.Pair) bool { return c.keep(p.Bed, p.Species) && (len(named) == 0 || named[p]) }
}

// sensible refuses combinations that say nothing.
func (c quotaCmd) sensible() error {
	var ways []string
	for _, w := range []struct {
		name  string
		given bool
	}{{"--calendar", c.Calendar}, {"--limits", c.Limits}, {"--take and --fraction", len(c.Take)+len(c.Fraction) > 0}, {"--choices", c.Choices},
		{"--years", c.Years}, {"--explain", len(c.Explain) > 0}} {
		if w.given {
			ways = append(ways, w.name)
		}
	}
	if len(ways) > 1 {
		return usageError(strings.Join(ways, ", ") + ": each shows a table of its own\nhint: give one of them at a time")
	}
	if named := len(c.Take) + len(c.Fraction) + len(c.Explain); named > 0 && len(c.Bed)+len(c.Species) > 0 {
		return usageError(ways[0] + ": bed and species are named there; leave --bed and --species out")
	}
	return nil
}

// advised is the table of the offtake; where one stand is chosen, with what else could be chosen.
func (c quotaCmd) advised(a *model.Assessment) []table.Table {
	out := []table.Table{c.text(a)}
	if len(c.Bed) == 1 && len(c.Species) == 1 && !c.Limits && len(a.Units) == 1 {
		out = append(out, c.choices(a).people...)
	}
	return out
}

// limits tells whether the limits stand beside the offtake: where asked for, and where one bed leaves room for them.
func (c quotaCmd) limits() bool { return c.Limits || len(c.Bed) == 1 }

func (c quotaCmd) text(a *model.Assessment) table.Table {
	t := table.Table{Title: fmt.Sprintf("Advised offtake, kg wet, on %s (seed %d, %d draws)", a.Folder.AsOf, a.Seed, a.Draws),
		Columns: c.columns()}
	var notes noter
	silent := map[string]int{}
	var order []string
	for i := range a.Units {
		u := &a.Units[i]
		if !c.keep(u.Bed, u.Species) {
			continue
		}
		if manyUnknown(a, u) {
			key := fmt.Sprintf("%s: not assessed: %s", u.Bed, u.Reason)
			if silent[key] == 0 {
				order = append(order, key)
			}
			silent[key]++
			continue
		}
		for _, s := range u.Seasons {
			t.Add(c.row(a, u, s)...)
			notes.add(u.Bed+" "+u.Species, slices.DeleteFunc(slices.Clone(s.Warnings), inColumns)...)
		}
		notes.add(u.Bed+" "+u.Species, u.Warnings...)
	}
	t.Notes = append(c.inWords(a, func(u *model.Unit) bool { return !manyUnknown(a, u) }), notes.lines()...)
	for _, key := range order {
		t.Notes = append(t.Notes, fmt.Sprintf("%s (%d species)", key, silent[key]))
	}
	for _, use := range a.Uses() {
		if s := use.Sentence(model.Kg, model.KgDown); s != "" {
			t.Notes = append(t.Notes, s)
		}
	}
	if changed := a.Rules.ChangedSentence(); changed != "" {
		t.Notes = append(t.Notes, changed)
	}
	t.Notes = append(t.Notes, a.AbsentNotes()...)
	t.Notes = append(t.Notes, "this is advice: the local authority, codes and licensed people decide")
	return t
}

// manyUnknown tells whether a unit without an advice shares a line with others of its bed: where there are many units.
func manyUnknown(a *model.Assessment, u *model.Unit) bool {
	return u.Status == model.NotAssessed && len(a.Units) > 40
}

// inColumns tells whether a warning says what the columns granted and cut and the note beside them show already.
func inColumns(warning string) bool {
	return strings.HasPrefix(warning, "granted ") || strings.Contains(warning, " kg are cut already in the ")
}

func (c quotaCmd) columns() []table.Column {
	out := []table.Column{col("bed"), col("species"), col("season"), col("from, to"), col("offtake", "kg"), col("granted", "kg"),
		col("cut", "kg"), col("may still cut", "kg"), col("limited by")}
	if c.limits() {
		out = append(out, col("cap", "kg a year"), col("replacement", "kg a year"), col("risk limit", "kg a year"), col("low stock", "factor"))
	}
	return append(out, col("risk", "%"), col("note"))
}

func (c quotaCmd) row(a *model.Assessment, u *model.Unit, s model.Season) []table.Cell {
	row := []table.Cell{table.Text(u.Bed), table.Text(u.Species), table.Text(s.Name), table.Text(fromTo(s)), kg(s.AdvisedKg), report.Grams(s.GrantedKg),
		report.Grams(s.CutKg), report.Grams(s.LeftKg()), table.Text(string(s.LimitedBy))}
	limits, risk := make([]table.Cell, 4), table.Missing
	if y := s.Year; y != nil {
		limits = []table.Cell{kg(y.CapKg), kg(y.ReplacementKg), kg(y.RiskKg), table.Number(y.LowStock, 2)}
		if s.Status == model.Assessed {
			risk = riskCell(y.Risk)
		}
	}
	if c.limits() {
		row = append(row, limits...)
	}
	return append(row, risk, table.Text(note(a, u, s)))
}

// fromTo writes the days of a season, the second without its year where it is that of the first.
func fromTo(s model.Season) string {
	to := s.To.String()
	if s.From.Year() == s.To.Year() {
		to = to[len("2006-"):]
	}
	return s.From.String() + " to " + to
}

// note says what must be known of a season at once: that it is cut or granted beyond its advice and at what risk, or why there is none.
func note(a *model.Assessment, u *model.Unit, s model.Season) string {
	var parts []string
	if s.Over() {
		parts = append(parts, "STOP: cut beyond the advice")
		if risk := report.RiskAsCut(a, u); risk != "" {
			parts = append(parts, "risk "+risk)
		}
	}
	if s.GrantOver() {
		parts = append(parts, "granted above the advice")
	}
	if s.UnallocatedKg > 0 {
		parts = append(parts, fmt.Sprintf("perhaps %s kg cut besides, unallocated", model.Kg(s.UnallocatedKg)))
	}
	if s.Reason != "" {
		parts = append(parts, s.Reason)
	}
	return strings.Join(parts, "; ")
}

// kg is a weight with the digits that [model.Kg] gives it, so that the table and the sentences below it agree.
func kg(v float64) table.Cell { return report.Weight(v) }

// riskCell is a risk in percent with the digits of [model.RiskWords], so that the table and the report agree.
func riskCell(risk float64) table.Cell {
	words := strings.TrimSuffix(model.RiskWords(risk), " %")
	v, err := strconv.ParseFloat(words, 64)
	switch {
	case math.IsNaN(risk):
		return table.Missing
	case err != nil: // under 0.1, over 99
		return table.Text(strings.NewReplacer("under ", "<", "over ", ">").Replace(words))
	case v < 1:
		return table.Number(v, 1)
	}
	return table.Number(v, 2)
}
