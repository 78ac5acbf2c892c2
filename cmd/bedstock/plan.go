package main

import (
	"encoding/json"
	"errors"
	"fmt"

	"bedstock/cmd/bedstock/internal/output"
	"bedstock/model"
	"bedstock/model/plan"
	"bedstock/survey"
)

// planCmd plans the next survey.
type planCmd struct {
	Survey string  `arg:"" help:"The survey folder."`
	Out    string  `short:"o" placeholder:"DIR" help:"Also write the plan with its places into this folder, whole or not at all."`
	CV     string  `name:"cv" placeholder:"0.2" help:"The coefficient of variation to reach for each stock that is cut (default: cv of [plan] in rules.toml, 0.2)."`
	Hours  float64 `placeholder:"40" help:"Instead: the smallest CVs that so many hours of the team allow."`
	Tides  int     `placeholder:"10" help:"Instead: the smallest CVs that so many low waters allow."`
	From   string  `placeholder:"DATE" help:"With tides.csv: lay the beds on low waters from this day on (default: four weeks before the season of the last surveys)."`
	To     string  `placeholder:"DATE" help:"The last day for that (default: four weeks after that season)."`
	source
	seeded
	filter
	shown
	Force bool `help:"Keep a folder that is not ours or was changed under another name (DIR.kept-N) and write DIR anew."`
}

// Run plans, prints and, where asked for, writes the next survey.
func (c planCmd) Run(e *env) error {
	opt, err := c.wanted()
	if err != nil {
		return err
	}
	from, to, err := c.dates()
	if err != nil {
		return err
	}
	c.tides = true
	o, err := c.checked(c.Survey, filter{Bed: c.Bed, Species: c.Species}, c.shown)
	if err != nil {
		return err
	}
	c.doubts(e, o)
	p, err := model.PlanSurvey(o.folder, o.rules, opt)
	var short model.BudgetError
	if errors.As(err, &short) {
		return usageError("the budget is too small: " + short.Error() + "\nhint: give more, or name fewer beds with --bed")
	}
	if err != nil {
		return err
	}
	var laid *model.Laid
	if l, ok := model.LayDays(o.folder, o.rules, p, from, to); ok {
		laid = &l
	} else if c.From+c.To != "" {
		return usageError("--from and --to are for low waters, and the folder has no tides.csv with rows\nhint: " + noTides)
	}
	hint := fmt.Sprintf("bedstock plan %s -o DIR writes the places as CSV, GeoJSON and GPX, field sheets to print and the rows to type them into", typed(c.Survey))
	if c.Out != "" {
		if err := c.write(e, o, p, laid); err != nil {
			return err
		}
		hint = fmt.Sprintf("print %[1]s/sheets, type what was found into %[1]s/quadrats.csv and put its rows below the folder's own; read %[1]s/places.csv; go only at low water you have looked up, in pairs, with the tide's turn agreed", c.Out)
	}
	return c.screen(e, screen{planTable(p), c.people(p, laid, o.rules, opt), hint})
}

// wanted reads what is aimed at.
func (c planCmd) wanted() (model.PlanOptions, error) {
	opt := model.PlanOptions{Seed: c.Seed, Species: c.Species, Beds: func(bed string) bool { return among(c.Bed, bed) }}
	given := 0
	if c.CV != "" {
		given++
		v, ok := share(c.CV)
		if !ok || v < 0.01 || v > 2 {
			return opt, usageError(fmt.Sprintf("--cv %q is not a number such as 0.2 or 20%%, from 0.01 to 2", c.CV))
		}
		opt.CV = v
	}
	if c.Hours != 0 {
		given++
		if !(c.Hours > 0 && c.Hours <= 10000) {
			return opt, usageError("--hours is not between 0 and 10000")
		}
		opt.Budget.Minutes = c.Hours * 60
	}
	if c.Tides != 0 {
		given++
		if c.Tides < 0 || c.Tides > 1000 {
			return opt, usageError("--tides is not between 1 and 1000")
		}
		opt.Budget.Tides = c.Tides
	}
	if given > 1 {
		return opt, usageError("--cv, --hours and --tides: each asks for a plan of its own\nhint: give one of them at a time")
	}
	return opt, nil
}

// dates reads the days that are looked at; [survey.NoDay] where none is given.
func (c planCmd) dates() (from, to survey.Day, err error) {
	out := [2]survey.Day{survey.NoDay, survey.NoDay}
	for i, s := range []string{c.From, c.To} {
		if s == "" {
			continue
		}
		if out[i], err = survey.ParseDay(s); err != nil {
			return from, to, usageError([]string{"--from", "--to"}[i] + ": " + err.Error())
		}
	}
	if out[0] != survey.NoDay && out[1] != survey.NoDay && out[1] < out[0] {
		return from, to, usageError("--to is before --from")
	}
	return out[0], out[1], nil
}

// write writes the folder.
func (c planCmd) write(e *env, o *opened, p plan.Plan, laid *model.Laid) error {
	files, err := planFiles(p, laid, o, e.note)
	if err != nil {
		return err
	}
	text, err := json.Marshal(map[string]any{"values": settingsByName(o.rules), "cv": c.CV, "hours": c.Hours, "tides": c.Tides, "from": c.From, "to": c.To, "beds": c.Bed, "species": c.Species})
	if err != nil {
		return err
	}
	m := output.Manifest{Version: version, Command: "plan", AsOf: o.folder.AsOf.String(), Seed: p.Seed, Invented: o.invented, Rules: text}
	for _, b := range p.Beds {
		for _, w := range b.Warnings {
			m.Warnings = append(m.Warnings, b.Bed+": "+w)
		}
	}
	if laid != nil {
		for _, w := range laid.Without {
			m.Warnings = append(m.Warnings, w.Bed+": no day: "+whyWithout(w, *laid, o.rules))
		}
	}
	m.Inputs = inputSums(o.folder)
	return e.writing(func() error {
		return output.Write(c.Out, files, m, output.Options{Force: c.Force, SurveyDir: o.dir, Note: e.note, Stop: e.stop})
	})
}
