package main

import (
	"errors"
	"fmt"
	"time"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// checkCmd lists every mistake and warning in a folder.
type checkCmd struct {
	Survey  string       `arg:"" help:"The survey folder."`
	On      string       `placeholder:"DATE" help:"No date may lie after this day, YYYY-MM-DD (default: today)."`
	Rules   string       `placeholder:"FILE" type:"existingfile" help:"A rules file instead of the folder's own rules.toml."`
	Format  table.Format `default:"text" placeholder:"FORMAT" help:"text, csv or json (default text)."`
	Second  string       `placeholder:"FILE" type:"existingfile" help:"Compare a second typing of a table, cell by cell, with the folder's own."`
	FixList string       `placeholder:"FILE.csv" help:"Also write a list to work through: file, line, column, cell, what to do."`
	Force   bool         `help:"Replace a list that exists."`
	Strict  bool         `help:"Warnings count as errors (exit 3)."`
	Quiet   bool         `short:"q" help:"Print nothing where all is well."`
}

// Run checks the folder. What it finds is its result and goes to stdout.
func (c checkCmd) Run(e *env) error {
	if c.Second != "" {
		return c.second(e)
	}
	s := source{On: c.On, Rules: c.Rules, mostAlike: mostListed, tides: true, eachLate: true}
	if s.On == "" {
		s.On, s.clock = time.Now().Format(time.DateOnly), true
	}
	o, err := s.open(c.Survey)
	var bad refused
	var found survey.Problems
	var dialects []survey.Dialect
	var mapped []string
	switch {
	case errors.As(err, &bad):
		found, dialects, mapped = bad.problems, bad.dialects, bad.mapped
	case err != nil:
		return err
	default:
		found, dialects, mapped = o.folder.Doubts, o.folder.Dialects, o.folder.Mapped
	}
	read := readAs{dialects, mapped}
	all := kinds(found)
	if err := c.print(e, found, all, read, o); err != nil {
		return err
	}
	if c.FixList != "" {
		if err := c.fixList(e, all); err != nil {
			return err
		}
	}
	if len(found.Faults()) > 0 || c.Strict && len(found) > 0 {
		return errSilent{exitRefused}
	}
	return nil
}

func (c checkCmd) print(e *env, found survey.Problems, all []alike, read readAs, o *opened) error {
	if c.Format != table.FormatText {
		t := problemTable(found)
		read.add(&t)
		return t.Write(e.stdout, c.Format)
	}
	printKinds(e.stdout, all)
	if s := firstToDo(all); s != "" {
		fmt.Fprintln(e.stdout, s)
	}
	if o != nil && !c.Quiet {
		printAside(e.stdout, o.folder.SetAside)
		for _, u := range o.folder.Unfilled(o.rules.Survey.WindowDays) {
			if !u.Late() {
				fmt.Fprintln(e.stdout, u)
			}
		}
		printObservers(e, o.folder.Observers(o.rules.Survey.Confidence))
	}
	if !c.Quiet {
		read.print(e)
	}
	switch {
	case c.Quiet && len(found) == 0:
	case o == nil:
		fmt.Fprintf(e.stdout, "%s: %s; no number is given until the errors are mended or set aside (setaside.csv)\n", c.Survey, count(found))
	default:
		fmt.Fprintf(e.stdout, "%s: %s; %s\n", c.Survey, count(found), contents(o.folder))
		if !c.Quiet {
			fmt.Fprintf(e.stderr, "hint: bedstock report %s -o DIR writes the tables, figures and the report\n", typed(c.Survey))
		}
	}
	return nil
}

// printObservers says of each two observers who read the same quadrats how far they agree.
func printObservers(e *env, list []survey.Agreement) {
	for _, a := range list {
		switch {
		case a.Species != "":
		case !a.OK:
			fmt.Fprintf(e.stdout, "observers %s and %s: %s read by both, too few to compare them\n", observerName(a.First), observerName(a.Second), plural(a.Quadrats, "quadrat"))
		default:
			fmt.Fprintf(e.stdout, "observers %s and %s: %s read by both; %s reads %+.2g %% cover (%.4g %% interval %.2g to %.2g, SD %.2g) at a mean of %.3g %%\n",
				observerName(a.First), observerName(a.Second), plural(a.Quadrats, "quadrat"), observerName(a.Second), a.Mean, 100*a.Level, a.Lo, a.Hi, a.SD, a.Cover)
		}
	}
}

// observerName is the name of an observer as it is printed.
func observerName(observer string) string {
	if observer == "" {
		return "(not named)"
	}
	return cleaned(observer)
}

// contents says in words what a folder holds.
func contents(f *survey.Folder) string {
	from, to := survey.NoDay, survey.NoDay
	for _, d := range f.Quadrats.Day {
		if d == survey.NoDay {
			continue // planned
		}
		if from == survey.NoDay || d < from {
			from = d
		}
		to = max(to, d)
	}
	out := fmt.Sprintf("%s, %s from %s to %s, %s, %s", plural(len(f.Beds), "bed"), plural(f.Quadrats.Len(), "quadrat row"), from, to,
		plural(len(f.Landings()), "cut"), plural(len(f.Regrowth), "regrowth row"))
	if n := len(f.LowWaters); n > 0 {
		out += fmt.Sprintf(", %s from %s to %s", plural(n, "low water"), f.LowWaters[0].Day, f.LowWaters[n-1].Day)
	}
	return out
}

func problemTable(found survey.Problems) table.Table {
	t := table.Table{Columns: []table.Column{col("file"), col("line"), col("column"), col("severity"), col("text"), col("hint")}}
	for _, p := range found {
		severity := "error"
		if p.Severity == survey.Doubt {
			severity = "warning"
		}
		t.Add(table.Text(p.File), place(p.Line), place(p.Column), table.Text(severity), table.Text(p.Text), table.Text(p.Hint))
	}
	return t
}
