package model

import (
	"fmt"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"bedstock/survey"
)

// place is where something stands in a rules file.
type place struct {
	file string
	at   unstable.Position
}

func (p place) problem(hint, format string, args ...any) survey.Problem {
	return survey.Problem{File: p.file, Line: p.at.Line, Column: p.at.Column, Text: fmt.Sprintf(format, args...), Hint: hint}
}

// placed is one table of a list such as [[season]] with where it and each of its keys stand; "" is the table itself.
type placed struct {
	values map[string]any
	at     map[string]unstable.Position
}

// tables are the tables of a list; a mistake in its form is noted and gives none.
func (in *rulesInput) tables(name string, value any) []placed {
	list, ok := value.([]any)
	places := in.lists[name]
	if !ok || len(list) > len(places) {
		in.fault(in.places[name], "", "%s must be a list: write [[%s]]", name, name)
		return nil
	}
	var out []placed
	for i, v := range list {
		table, ok := v.(map[string]any)
		if !ok {
			in.fault(in.places[name], "", "%s must be a list: write [[%s]]", name, name)
			return nil
		}
		out = append(out, placed{table, places[i]})
	}
	return out
}

// fill hands each key of a table to set and notes what is wrong with it, and which of the keys that must be there are not.
func (in *rulesInput) fill(what, hint string, t placed, must []string, set func(key string, value any) error) {
	for _, key := range sortedKeys(t.values) {
		if err := set(key, t.values[key]); err != nil {
			in.fault(t.at[key], hint, "%s %s: %v", what, key, err)
		}
	}
	for _, key := range must {
		if _, ok := t.values[key]; !ok {
			in.fault(t.at[""], hint, "%s without %s", what, key)
		}
	}
}

// asName is a text that is not blank.
func asName(value any) (string, error) {
	text, ok := value.(string)
	if !ok || strings.TrimSpace(text) == "" {
		return "", fmt.Errorf("%v is not a name", value)
	}
	return strings.TrimSpace(text), nil
}

// asNames is one name or a list of names, each once.
func asNames(value any) ([]string, error) {
	list, ok := value.([]any)
	if !ok {
		list = []any{value}
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("an empty list")
	}
	var out []string
	for _, v := range list {
		name, err := asName(v)
		if err != nil {
			return nil, err
		}
		if slices.ContainsFunc(out, func(other string) bool { return sameName(other, name) }) {
			return nil, fmt.Errorf("%s is named twice", name)
		}
		out = append(out, name)
	}
	return out, nil
}

// sameName compares names without regard to case and spacing, as the tables of a folder do.
func sameName(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " "))
}

// settleNames brings the species of seasons and rotations to the spelling of the folder and checks that these and the
// beds of rotations are known there.
func (r *Rules) settleNames(f *survey.Folder) survey.Problems {
	var problems survey.Problems
	species := func(at place, what, name string) string {
		if i := slices.IndexFunc(f.Species, func(s survey.Species) bool { return sameName(s.Name, name) }); i >= 0 {
			return f.Species[i].Name
		}
		problems = append(problems, at.problem("bedstock rules lists the species of the table; species.csv adds others",
			"%s species: no species is named %q", what, name))
		return name
	}
	for i := range r.OwnSeasons {
		own := &r.OwnSeasons[i]
		as := species(own.at, "season", own.Species)
		for _, s := range own.Seasons {
			r.rename(ownSeason(s.Name, own.Species), ownSeason(s.Name, as), shownSeason(s))
		}
		own.Species = as
	}
	for i := range r.Rotations {
		x := &r.Rotations[i]
		x.Species = slices.Clone(x.Species)
		for j := range x.Species {
			x.Species[j] = species(x.at, "rotation", x.Species[j])
		}
		for _, bed := range x.Beds {
			if !slices.ContainsFunc(f.Beds, func(b survey.Bed) bool { return b.ID == bed }) {
				problems = append(problems, x.at.problem("the labels stand in the column bed of beds.csv", "rotation beds: no bed is labelled %q", bed))
			}
		}
	}
	for _, x := range r.Rotations {
		r.rename("rotation."+x.Name, "rotation."+x.Name, x.String())
	}
	return append(problems, r.settleBaselines(f)...)
}

// rename changes the name and value of a setting.
func (r *Rules) rename(name, to, value string) {
	for i := range r.Settings {
		if r.Settings[i].Name == name {
			r.Settings[i].Name, r.Settings[i].Value = to, value
		}
	}
}
