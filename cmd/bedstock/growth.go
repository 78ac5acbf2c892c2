package main

import (
	"fmt"
	"strings"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/model"
)

// growthCmd shows how fast it comes back and which evidence says so.
type growthCmd struct {
	Survey      string   `arg:"" help:"The survey folder."`
	Evidence    bool     `help:"What the species table, the regrowth plots and the surveys say of r and K, each by itself, and all together."`
	Plots       bool     `help:"The regrowth plots with every curve that was tried, and the plots of a species together."`
	Curve       string   `placeholder:"NAME" help:"The regrowth plots by one curve: ${curves}."`
	Check       bool     `help:"Each survey against what the ones before let one expect."`
	Sensitivity bool     `help:"r, K and the year's offtake if the table's r were half or twice what it is."`
	Explain     []string `sep:"none" placeholder:"BED/SPECIES" help:"How r, K and the stocks came about, with the numbers of each step; may be given several times."`
	Prior       []string `sep:"none" placeholder:"SPECIES:r=0.4,cv=0.3" help:"Try other values of the species table (r, cv, k, kcv) and show what they change; may be given several times."`
	Save        bool     `help:"With --prior: write these values into species.csv of the survey folder."`
	source
	drawn
	filter
	shown
}

// Run fits and prints what was asked for.
func (c growthCmd) Run(e *env) error {
	if err := c.sensible(); err != nil {
		return err
	}
	pairs, err := c.tryable()
	if err != nil {
		return err
	}
	for _, p := range pairs { // nothing else needs to be worked out
		c.Bed, c.Species = append(c.Bed, p.Bed), append(c.Species, p.Species)
	}
	o, a, err := c.assess(e, c.source, c.Survey, c.filter, c.shown)
	if err != nil {
		return err
	}
	v, err := c.view(e, o, a, pairs)
	if err != nil {
		return err
	}
	return c.screen(e, v)
}

// tryable refuses values that cannot be tried and stands that are not there before anything is worked out. It returns the
// stands to explain.
func (c growthCmd) tryable() ([]model.Pair, error) {
	if len(c.Prior) == 0 && len(c.Explain) == 0 {
		return nil, nil
	}
	o, err := c.open(c.Survey)
	if err != nil {
		return nil, err
	}
	if len(c.Prior) > 0 {
		_, err = c.trials(o.folder)
		return nil, err
	}
	return explained(c.Explain, o.folder, "r and K rest on all surveys")
}

func (c growthCmd) view(e *env, o *opened, a *model.Assessment, pairs []model.Pair) (screen, error) {
	switch {
	case c.Evidence:
		return c.evidence(a), nil
	case c.Plots || c.Curve != "":
		v := c.curves(a)
		if len(v.machine.Rows) == 0 {
			e.note("nothing to show: " + c.noPlots(a))
			v.people, v.hint = nil, ""
		}
		return v, nil
	case c.Check:
		return c.checks(a), nil
	case c.Sensitivity:
		return c.sensitivity(a), nil
	case len(pairs) > 0:
		return c.explain(a, pairs), nil
	case len(c.Prior) > 0:
		return c.priors(e, o, a)
	}
	v := screen{machine: c.narrow(report.Growth(a)),
		hint: fmt.Sprintf("--evidence shows what each source says, --plots the curves, --check and --sensitivity how far to trust it; bedstock quota %s turns it into an offtake", typed(c.Survey))}
	if t := c.plots(a); len(t.Rows) > 0 {
		v.people = append(v.people, t)
	}
	v.people = append(v.people, c.species(a), c.beds(a))
	return v, nil
}

// sensible refuses combinations that say nothing.
func (c growthCmd) sensible() error {
	var ways []string
	for _, w := range []struct {
		name  string
		given bool
	}{{"--evidence", c.Evidence}, {"--plots", c.Plots}, {"--curve", c.Curve != ""}, {"--check", c.Check},
		{"--sensitivity", c.Sensitivity}, {"--explain", len(c.Explain) > 0}, {"--prior", len(c.Prior) > 0}} {
		if w.given {
			ways = append(ways, w.name)
		}
	}
	switch {
	case len(ways) > 1:
		return usageError(strings.Join(ways, " and ") + " show different tables\nhint: give one of them at a time")
	case c.Save && len(c.Prior) == 0:
		return usageError("--save goes with --prior\nhint: --prior \"SPECIES:r=0.4,cv=0.3\" --save writes r and its cv into species.csv")
	case c.Curve != "" && !report.IsCurve(c.Curve):
		return usageError(fmt.Sprintf("--curve %q: there are %s", c.Curve, strings.Join(report.CurveNames(), ", ")))
	}
	return nil
}
