package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// second compares a second typing of a table with the folder's own; what differs is the result.
func (c checkCmd) second(e *env) error {
	folder, closeFolder, err := folderFS(c.Survey)
	if err != nil {
		return err
	}
	defer closeFolder()
	dir, name := filepath.Split(c.Second)
	if dir == "" {
		dir = "."
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	defer root.Close()
	opt, err := c.written(folder)
	if err != nil {
		return err
	}
	t, problems, err := survey.CompareTypings(folder, root.FS(), name, opt)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%w\nhint: --second takes another typing of a table that %s has too", err, c.Survey)
	}
	if err != nil {
		return err
	}
	if strings.TrimPrefix(t.Second, "second ") == t.First && sameFile(filepath.Join(c.Survey, name), c.Second) {
		return usageError(fmt.Sprintf("--second %s is the folder's own table; it takes another typing of it", c.Second))
	}
	if c.Format != table.FormatText {
		err = typingTable(t, problems).Write(e.stdout, c.Format)
	} else {
		err = c.printSecond(e, t, problems)
	}
	if err == nil && (len(t.Differ) > 0 || len(problems.Faults()) > 0 || c.Strict && len(t.Apart)+len(problems) > 0) {
		return errSilent{exitRefused}
	}
	return err
}

// written is what the rules say of how tables are written; mistakes in the rules are told by check alone.
func (c checkCmd) written(folder fs.FS) (survey.Options, error) {
	given, err := source{Rules: c.Rules}.options()
	if err != nil {
		return survey.Options{}, err
	}
	if given.Rules != nil {
		rules, _ := model.ParseRules(*given.Rules)
		return survey.Options{Input: rules.Survey.Input}, nil
	}
	rules, _, err := model.ReadRules(folder)
	var problems survey.Problems
	if errors.As(err, &problems) {
		err = nil
	}
	return survey.Options{Input: rules.Survey.Input}, err
}

func sameFile(a, b string) bool {
	x, errX := os.Stat(a)
	y, errY := os.Stat(b)
	return errX == nil && errY == nil && os.SameFile(x, y)
}

// printSecond writes for people what differs, and how often.
func (c checkCmd) printSecond(e *env, t *survey.Typings, problems survey.Problems) error {
	for _, p := range problems {
		fmt.Fprintln(e.stdout, p.String())
		if p.Hint != "" {
			fmt.Fprintf(e.stdout, "    hint: %s\n", p.Hint)
		}
	}
	for _, d := range t.Differ {
		switch d.Kind {
		case survey.FirstOnly:
			fmt.Fprintf(e.stdout, "%s:%d: row %s is not in %s\n", t.First, d.First.Line, cleaned(d.Row), t.Second)
		case survey.SecondOnly:
			fmt.Fprintf(e.stdout, "%s:%d: row %s is not in %s\n", t.Second, d.Second.Line, cleaned(d.Row), t.First)
		default:
			fmt.Fprintf(e.stdout, "%s | %s: %s: %s | %s (row %s)\n", typedAt(t.First, d.First), typedAt(t.Second, d.Second), d.Column,
				typedText(d.First), typedText(d.Second), cleaned(d.Row))
		}
	}
	if len(t.Apart) > 0 {
		fmt.Fprintf(e.stdout, "not compared, as only one of the files has them: %s\n", cleaned(strings.Join(t.Apart, ", ")))
	}
	if t.All.Cells == 0 {
		fmt.Fprintf(e.stdout, "%s: no row of %s stands in %s\n", c.Survey, t.First, t.Second)
		return nil
	}
	if t.All.Differ > 0 {
		if err := rates(t).Text(e.stdout); err != nil {
			return err
		}
	}
	if c.Quiet && len(t.Differ) == 0 && len(problems) == 0 {
		return nil
	}
	fmt.Fprintf(e.stdout, "%s: %s of %s in both typings, %s of %s differ; keying errors %s %% of the cells typed (95 %% interval %s to %s)\n",
		c.Survey, plural(t.Rows, "row"), t.First, table.Int(t.All.Differ), plural(t.All.Cells, "cell"),
		percent(t.All.Rate), percent(t.All.Lo), percent(t.All.Hi))
	if len(t.Differ) > 0 && !c.Quiet {
		fmt.Fprintf(e.stderr, "hint: look each up on the sheet and mend it in both files; slips that both typings share do not show\n")
	}
	return nil
}

func percent(share float64) string { return table.Number(100*share, 2).String() }

func cleaned(s string) string { return table.Text(s).String() }

func typedAt(file string, c survey.TypedCell) string {
	if c.Column == 0 {
		return fmt.Sprintf("%s:%d", file, c.Line)
	}
	return fmt.Sprintf("%s:%d:%d", file, c.Line, c.Column)
}

func typedText(c survey.TypedCell) string {
	if c.Text == "" {
		return "blank"
	}
	return cleaned(c.Text)
}

// rates is the keying error rate of each column in which something differs.
func rates(t *survey.Typings) table.Table {
	out := table.Table{Columns: []table.Column{col("column"), col("cells"), col("differ"), col("errors", "%"), col("from", "%"), col("to", "%")}}
	for _, c := range t.Columns {
		if c.Differ > 0 {
			out.Add(table.Text(c.Column), table.Int(c.Cells), table.Int(c.Differ), table.Number(100*c.Rate, 2),
				table.Number(100*c.Lo, 2), table.Number(100*c.Hi, 2))
		}
	}
	return out
}

// typingTable is what differs for other programs: a row a cell, and a row with the rate of each column and of all.
func typingTable(t *survey.Typings, problems survey.Problems) table.Table {
	out := table.Table{Columns: []table.Column{col("kind"), col("column"), col("row"), col("first_file"), col("first_line"), col("first_column"),
		col("first"), col("second_file"), col("second_line"), col("second_column"), col("second"), col("cells"), col("differ"),
		col("error_rate"), col("error_rate_lo"), col("error_rate_hi"), col("text")}}
	no := table.Missing
	for _, p := range problems {
		kind := "error"
		if p.Severity == survey.Doubt {
			kind = "warning"
		}
		out.Add(table.Text(kind), no, no, table.Text(p.File), place(p.Line), place(p.Column), no, no, no, no, no, no, no, no, no, no, table.Text(p.Text))
	}
	for _, d := range t.Differ {
		out.Add(table.Text(string(d.Kind)), table.Text(d.Column), table.Text(d.Row), table.Text(t.First), place(d.First.Line), place(d.First.Column),
			table.Text(d.First.Text), table.Text(t.Second), place(d.Second.Line), place(d.Second.Column), table.Text(d.Second.Text),
			no, no, no, no, no, no)
	}
	for _, c := range append(t.Columns[:len(t.Columns):len(t.Columns)], t.All) {
		name := c.Column
		if name == "" {
			name = "all"
		}
		out.Add(table.Text("rate"), table.Text(name), no, table.Text(t.First), no, no, no, table.Text(t.Second), no, no, no,
			table.Int(c.Cells), table.Int(c.Differ), table.Number(c.Rate, 4), table.Number(c.Lo, 4), table.Number(c.Hi, 4), no)
	}
	return out
}

// place is a line or column number, missing where it is 0.
func place(n int) table.Cell {
	if n == 0 {
		return table.Missing
	}
	return table.Int(n)
}
