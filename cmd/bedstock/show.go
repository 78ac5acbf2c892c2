package main

import (
	"fmt"
	"slices"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// errSilent is an exit code whose reason has been printed already.
type errSilent struct{ code int }

func (e errSilent) Error() string { return fmt.Sprintf("exit %d", e.code) }

// assess opens a folder and runs the assessment of the beds and species that pass the filter.
func (d drawn) assess(e *env, s source, dir string, f filter, show shown) (*opened, *model.Assessment, error) {
	return d.assessMore(e, s, dir, f, show, nil)
}

// assessMore is assess, with more in the configuration than the settings of the command line; more may be nil.
func (d drawn) assessMore(e *env, s source, dir string, f filter, show shown, more func(*opened, *model.Config)) (*opened, *model.Assessment, error) {
	o, err := s.checked(dir, f, show)
	if err != nil {
		return nil, nil, err
	}
	show.doubts(e, o)
	return o, d.assessed(e, o, func(p model.Pair) bool { return f.keep(p.Bed, p.Species) }, more), nil
}

// checked opens a folder and refuses it, or a filter that does not fit it.
func (s source) checked(dir string, f filter, show shown) (*opened, error) {
	o, err := s.open(dir)
	if err != nil {
		return nil, err
	}
	if err := show.strictly(o); err != nil {
		return nil, err
	}
	return o, f.check(o.folder)
}

// assessed runs the assessment of some beds and species of an open folder; more may be nil.
func (d drawn) assessed(e *env, o *opened, only func(model.Pair) bool, more func(*opened, *model.Config)) *model.Assessment {
	defer e.progress.clear()
	cfg := model.Config{Rules: o.rules, Seed: d.Seed, Draws: d.Draws, Only: only, Progress: e.progress.step}
	if more != nil {
		more(o, &cfg)
	}
	return model.Assess(o.folder, cfg)
}

// screen is one way to show a result: a table for other programs, those that people read, and what follows them.
type screen struct {
	machine table.Table
	people  []table.Table
	hint    string // empty: none
}

// screen prints what is to be shown in the format asked for.
func (s shown) screen(e *env, v screen) error {
	if s.Format != table.FormatText {
		return v.machine.Write(e.stdout, s.Format)
	}
	for i, t := range v.people {
		if i > 0 {
			fmt.Fprintln(e.stdout)
		}
		if err := t.Text(e.stdout); err != nil {
			return err
		}
	}
	if v.hint != "" {
		s.hint(e, "%s", v.hint)
	}
	return nil
}

// strictly refuses a folder with warnings where --strict is given.
func (s shown) strictly(o *opened) error {
	if s.Strict && len(o.folder.Doubts) > 0 {
		return refused{problems: o.folder.Doubts, dir: o.name}
	}
	return nil
}

// doubts prints the warnings of the folder on stderr, the first few in full.
func (s shown) doubts(e *env, o *opened) {
	if s.Quiet {
		e.progress.silence()
		return
	}
	if o.invented {
		fmt.Fprintln(e.stderr, "bedstock: INVENTED DATA: beds, people and numbers of this survey are made up")
	}
	const few = 10
	for i, d := range o.folder.Doubts {
		if i == few {
			fmt.Fprintf(e.stderr, "bedstock: and %s more\n", plural(len(o.folder.Doubts)-few, "warning"))
			if o.dir != "" {
				fmt.Fprintf(e.stderr, "hint: bedstock check %s lists them all\n", typed(o.dir))
			}
			return
		}
		fmt.Fprintln(e.stderr, d.String())
	}
}

// hint names the next sensible command.
func (s shown) hint(e *env, format string, args ...any) {
	if !s.Quiet {
		fmt.Fprintf(e.stderr, "hint: "+format+"\n", args...)
	}
}

// check refuses a filter that names no bed or species of the folder.
func (f filter) check(folder *survey.Folder) error {
	for _, b := range f.Bed {
		if !slices.ContainsFunc(folder.Beds, func(x survey.Bed) bool { return among([]string{b}, x.ID) }) {
			return usageError(fmt.Sprintf("--bed %q: no such bed in beds.csv\nhint: the beds are %s", b, few(bedsOf(folder))))
		}
	}
	return knownSpecies(f.Species, folder.NamedSpecies(), inSurveys)
}

// inSurveys says where a species was looked for.
const inSurveys = "in the surveys of this folder"

// knownSpecies refuses species asked for that are not among those that there are; where says where.
func knownSpecies(asked, there []string, where string) error {
	for _, s := range asked {
		if !slices.ContainsFunc(there, func(x string) bool { return among([]string{s}, x) }) {
			return usageError(fmt.Sprintf("--species %q: not %s\nhint: there are %s", s, where, few(there)))
		}
	}
	return nil
}

// narrow drops the rows of a table whose bed and species (its first two columns) do not pass the filter.
func (f filter) narrow(t table.Table) table.Table {
	t.Rows = slices.DeleteFunc(slices.Clone(t.Rows), func(row []table.Cell) bool {
		return !f.keep(row[0].String(), row[1].String())
	})
	return t
}

// footnotes gathers the warnings of the rows shown, each once, with the beds and species it stands for.
func footnotes(notes []string, of map[string][]string) []string {
	out := make([]string, len(notes))
	for i, n := range notes {
		who := of[n]
		switch {
		case len(who) > 3:
			n += fmt.Sprintf(" (%s and %d more)", who[0], len(who)-1)
		case len(who) > 0:
			n += " (" + strings.Join(who, ", ") + ")"
		}
		out[i] = n
	}
	return out
}

// noter collects warnings with whom they concern.
type noter struct {
	notes []string
	of    map[string][]string
	added map[[2]string]bool // warning and whom it concerns
}

func (n *noter) add(who string, warnings ...string) {
	if n.of == nil {
		n.of = map[string][]string{}
	}
	if n.added == nil {
		n.added = map[[2]string]bool{}
	}
	for _, w := range warnings {
		if _, seen := n.of[w]; !seen {
			n.notes = append(n.notes, w)
		}
		if key := [2]string{w, who}; !n.added[key] {
			n.added[key] = true
			n.of[w] = append(n.of[w], who)
		}
	}
}

func (n *noter) lines() []string { return footnotes(n.notes, n.of) }

// col is a column of a terminal table, its numbers shown with the digits of each cell; lines are the unit below it.
func col(name string, unit ...string) table.Column {
	return table.Column{Name: name, Unit: strings.Join(unit, " "), Digits: table.Auto}
}

// typed is a path as it is typed in a command: in quotes where it has blanks or signs that a shell takes for its own.
func typed(path string) string {
	if strings.ContainsAny(path, " \t'()&;*?<>|$`#!") {
		return `"` + path + `"`
	}
	return path
}
