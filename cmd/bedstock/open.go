package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bedstock/data"
	"bedstock/model"
	"bedstock/survey"
)

// opened is a survey folder ready to be assessed.
type opened struct {
	folder   *survey.Folder
	rules    model.Rules
	name     string // as messages call it
	dir      string // path on disk; empty for the embedded demo
	invented bool
	large    bool // its files are
}

const demoName = "the embedded demo"

// open reads a survey folder, or the embedded demo where dir is empty.
func (s source) open(dir string) (*opened, error) {
	o := &opened{name: dir, dir: dir}
	fsys, done, err := folderFS(dir)
	if err != nil {
		return nil, err
	}
	defer done()
	if dir == "" {
		o.name = demoName
	}
	o.large = spareMemory(fsys)
	table, err := speciesTable()
	if err != nil {
		return nil, err
	}
	opt, err := s.options()
	if err != nil {
		return nil, err
	}
	o.folder, o.rules, err = s.load(fsys, table, opt)
	err = s.foldLate(fsys, table, opt, err)
	var problems survey.Problems
	if errors.As(err, &problems) {
		bad := refused{problems: problems, dir: o.name}
		var how *survey.Refusal
		if errors.As(err, &how) {
			bad.dialects, bad.mapped = how.Dialects, how.Mapped
		}
		return nil, bad
	}
	var usage usageError
	if errors.As(err, &usage) {
		return nil, usage
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", o.name, err)
	}
	o.invented = isInvented(o.folder)
	return o, nil
}

// load reads the folder. Where neither --on nor as_of says which day it is, the latest date in the folder is the day; a
// date that lies after the machine's own today is then a slip of the keyboard and refused, as check does.
func (s source) load(fsys fs.FS, table []survey.Species, opt model.LoadOptions) (*survey.Folder, model.Rules, error) {
	folder, rules, err := model.Load(fsys, table, opt)
	today := survey.DayOf(time.Now())
	if err != nil || folder.AsOf <= today || rules.AsOfGiven() {
		return folder, rules, err
	}
	asked := opt.Change
	opt.Change = func(r *model.Rules) error {
		if asked != nil {
			if err := asked(r); err != nil {
				return err
			}
		}
		r.Survey.Clock = true
		return r.Override("as_of", "today", today.String())
	}
	return model.Load(fsys, table, opt)
}

// options turns --rules and --on into what is laid over the folder.
func (s source) options() (opt model.LoadOptions, err error) {
	if s.Rules != "" {
		text, err := os.ReadFile(s.Rules)
		if err != nil {
			return opt, err
		}
		opt.Rules = &model.RulesText{Name: filepath.Base(s.Rules), Text: text}
	}
	over := s.laid
	if s.On != "" {
		over = append(over[:len(over):len(over)], laid{"as_of", "--on", s.On})
	}
	opt.Change = func(r *model.Rules) error {
		r.Survey.Clock = s.clock
		r.Survey.LeaveTides, r.Survey.LeaveLater, r.Survey.MostAlike = !s.tides, s.leaveLater, s.mostAlike
		for _, l := range over {
			if err := r.Override(l.rule, l.option, l.value); err != nil {
				return usageError(l.option + ": " + err.Error())
			}
		}
		return nil
	}
	return opt, nil
}

// folderFS opens a folder so that nothing outside it can be reached.
func folderFS(dir string) (fs.FS, func(), error) {
	if dir == "" {
		sub, err := fs.Sub(data.FS, "demo")
		return sub, func() {}, err
	}
	info, err := os.Stat(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, fmt.Errorf("%s: no such folder\nhint: bedstock demo DIR writes an example", dir)
	}
	if err == nil && !info.IsDir() {
		return nil, nil, fmt.Errorf("%s is a file, not a survey folder", dir)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, nil, err
	}
	return root.FS(), func() { root.Close() }, nil
}

// speciesTable is the embedded species table.
func speciesTable() ([]survey.Species, error) {
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	if len(problems.Faults()) > 0 {
		return nil, fmt.Errorf("the embedded species table: %w", problems)
	}
	return table, nil
}

// isInvented tells whether a folder is the demo or made from it: a survey says so in its notes.
func isInvented(f *survey.Folder) bool {
	for _, s := range f.Surveys {
		if strings.Contains(strings.ToUpper(s.Notes), "INVENTED") {
			return true
		}
	}
	return false
}

// among tells whether a name is in a list, without regard to case; an empty list holds everything.
func among(list []string, name string) bool {
	for _, l := range list {
		if strings.EqualFold(strings.TrimSpace(l), name) {
			return true
		}
	}
	return len(list) == 0
}
