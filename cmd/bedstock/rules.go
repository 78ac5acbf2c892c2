package main

import (
	"fmt"
	"slices"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// rulesCmd prints the effective rules and species parameters.
type rulesCmd struct {
	Survey string `arg:"" optional:"" help:"The survey folder; without it, the defaults."`
	source
	Species []string `sep:"none" placeholder:"SPECIES" help:"Only this species; may be given several times."`
	shown
}

// Run prints every value with its origin.
func (c rulesCmd) Run(e *env) error {
	rules := model.DefaultRules()
	species, err := speciesTable()
	if err != nil {
		return err
	}
	if c.Survey != "" {
		o, err := c.open(c.Survey)
		if err != nil {
			return err
		}
		if err := c.strictly(o); err != nil {
			return err
		}
		rules, species = o.rules, named(o.folder)
	}
	if err := c.known(species); err != nil {
		return err
	}
	values, parameters := rulesTable(rules), speciesParameters(rules, species, c.Species)
	if c.Format == table.FormatText {
		values.Title, parameters.Title = "Rules", "Species parameters"
		if err := values.Text(e.stdout); err != nil {
			return err
		}
		fmt.Fprintln(e.stdout)
		return parameters.Text(e.stdout)
	}
	// One table for other programs: what, name, value, from.
	both := table.Table{Columns: []table.Column{col("of"), col("name"), col("value"), col("from")}}
	for _, r := range values.Rows {
		both.Add(table.Text("rules"), r[0], r[1], r[2])
	}
	for _, r := range parameters.Rows {
		both.Add(r[0], r[1], r[2], r[3])
	}
	for _, s := range species {
		if among(c.Species, s.Name) {
			both.Add(table.Text(s.Name), table.Text("source"), table.Text(s.Source), table.Text(s.From["source"]))
		}
	}
	return both.Write(e.stdout, c.Format)
}

// known refuses names of species that are not among those to be shown.
func (c rulesCmd) known(species []survey.Species) error {
	var names []string
	for _, s := range species {
		names = append(names, s.Name)
	}
	if c.Survey != "" {
		return knownSpecies(c.Species, names, inSurveys)
	}
	return knownSpecies(c.Species, names, "in the species table")
}

func rulesTable(rules model.Rules) table.Table {
	t := table.Table{Columns: []table.Column{col("name"), col("value"), col("from"), col("meaning")}}
	for _, s := range rules.Settings {
		t.Add(table.Text(s.Name), table.Text(s.Value), table.Text(s.From), table.Text(model.Meaning(s.Name)))
	}
	return t
}

// named keeps the species that the folder's surveys name or sought.
func named(f *survey.Folder) []survey.Species {
	names := f.NamedSpecies()
	return slices.DeleteFunc(slices.Clone(f.Species), func(s survey.Species) bool { return !slices.Contains(names, s.Name) })
}
