package model

import (
	"cmp"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"slices"

	"bedstock/survey"
)

// LoadOptions are the choices of the command line. The zero value changes nothing.
type LoadOptions struct {
	Rules  *RulesText         // instead of the folder's rules.toml
	Change func(*Rules) error // laid over the rules before the folder is read
}

// Load reads the rules and the folder, each once. All mistakes of all files come back together as [survey.Problems];
// any other error is a failure to read. Where the folder was read as far as it could be they come as a [survey.Refusal].
func Load(fsys fs.FS, table []survey.Species, opt LoadOptions) (*survey.Folder, Rules, error) {
	text := opt.Rules
	if text == nil {
		var err error
		if text, err = rulesText(fsys); err != nil {
			return nil, Rules{}, err
		}
	}
	rules, problems := DefaultRules(), survey.Problems(nil)
	if text != nil {
		rules, problems = ParseRules(*text)
	}
	if opt.Change != nil {
		if err := opt.Change(&rules); err != nil {
			return nil, rules, err
		}
	}
	if rules.unreadable {
		return nil, rules, problems // what the files seem to lack would be no mistake of theirs
	}
	rules.Survey.SeasonNames = rules.seasonNames()
	folder, err := survey.Read(fsys, table, rules.Survey)
	refusal := &survey.Refusal{}
	if err != nil && !errors.As(err, &refusal) {
		return nil, rules, err
	}
	if folder != nil {
		refusal.Dialects, refusal.Mapped = folder.Dialects, folder.Mapped
		problems = append(problems, rules.settleNames(folder)...)
	}
	if problems = append(problems, refusal.Problems...); len(problems) > 0 {
		problems.Sort()
		refusal.Problems = problems
		return nil, rules, refusal
	}
	if text != nil {
		folder.Inputs = append(folder.Inputs, survey.Input{Path: text.Name, SHA256: fmt.Sprintf("%x", sha256.Sum256(text.Text))})
		slices.SortFunc(folder.Inputs, func(a, b survey.Input) int { return cmp.Compare(a.Path, b.Path) })
	}
	rules.Survey.AsOf = folder.AsOf
	rules.settle("as_of", folder.AsOf.String())
	return folder, rules, nil
}

// latestDate is the origin of an as_of that nobody gave.
const latestDate = "latest date in the folder"

// AsOfGiven tells whether the day of the assessment was given, by the rules or the command line.
func (r *Rules) AsOfGiven() bool {
	for _, s := range r.Settings {
		if s.Name == "as_of" {
			return s.From != latestDate
		}
	}
	return false
}

// settle records the value that a key left open has got.
func (r *Rules) settle(name, value string) {
	for i := range r.Settings {
		if r.Settings[i].Name == name && r.Settings[i].From == "default" {
			r.Settings[i].Value, r.Settings[i].From = value, latestDate
		}
	}
}

// Override sets one key from the command line; from names the option.
func (r *Rules) Override(name, from string, value any) error {
	for _, k := range ruleKeys {
		if k.name == name {
			if err := k.assign(r, value); err != nil {
				return err
			}
			for i := range r.Settings {
				if r.Settings[i].Name == name {
					r.Settings[i].Value, r.Settings[i].From = k.show(r), from
				}
			}
			return nil
		}
	}
	panic("model: no rule named " + name)
}
