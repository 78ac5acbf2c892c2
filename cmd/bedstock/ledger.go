package main

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/model"
	"bedstock/survey"
)

// ledgerCmd shows how the season's cut stands to what was advised and decided.
type ledgerCmd struct {
	Survey string `arg:"" help:"The survey folder."`
	On     string `placeholder:"DATE" help:"The day of the ledger, YYYY-MM-DD (default: today); rows dated later are left out."`
	Rules  string `placeholder:"FILE" type:"existingfile" help:"A rules file instead of the folder's own rules.toml."`
	drawn
	Permit []string `sep:"none" placeholder:"PERMIT" help:"Only this permit; may be given several times."`
	All    bool     `help:"The seasons of earlier years too, not only those of the last twelve months, and stands of which nothing was decided or cut."`
	filter
	shown
}

// Run works out and prints the ledger.
func (c ledgerCmd) Run(e *env) error {
	s := source{On: c.On, Rules: c.Rules, leaveLater: c.On != ""}
	if s.On == "" {
		s.On, s.clock, s.eachLate = time.Now().Format(time.DateOnly), true, true
	}
	show := c.shown
	show.Strict = false // what is found is shown first
	o, err := s.checked(c.Survey, filter{Bed: c.Bed}, show)
	if err := errors.Join(err, c.check(o)); err != nil {
		return err
	}
	c.doubts(e, o)
	if n := o.folder.Later; n > 0 && !c.Quiet {
		e.note(fmt.Sprintf("%s dated after %s %s left out", plural(n, "row"), o.folder.AsOf, ifOne(n, "is", "are")))
	}
	a := c.assessed(e, o, func(p model.Pair) bool { return c.keep(p.Bed, p.Species) }, nil)
	l := a.Ledger(model.LedgerOptions{AdviceSince: c.since(a.Folder)})
	c.narrow(&l)
	hint := "bedstock quota " + typed(c.Survey) + " shows what the advice rests on"
	if !c.All {
		hint += "; --all the seasons of earlier years and stands that are not used"
	}
	if err := c.screen(e, screen{report.Ledger(l, true), c.text(a, l), hint}); err != nil {
		return err
	}
	if c.Strict && (len(o.folder.Doubts) > 0 || len(l.Strays) > 0 || overs(l) > 0) {
		e.note(fmt.Sprintf("--strict: %s over, %s that should not be, %s", plural(overs(l), "row"), plural(len(l.Strays), "cut"),
			plural(len(o.folder.Doubts), "warning")))
		return errSilent{exitRefused}
	}
	return nil
}

// check refuses a species or permit that the folder does not name.
func (c ledgerCmd) check(o *opened) error {
	if o == nil {
		return nil
	}
	species := o.folder.NamedSpecies()
	for _, cut := range o.folder.Cuts {
		species = append(species, cut.Species)
	}
	for _, u := range o.folder.Unallocated {
		species = append(species, u.Species)
	}
	for _, d := range o.folder.Decisions {
		species = append(species, d.Species)
	}
	for _, s := range c.Species {
		if !slices.ContainsFunc(species, func(x string) bool { return among([]string{s}, x) }) {
			return usageError(fmt.Sprintf("--species %q: neither in the surveys of this folder nor cut or granted", s))
		}
	}
	for _, p := range c.Permit {
		if !slices.ContainsFunc(model.PermitNames(o.folder), func(x string) bool { return among([]string{p}, x) }) {
			return usageError(fmt.Sprintf("--permit %q: not in permits.csv, harvest.csv or decisions.csv", p))
		}
	}
	return nil
}

// since is the day from which on seasons that ended are shown: a year back, with --all all.
func (c ledgerCmd) since(f *survey.Folder) survey.Day {
	if c.All {
		return 1
	}
	return f.AsOf - report.LedgerYear
}

// narrow drops the rows that are not asked for.
func (c ledgerCmd) narrow(l *model.Ledger) {
	if !c.All {
		*l = report.LedgerShown(*l)
	}
	if len(c.Permit) == 0 {
		return
	}
	l.Rows = slices.DeleteFunc(l.Rows, func(r *model.LedgerRow) bool { return r.Permit == "" || !among(c.Permit, r.Permit) })
	l.Strays = slices.DeleteFunc(l.Strays, func(s model.Stray) bool { return s.Permit == "" || !among(c.Permit, s.Permit) })
	l.Unallocated, l.Totals = nil, nil
}

// overs counts the rows in which more is cut than may be.
func overs(l model.Ledger) (n int) {
	for _, r := range l.Rows {
		if r.Over() {
			n++
		}
	}
	return n
}
