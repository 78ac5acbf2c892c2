package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"bedstock/cmd/bedstock/internal/output"
	"bedstock/model"
	"bedstock/survey"
)

// verifyCmd tells whether results are as they were written, and from which inputs.
type verifyCmd struct {
	Dir    string `arg:"" help:"The folder that report wrote."`
	Survey string `arg:"" optional:"" help:"The survey folder: are the results from it as it is now?"`
	Rules  string `placeholder:"FILE" type:"existingfile" help:"The rules file that report was given with --rules."`
	Quiet  bool   `short:"q" help:"Print nothing where all is well."`
}

// Run compares the files of a folder of results with its manifest, and the inputs named there with a survey folder. Each
// difference is a line on stdout; with any the exit code is 1.
func (c verifyCmd) Run(e *env) error {
	changed, err := output.Verify(c.Dir)
	if err != nil {
		return fmt.Errorf("%s: %w", c.Dir, err)
	}
	m, err := output.ReadManifest(c.Dir)
	if err != nil {
		return fmt.Errorf("%s: %w", c.Dir, err)
	}
	inputs, from, err := c.inputs(m)
	if err != nil {
		return err
	}
	for _, l := range changed {
		fmt.Fprintf(e.stdout, "%s: %s\n", c.Dir, l)
	}
	for _, l := range inputs {
		fmt.Fprintf(e.stdout, "%s: %s\n", from, l)
	}
	if len(changed)+len(inputs) > 0 {
		return errSilent{exitFailed}
	}
	if !c.Quiet {
		c.well(e, m, from)
	}
	return nil
}

// inputs compares the inputs of a manifest with the survey folder and the rules file, as far as they are given; from is
// what they were compared with, empty where they were not.
func (c verifyCmd) inputs(m output.Manifest) (lines []string, from string, err error) {
	recorded, names := m.Inputs, surveyFiles(m.Command)
	if c.Rules != "" {
		name := filepath.Base(c.Rules)
		if lines, err = checkFile(c.Rules, recorded); err != nil {
			return nil, "", err
		}
		recorded = slices.DeleteFunc(slices.Clone(recorded), func(f output.FileSum) bool { return f.Path == name })
		names = slices.DeleteFunc(names, func(n string) bool { return n == model.RulesFile })
		from = filepath.Dir(c.Rules)
	}
	if c.Survey == "" {
		return lines, from, nil
	}
	fsys, done, err := folderFS(c.Survey)
	if err != nil {
		return nil, "", err
	}
	defer done()
	books, err := survey.TableBooks(fsys)
	if err != nil {
		return nil, "", err
	}
	names = append(names, books...)
	more, err := output.CheckInputs(fsys, recorded, names)
	if err != nil {
		return nil, "", fmt.Errorf("%s: %w", c.Survey, err)
	}
	return append(lines, more...), c.Survey, nil
}

// checkFile compares one file with what is recorded under its name.
func checkFile(file string, recorded []output.FileSum) ([]string, error) {
	name := filepath.Base(file)
	only := slices.DeleteFunc(slices.Clone(recorded), func(f output.FileSum) bool { return f.Path != name })
	return output.CheckInputs(os.DirFS(filepath.Dir(file)), only, []string{name})
}

// surveyFiles are the files that a survey folder may hold and that a command reads: low waters only to plan by.
func surveyFiles(command string) []string {
	names := []string{model.RulesFile, survey.OutlinesFile}
	for name := range survey.Descriptors() {
		if name != "tides" || command == "plan" {
			names = append(names, name+".csv")
		}
	}
	slices.Sort(names)
	return names
}

// well says what was found to be whole.
func (c verifyCmd) well(e *env, m output.Manifest, from string) {
	fmt.Fprintf(e.stdout, "%s: %s as written: bedstock %s, as of %s, seed %d\n", c.Dir, plural(len(m.Outputs), "file"), m.Version, m.AsOf, m.Seed)
	if m.Invented {
		fmt.Fprintln(e.stdout, "made from INVENTED DATA")
	}
	if from != "" {
		fmt.Fprintf(e.stdout, "made from %s as it is now: %s\n", from, plural(len(m.Inputs), "file"))
		return
	}
	fmt.Fprintf(e.stderr, "hint: bedstock verify %s SURVEY tells whether %s as they were\n", typed(c.Dir),
		ifOne(len(m.Inputs), "its 1 input is", fmt.Sprintf("its %d inputs are", len(m.Inputs))))
}
